// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/history_panel.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/print/table_rows.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/history_text.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"

#include <QComboBox>
#include <QDateTime>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr std::size_t most_rows = 500; // the latest; the CSV export has all

} // namespace

HistoryPanel::HistoryPanel(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_subject(new QComboBox),
      m_table(new QTableWidget(0, column_count)), m_sentence(new QLabel), m_reason(new QLineEdit),
      m_undo(new QPushButton(tr("&Undo this movement"))) {
    m_subject->addItems({tr("the part"), tr("the bin")});
    m_subject->setAccessibleName(tr("Whose history"));
    m_table->setAccessibleName(tr("Movements, the latest first"));
    dressTable(*m_table);
    m_sentence->setWordWrap(true);
    m_sentence->setTextFormat(Qt::PlainText);
    m_reason->setPlaceholderText(tr("why the picked movement is undone"));
    m_reason->setAccessibleName(tr("Why the movement is undone"));
    auto* caption = new QLabel(tr("Histor&y of"));
    caption->setBuddy(m_subject);
    auto* top = new QHBoxLayout;
    top->addWidget(caption);
    top->addWidget(m_subject);
    top->addStretch();
    auto* row = new QHBoxLayout;
    row->addWidget(m_reason, 1);
    row->addWidget(m_undo);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(top);
    layout->addWidget(m_table, 1);
    layout->addWidget(m_sentence);
    layout->addLayout(row);
    guarded(m_subject, &QComboBox::currentIndexChanged, this, &HistoryPanel::read);
    guarded(m_table->selectionModel(), &QItemSelectionModel::currentRowChanged, this,
            &HistoryPanel::rowPicked);
    guarded(m_reason, &QLineEdit::textChanged, this, &HistoryPanel::enableUndo);
    guarded(m_undo, &QPushButton::clicked, this, &HistoryPanel::undo);
    enableUndo();
}

void HistoryPanel::show(const std::string& part, const std::string& bin) {
    m_part = part;
    m_bin = bin;
    read();
}

void HistoryPanel::read() {
    m_table->setRowCount(0);
    m_numbers.clear();
    m_sentence->clear();
    const bool of_bin = m_subject->currentIndex() == 1;
    m_table->setHorizontalHeaderLabels(
        {tr("When"), tr("Change"), tr("Left"), of_bin ? tr("Part") : tr("Bin"), tr("What happened")});
    m_table->horizontalHeaderItem(after)->setToolTip(
        of_bin ? tr("On hand in the bin after it") : tr("On hand of the part after it, in all bins"));
    for (const int column : {change, after}) {
        m_table->horizontalHeaderItem(column)->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
    }
    if (!m_session.isOpen() || (of_bin ? m_bin : m_part).empty()) {
        enableUndo();
        return;
    }
    try {
        std::vector<services::HistoryLine> lines = of_bin ? services::binHistory(m_session.shop(), m_bin)
                                                          : services::partHistory(m_session.shop(), m_part);
        std::ranges::reverse(lines);
        lines.resize(std::min(lines.size(), most_rows));
        m_table->setRowCount(static_cast<int>(lines.size()));
        for (int row = 0; row < m_table->rowCount(); ++row) {
            const services::HistoryLine& line = lines[static_cast<std::size_t>(row)];
            fillRow(row, line, of_bin);
            const bool reversal = line.kind == inventory::MovementKind::reversal;
            m_numbers.push_back(line.undone || reversal ? 0 : line.number);
        }
        m_table->resizeColumnsToContents();
    } catch (const InputError& problem) {
        emit failed(QString::fromUtf8(problem.what()));
    } catch (const inventory::ShopFileFault& fault) {
        emit failed(QString::fromUtf8(fault.what()));
    }
    enableUndo();
}

/// Count, part and bin have columns of their own, so that the words are short enough to be read.
void HistoryPanel::fillRow(int row, const services::HistoryLine& line, bool of_bin) {
    const auto moment = QDateTime::fromSecsSinceEpoch(line.utc.moment().time_since_epoch().count());
    const QString sign = line.on_hand_change > 0 ? QStringLiteral("+") : QString();
    QString place = textOf(of_bin ? line.part : line.bin);
    if (line.condition == inventory::Condition::used) {
        place = tr("%1 used").arg(place);
    }
    // By the clock on the wall, as people remember it; the file has UTC.
    const QString full = moment.toString(QStringLiteral("yyyy-MM-dd HH:mm: ")) + textOf(line.sentence);
    const QStringList cells{
        moment.toString(QStringLiteral("yyyy-MM-dd")),
        line.on_hand_change == 0 ? QString() : sign + QString::number(line.on_hand_change),
        line.change ? QString() : QString::number(line.on_hand_after), place, textOf(line.short_text)};
    for (int column = 0; column < cells.size(); ++column) {
        auto* item = new QTableWidgetItem(cells[column]);
        item->setToolTip(full);
        if (column == change || column == after) {
            item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
        }
        m_table->setItem(row, column, item);
    }
}

void HistoryPanel::rowPicked() {
    const QTableWidgetItem* item = m_table->item(m_table->currentRow(), what);
    m_sentence->setText(item != nullptr ? item->toolTip() : QString());
    enableUndo();
}

PrintJob HistoryPanel::printJob() const {
    const QString subject = textOf(m_subject->currentIndex() == 1 ? m_bin : m_part);
    const SheetTable sheet{tr("History of %1").arg(subject),
                           {},
                           columnTitles(*m_table->model()),
                           tableRows(*m_table->model()),
                           {}};
    return {QStringLiteral("history-%1").arg(subject),
            [html = tableSheetHtml(sheet)](inventory::ShopFile&) { return html; },
            {}};
}

void HistoryPanel::enableUndo() {
    const int row = m_table->currentRow();
    const bool picked = row >= 0 && row < static_cast<int>(m_numbers.size());
    const bool can_be = picked && m_numbers[static_cast<std::size_t>(row)] > 0;
    const bool reason = !m_reason->text().trimmed().isEmpty();
    m_undo->setEnabled(can_be && reason);
    m_undo->setToolTip(!picked   ? tr("Pick the movement first.")
                       : !can_be ? tr("It has been undone, or is itself an undoing.")
                       : !reason ? tr("Say why it is undone first.")
                                 : tr("Books the reverse of the picked movement."));
}

void HistoryPanel::undo() {
    const std::int64_t number = m_numbers.at(static_cast<std::size_t>(m_table->currentRow()));
    if (const auto problem = problemOf([&] {
            services::undoMovement(m_session.shop(), number, false, m_reason->text().toStdString());
        })) {
        emit failed(*problem);
        return;
    }
    m_reason->clear();
    m_session.announceChange();
    emit done(tr("Movement %1 is undone by its reverse.").arg(number));
}

} // namespace shimledger::desk
