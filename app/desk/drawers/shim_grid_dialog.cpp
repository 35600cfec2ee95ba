// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/shim_grid_dialog.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/kept_fields.h"
#include "app/desk/length_text.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "planner/units/input_error.h"

#include <QClipboard>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QStyledItemDelegate>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>
#include <optional>

namespace shimledger::desk {

namespace {

// Common practice, no source: what shim kits are cut to.
constexpr const char* usual_ods = "10..30";
constexpr const char* usual_thicknesses = "0.10..0.30/0.05";
constexpr Length od_step = Length::fromMicrometres(1'000), thickness_step = Length::fromMicrometres(50);
constexpr Length most_od = Length::fromMicrometres(150'000), most_thickness = Length::fromMicrometres(4'000);
constexpr std::int64_t most_pieces = 100'000;

/// To the next cell that way; at the end of a row to the next row.
void goOn(QTableWidget& table, int down, int right) {
    int row = table.currentRow() + down, column = table.currentColumn() + right;
    if (column >= table.columnCount()) {
        column = 0;
        ++row;
    }
    if (row >= 0 && row < table.rowCount()) table.setCurrentCell(row, column);
}

/// None: the text is no number of pieces.
std::optional<qlonglong> countOf(const QString& text) {
    bool number = false;
    const qlonglong count = text.toLongLong(&number);
    return number && count >= 0 && count <= most_pieces ? std::optional(count) : std::nullopt;
}

/// The editor of a cell: Return and the arrows up and down book the number and go on, as fingers expect that
/// type a table in.
class CountDelegate : public QStyledItemDelegate {
public:
    CountDelegate(QTableWidget* table, QPushButton* book)
        : QStyledItemDelegate(table), m_table(table), m_book(book) {}

protected:
    /// What the drawers have by the books stands where nothing is typed, in weaker ink.
    void initStyleOption(QStyleOptionViewItem* option, const QModelIndex& index) const override {
        QStyledItemDelegate::initStyleOption(option, index);
        if (index.data(Qt::EditRole).toString().isEmpty()) {
            option->text = index.data(Qt::UserRole).toString();
            option->palette.setColor(QPalette::Text, option->palette.color(QPalette::PlaceholderText));
        } else {
            option->font.setBold(true);
        }
    }

    bool eventFilter(QObject* editor, QEvent* event) override {
        return answered(this, false, [&] {
            if (event->type() != QEvent::KeyPress) return QStyledItemDelegate::eventFilter(editor, event);
            const auto* pressed = static_cast<QKeyEvent*>(event);
            const int key = pressed->key();
            const int down = key == Qt::Key_Down ? 1 : key == Qt::Key_Up ? -1 : 0;
            const bool next = key == Qt::Key_Return || key == Qt::Key_Enter;
            if (down == 0 && !next) return QStyledItemDelegate::eventFilter(editor, event);
            auto* widget = qobject_cast<QWidget*>(editor);
            emit commitData(widget);
            emit closeEditor(widget, NoHint);
            if (next && pressed->modifiers().testFlag(Qt::ControlModifier))
                m_book->click(); // with the number in hand
            else
                goOn(*m_table, down, next ? 1 : 0);
            return true;
        });
    }

private:
    QTableWidget* m_table;
    QPushButton* m_book;
};

std::vector<Length> sideOf(const QString& text, Length step, Length most, const QString& what,
                           SizeUnit bare) {
    const std::vector<Length> lengths = services::readLengths(text.toStdString(), step, bare);
    if (!lengths.empty() && lengths.back() > most) {
        throw InputError(ShimGridDialog::tr(
                             "%1 of %2 mm is more than a shim has, at most %3 mm: make such a part by itself")
                             .arg(what, textOf(lengths.back().text(2)), textOf(most.text(1)))
                             .toStdString());
    }
    return lengths;
}

/// A side that nobody has typed yet, which is in mm.
QString usualSide(const char* side, SizeUnit bare) {
    return QString::fromLatin1(side) + (bare == SizeUnit::inches ? QStringLiteral(" mm") : QString());
}

QString textOf(const std::vector<Length>& lengths, int decimals, SizeUnit bare) {
    QStringList words;
    for (const Length length : lengths) words << lengthText(length, bare, decimals);
    return words.join(QLatin1Char(' '));
}

} // namespace

ShimGridDialog::ShimGridDialog(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QDialog(parent), m_session(session), m_settings(settings), m_strip(new MessageStrip),
      m_bore(new QComboBox), m_condition(new QComboBox), m_cabinet(new QLineEdit), m_first_bin(new QLineEdit),
      m_rule(new QComboBox), m_ods(new QLineEdit), m_thicknesses(new QLineEdit), m_table(new QTableWidget),
      m_about(new QLabel), m_book(new QPushButton(tr("&Book the counts"))) {
    setWindowTitle(tr("Shims by size"));
    layOut();
    for (const Length bore : services::shimBores(session.shop()))
        m_bore->addItem(lengthText(bore, sizeUnit()));
    if (m_bore->count() == 0) m_bore->addItem(lengthText(Length::fromMicrometres(6'000), sizeUnit()));
    guarded(m_bore, &QComboBox::currentTextChanged, this, &ShimGridDialog::showBore);
    guarded(m_condition, &QComboBox::currentIndexChanged, this, &ShimGridDialog::showBore);
    for (QLineEdit* side : {m_ods, m_thicknesses})
        guarded(side, &QLineEdit::editingFinished, this, &ShimGridDialog::showGrid);
    for (QLineEdit* field : {m_cabinet, m_first_bin})
        guarded(field, &QLineEdit::textEdited, this, &ShimGridDialog::tellCell);
    guarded(m_rule, &QComboBox::currentIndexChanged, this, &ShimGridDialog::tellCell);
    guarded(m_table, &QTableWidget::cellChanged, this, &ShimGridDialog::cellTyped);
    guarded(m_table, &QTableWidget::currentCellChanged, this, &ShimGridDialog::tellCell);
    guarded(m_book, &QPushButton::clicked, this, &ShimGridDialog::book);
    guarded(&session, &ShopSession::changed, this, &ShimGridDialog::readStock);
    showBore();
    m_table->setFocus();
}

void ShimGridDialog::layOut() {
    const QString unit = desk::textOf(std::string(services::unitSign(sizeUnit())));
    m_bore->setEditable(true);
    m_bore->setAccessibleName(tr("Bore, %1").arg(unit));
    m_condition->addItems({tr("new"), tr("used")});
    m_condition->setAccessibleName(tr("New or used"));
    m_cabinet->setText(QStringLiteral("A"));
    m_cabinet->setAccessibleName(tr("Cabinet of new drawers"));
    m_first_bin->setText(QStringLiteral("A01"));
    m_first_bin->setAccessibleName(tr("First drawer of new sizes"));
    m_rule->addItem(tr("each in a drawer of its own, from there on"), one_each);
    m_rule->addItem(tr("all in that one drawer"), one_for_all);
    m_rule->setAccessibleName(tr("Where new sizes go"));
    m_ods->setAccessibleName(tr("Outer diameters, %1").arg(unit));
    m_ods->setPlaceholderText(tr("24 22 20, or 10..30, or 10..30/2"));
    m_ods->setToolTip(tr("In %1; a unit behind a series is of the whole series").arg(typingHelp(sizeUnit())));
    m_thicknesses->setAccessibleName(tr("Thicknesses, %1").arg(unit));
    m_thicknesses->setPlaceholderText(tr("0.10 0.15, or 0.10..0.30/0.05"));
    m_thicknesses->setToolTip(m_ods->toolTip());
    m_table->setAccessibleName(tr("Shims by outer diameter and thickness"));
    m_table->setItemDelegate(new CountDelegate(m_table, m_book));
    m_table->setEditTriggers(QAbstractItemView::AnyKeyPressed | QAbstractItemView::DoubleClicked |
                             QAbstractItemView::EditKeyPressed);
    m_table->setSelectionMode(QAbstractItemView::ContiguousSelection);
    m_table->setTabKeyNavigation(false);
    m_table->installEventFilter(this);
    m_about->setWordWrap(true);
    m_about->setTextFormat(Qt::PlainText);
    auto* help = new QLabel(
        tr("Type how many lie there; Return goes on to the right, arrows go anywhere, Ctrl+V pastes "
           "a block from a spreadsheet, Delete takes a typed number back. What the drawers have "
           "by the books stands in weaker ink."));
    help->setWordWrap(true);
    m_book->setToolTip(tr("Books all numbers that were typed (Ctrl+Return in the grid)"));
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close);
    buttons->addButton(m_book, QDialogButtonBox::ActionRole);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    for (QPushButton* button : findChildren<QPushButton*>()) button->setAutoDefault(false);
    buttons->button(QDialogButtonBox::Close)->setAutoDefault(false);
    m_book->setAutoDefault(false); // Return goes on in the grid

    auto* left = new QFormLayout;
    left->addRow(tr("Bo&re, %1").arg(unit), m_bore);
    left->addRow(tr("New or &used"), m_condition);
    auto* right = new QFormLayout;
    right->addRow(tr("&Outer diameters, %1").arg(unit), m_ods);
    right->addRow(tr("&Thicknesses, %1").arg(unit), m_thicknesses);
    auto* where = new QFormLayout;
    auto* drawer = new QHBoxLayout;
    drawer->addWidget(m_first_bin);
    drawer->addWidget(m_rule, 1);
    auto* drawer_caption = new QLabel(tr("New sizes go to &drawer"));
    drawer_caption->setBuddy(m_first_bin);
    where->addRow(drawer_caption, drawer);
    where->addRow(tr("Cab&inet of new drawers"), m_cabinet);
    auto* top = new QHBoxLayout;
    top->addLayout(left);
    top->addLayout(right, 1);
    top->addLayout(where, 1);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(top);
    layout->addWidget(m_table, 1);
    layout->addWidget(m_about);
    layout->addWidget(help);
    layout->addWidget(buttons);
    resize(1120, 720);
}

SizeUnit ShimGridDialog::sizeUnit() const {
    return m_settings.choices().size_unit;
}

std::optional<Length> ShimGridDialog::boreTyped() const {
    std::optional<Length> bore;
    const auto problem = problemOf([&] {
        const std::vector<Length> typed =
            sideOf(m_bore->currentText(), od_step, most_od, tr("A bore"), sizeUnit());
        if (typed.size() == 1) bore = typed.front();
    });
    return problem ? std::nullopt : bore;
}

QString ShimGridDialog::topic() const {
    const auto bore = boreTyped();
    return bore ? QStringLiteral("grid/%1/%2").arg(bore->micrometres()).arg(m_condition->currentIndex())
                : QString();
}

services::ShimGrid ShimGridDialog::stockOf(Length bore) const {
    return services::shimGrid(m_session.shop(), bore,
                              m_condition->currentIndex() == 0 ? inventory::Condition::fresh
                                                               : inventory::Condition::used);
}

/// Others have booked: what the drawers have is read again, what is typed stays.
void ShimGridDialog::readStock() {
    const auto bore = boreTyped();
    const bool typing = m_table->findChild<QLineEdit*>() != nullptr; // in a cell: it is not taken away
    if (!bore || typing) return;
    m_grid = stockOf(*bore);
    showGrid();
}

void ShimGridDialog::showBore() {
    m_counts.clear();
    const auto bore = boreTyped();
    if (!bore) {
        m_table->setRowCount(0);
        m_strip->showNote(tr("The bore is one size, such as %1.")
                              .arg(lengthText(Length::fromMicrometres(6'000), sizeUnit())));
        enableBook();
        return;
    }
    m_strip->clear();
    m_grid = stockOf(*bore);
    m_ods->setText(m_grid.ods.empty() ? usualSide(usual_ods, sizeUnit()) : textOf(m_grid.ods, 1, sizeUnit()));
    m_thicknesses->setText(m_grid.thicknesses.empty() ? usualSide(usual_thicknesses, sizeUnit())
                                                      : textOf(m_grid.thicknesses, 2, sizeUnit()));
    readDraft();
    showGrid();
}

void ShimGridDialog::showGrid() {
    const auto problem = problemOf([&] {
        std::vector<Length> ods =
            sideOf(m_ods->text(), od_step, most_od, tr("An outer diameter"), sizeUnit());
        std::vector<Length> thicknesses =
            sideOf(m_thicknesses->text(), thickness_step, most_thickness, tr("A thickness"), sizeUnit());
        m_od_rows = std::move(ods);
        m_thickness_columns = std::move(thicknesses);
        std::reverse(m_od_rows.begin(), m_od_rows.end()); // the widest on top, as they lie in a stack
    });
    if (problem) {
        m_strip->showProblem(*problem);
        return;
    }
    if (m_strip->kind() == MessageStrip::Kind::problem) m_strip->clear();
    m_filling = true;
    const int row = std::max(0, m_table->currentRow()), column = std::max(0, m_table->currentColumn());
    m_table->setRowCount(static_cast<int>(m_od_rows.size()));
    m_table->setColumnCount(static_cast<int>(m_thickness_columns.size()));
    QStringList down, across;
    for (const Length od : m_od_rows) down << lengthText(od, sizeUnit());
    for (const Length thickness : m_thickness_columns) across << lengthText(thickness, sizeUnit(), 2);
    m_table->setVerticalHeaderLabels(down);
    m_table->setHorizontalHeaderLabels(across);
    for (int r = 0; r < m_table->rowCount(); ++r) {
        for (int c = 0; c < m_table->columnCount(); ++c) {
            const services::ShimSize size = *sizeAt(r, c);
            const auto typed = m_counts.find(size);
            const auto there = m_grid.stock.find(size);
            auto* item = new QTableWidgetItem;
            item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
            if (typed != m_counts.end()) item->setData(Qt::EditRole, QString::number(typed->second));
            const bool lies = there != m_grid.stock.end();
            if (lies) item->setData(Qt::UserRole, QString::number(there->second.on_hand));
            item->setData(
                Qt::AccessibleTextRole,
                tr("%1 x %2, %3 by the books")
                    .arg(down[r], across[c], lies ? item->data(Qt::UserRole).toString() : tr("none")));
            m_table->setItem(r, c, item);
        }
    }
    m_filling = false;
    if (m_table->rowCount() > 0 && m_table->columnCount() > 0)
        m_table->setCurrentCell(std::min(row, m_table->rowCount() - 1),
                                std::min(column, m_table->columnCount() - 1));
    tellCell();
    enableBook();
}

std::optional<services::ShimSize> ShimGridDialog::sizeAt(int row, int column) const {
    if (row < 0 || column < 0 || static_cast<std::size_t>(row) >= m_od_rows.size() ||
        static_cast<std::size_t>(column) >= m_thickness_columns.size())
        return std::nullopt;
    return services::ShimSize{m_od_rows[static_cast<std::size_t>(row)],
                              m_thickness_columns[static_cast<std::size_t>(column)]};
}

services::ShimGridCounts ShimGridDialog::counts() const {
    services::ShimGridCounts counts;
    counts.bore = boreTyped().value_or(Length());
    counts.condition =
        m_condition->currentIndex() == 0 ? inventory::Condition::fresh : inventory::Condition::used;
    counts.cabinet = m_cabinet->text().trimmed().toStdString();
    counts.first_bin = m_first_bin->text().trimmed().toStdString();
    counts.one_bin_each = m_rule->currentData().toInt() == one_each;
    counts.counts = m_counts;
    return counts;
}

QString ShimGridDialog::about() const {
    return m_about->text();
}

/// What the cell in hand is, what the books say of it, and where it is counted into.
void ShimGridDialog::tellCell() {
    const auto size = sizeAt(m_table->currentRow(), m_table->currentColumn());
    const auto bore = boreTyped();
    if (!size || !bore) {
        m_about->clear();
        return;
    }
    QString text = tr("%1 x %2 x %3: ")
                       .arg(desk::textOf(size->od.text(1)), desk::textOf(bore->text(1)),
                            desk::textOf(size->thickness.text(2)));
    const auto there = m_grid.stock.find(*size);
    if (there != m_grid.stock.end()) {
        QStringList bins;
        for (const std::string& bin : there->second.bins) bins << desk::textOf(bin);
        text += tr("%1 in %2 by the books.").arg(there->second.on_hand).arg(bins.join(QStringLiteral(", ")));
    } else {
        text += tr("none by the books.");
    }
    const auto problem = problemOf([&] {
        services::ShimGridCounts counts = this->counts();
        counts.counts.emplace(*size, 0);
        const std::string bin = services::binsOfCounts(m_session.shop(), counts).at(*size);
        if (there == m_grid.stock.end()) text += tr(" A count goes into %1.").arg(desk::textOf(bin));
    });
    if (problem) text += QLatin1Char(' ') + withProblemMark(*problem);
    m_about->setText(text);
}

void ShimGridDialog::cellTyped(int row, int column) {
    const auto size = sizeAt(row, column);
    if (m_filling || !size) return;
    QTableWidgetItem* item = m_table->item(row, column);
    const QString text = item->text().trimmed();
    const std::optional<qlonglong> count = countOf(text);
    if (!text.isEmpty() && !count) {
        m_strip->showProblem(
            tr("'%1' is no count: write how many lie there, 0 to %2.").arg(text).arg(most_pieces));
    } else if (m_strip->kind() == MessageStrip::Kind::problem) {
        m_strip->clear();
    }
    if (count)
        m_counts[*size] = *count;
    else
        m_counts.erase(*size);
    m_filling = true;
    if (!count) item->setData(Qt::EditRole, QString());
    m_filling = false;
    keepDraft();
    tellCell();
    enableBook();
}

bool ShimGridDialog::eventFilter(QObject* watched, QEvent* event) {
    return answered(this, false, [&] {
        if (watched != m_table || event->type() != QEvent::KeyPress)
            return QDialog::eventFilter(watched, event);
        const auto* key = static_cast<QKeyEvent*>(event);
        if (key->matches(QKeySequence::Paste)) {
            paste();
            return true;
        }
        if (key->key() == Qt::Key_Delete || key->key() == Qt::Key_Backspace) {
            for (QTableWidgetItem* item : m_table->selectedItems()) item->setData(Qt::EditRole, QString());
            return true;
        }
        const bool enter = key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter;
        if (enter && key->modifiers().testFlag(Qt::ControlModifier)) {
            m_book->click();
            return true;
        }
        if (enter) {
            goOn(*m_table, 0, 1);
            return true;
        }
        return QDialog::eventFilter(watched, event);
    });
}

/// All of the block or none: a block that is half in is worse than none.
void ShimGridDialog::paste() {
    const int first_row = m_table->currentRow(), first_column = m_table->currentColumn();
    if (first_row < 0) return;
    QStringList rows = QGuiApplication::clipboard()->text().split(QLatin1Char('\n'));
    while (!rows.isEmpty() && rows.last().trimmed().isEmpty()) rows.removeLast();
    std::map<std::pair<int, int>, QString> block;
    for (int r = 0; r < rows.size(); ++r) {
        const QStringList cells = rows[r].remove(QLatin1Char('\r')).split(QLatin1Char('\t'));
        for (int c = 0; c < cells.size(); ++c) {
            const QString text = cells[c].trimmed();
            if (text.isEmpty()) continue;
            if (!countOf(text)) {
                m_strip->showProblem(
                    tr("Nothing was pasted: '%1' in line %2 of the block is no count, 0 to %3.")
                        .arg(text)
                        .arg(r + 1)
                        .arg(most_pieces));
                return;
            }
            if (first_row + r >= m_table->rowCount() || first_column + c >= m_table->columnCount()) {
                m_strip->showProblem(
                    tr("Nothing was pasted: the block is larger than the grid from here on; begin further "
                       "up or to the left, or name more sizes above."));
                return;
            }
            block[{first_row + r, first_column + c}] = text;
        }
    }
    for (const auto& [place, text] : block)
        m_table->item(place.first, place.second)->setData(Qt::EditRole, text);
    if (!block.empty())
        m_strip->showNote(counted(static_cast<qint64>(block.size()), tr("1 number was pasted."),
                                  tr("%1 numbers were pasted.")));
}

void ShimGridDialog::enableBook() {
    m_book->setEnabled(!m_counts.empty() && boreTyped().has_value());
}

void ShimGridDialog::keepDraft() {
    QVariantMap typed;
    for (const auto& [size, count] : m_counts)
        typed[QStringLiteral("%1x%2").arg(size.od.micrometres()).arg(size.thickness.micrometres())] =
            QString::number(count);
    if (!topic().isEmpty())
        m_settings.drafts().keep(topic(), typed.isEmpty() ? QString() : changesText({}, typed));
}

void ShimGridDialog::readDraft() {
    const QVariantMap typed = readChanges(m_settings.drafts().text(topic()));
    std::vector<Length> ods = m_grid.ods, thicknesses = m_grid.thicknesses;
    for (auto cell = typed.begin(); cell != typed.end(); ++cell) {
        const QStringList size = cell.key().split(QLatin1Char('x'));
        if (size.size() != 2) continue;
        const services::ShimSize key{Length::fromMicrometres(size[0].toLongLong()),
                                     Length::fromMicrometres(size[1].toLongLong())};
        m_counts[key] = cell.value().toLongLong();
        ods.push_back(key.od);
        thicknesses.push_back(key.thickness);
    }
    if (typed.isEmpty()) return;
    // What was typed must be seen again.
    for (auto [side, lengths, decimals] :
         {std::tuple(m_ods, &ods, 1), std::tuple(m_thicknesses, &thicknesses, 2)}) {
        std::sort(lengths->begin(), lengths->end());
        lengths->erase(std::unique(lengths->begin(), lengths->end()), lengths->end());
        side->setText(textOf(*lengths, decimals, sizeUnit()));
    }
    m_strip->showNote(counted(static_cast<qint64>(m_counts.size()),
                              tr("1 number was typed before and is not booked yet."),
                              tr("%1 numbers were typed before and are not booked yet.")));
}

void ShimGridDialog::book() {
    services::ShimGridBooked result;
    const auto problem = problemOf([&] { result = services::countShimGrid(m_session.shop(), counts()); });
    if (problem) {
        m_strip->showProblem(*problem);
        return;
    }
    const QString sentence =
        counted(result.sizes, tr("The count of 1 size is booked"), tr("The counts of %1 sizes are booked")) +
        (result.new_parts > 0 || result.new_bins > 0
             ? tr("; %1 and %2 were made.")
                   .arg(counted(result.new_parts, tr("1 part"), tr("%1 parts")),
                        counted(result.new_bins, tr("1 drawer"), tr("%1 drawers")))
             : QStringLiteral("."));
    m_settings.drafts().keep(topic(), {});
    m_counts.clear();
    m_session.announceChange();
    const QString ods = m_ods->text(), thicknesses = m_thicknesses->text();
    showBore();
    m_ods->setText(ods); // the sides stay as they were set
    m_thicknesses->setText(thicknesses);
    showGrid();
    m_strip->showDone(sentence);
    emit booked(sentence);
}

} // namespace shimledger::desk
