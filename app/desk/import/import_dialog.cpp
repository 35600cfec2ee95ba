// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/import/import_dialog.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/length_text.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/sheet_import/sheet_fields.h"
#include "inventory/csv_import.h"
#include "planner/units/input_error.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSplitter>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>
#include <map>

namespace shimledger::desk {

namespace {

constexpr int most_lines = 2000; ///< that are shown; all of them are imported
constexpr std::size_t shown_cells = 3;
constexpr QLatin1String ignored("ignore");
enum ColumnsColumn { heading_column, cells_column, field_column, why_column };

/// "od (mm)" of "od_mm"
QString fieldText(std::string_view name) {
    QString text = textOf(name);
    if (text.endsWith(QLatin1String("_mm"))) text = text.chopped(3) + QStringLiteral(" (mm)");
    return text.replace(QLatin1Char('_'), QLatin1Char(' '));
}

QTableWidgetItem* readOnly(const QString& text) {
    auto* item = new QTableWidgetItem(text);
    item->setFlags(Qt::ItemIsEnabled | Qt::ItemIsSelectable);
    item->setToolTip(text);
    return item;
}

/// The row with the headings: the one that was understood, else the first that has anything.
const services::RawRow* headingsOf(const services::RawSheet& sheet,
                                   const std::optional<services::SheetLayout>& layout) {
    if (layout) {
        for (const services::RawRow& row : sheet.rows) {
            if (row.line == layout->heading_line) return &row;
        }
    }
    return sheet.rows.empty() ? nullptr : &sheet.rows.front();
}

} // namespace

QString contentsOf(const services::SheetImport& import) {
    std::map<std::string, std::int64_t> rows; // by what they are
    std::vector<std::string> order;
    for (const inventory::ImportReport& report : import.done) {
        for (const inventory::ImportedFile& file : report.files) {
            if (rows.find(file.what) == rows.end()) order.push_back(file.what);
            rows[file.what] += file.rows;
        }
    }
    QStringList parts;
    for (const std::string& what : order) {
        if (rows[what] > 0) parts << ImportDialog::tr("%1 %2").arg(rows[what]).arg(textOf(what));
    }
    return parts.join(QStringLiteral(", "));
}

ImportDialog::ImportDialog(ShopSession& session, AppSettings& settings, const QString& path, QWidget* parent)
    : QDialog(parent), m_session(session), m_settings(settings), m_path(path), m_strip(new MessageStrip),
      m_sheet(new QComboBox), m_sheet_caption(new QLabel(tr("&Sheet"))), m_columns(new QTableWidget(0, 4)),
      m_lines(new QTableWidget(0, 2)), m_decimal(new QComboBox), m_unit(new QComboBox), m_bin(new QLineEdit),
      m_bore(new QLineEdit), m_supplier(new QLineEdit),
      m_as_written(new QCheckBox(tr("Unusual sizes, counts and &readings are meant as they are written"))),
      m_summary(new QLabel), m_buttons(new QDialogButtonBox(QDialogButtonBox::Cancel)),
      m_import(m_buttons->addButton(tr("&Import"), QDialogButtonBox::AcceptRole)) {
    setWindowTitle(tr("Import %1").arg(QFileInfo(path).fileName()));
    layOut();
    guarded(&m_run, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    guarded(&m_run, &BackgroundRun::finished, this, [this] { m_keeping = false; });
    guarded(&m_run, &BackgroundRun::started, this, [this] { m_import->setEnabled(false); });
    guarded(m_buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    guarded(m_import, &QPushButton::clicked, this, &ImportDialog::keep);
    for (QComboBox* box : {m_sheet, m_decimal, m_unit}) {
        guarded(box, &QComboBox::activated, this, [this, box] {
            if (box == m_sheet) { // other headings: what was said of the last ones is not about them
                m_said.clear();
                m_recalled = false;
            }
            look();
        });
    }
    for (QLineEdit* field : {m_bin, m_bore, m_supplier})
        guarded(field, &QLineEdit::editingFinished, this, [this, field] {
            if (!field->isModified()) return;
            field->setModified(false);
            look();
        });
    guarded(m_as_written, &QCheckBox::toggled, this, &ImportDialog::look);
    look();
}

ImportDialog::~ImportDialog() = default;

void ImportDialog::layOut() {
    m_sheet->setAccessibleName(tr("Sheet of the workbook"));
    m_sheet_caption->setBuddy(m_sheet);
    m_columns->setHorizontalHeaderLabels({tr("Heading"), tr("In the sheet"), tr("Is read as"), tr("Why")});
    m_columns->setAccessibleName(tr("Columns of the sheet"));
    dressTable(*m_columns);
    m_columns->setTabKeyNavigation(true); // from box to box
    m_lines->setHorizontalHeaderLabels({tr("Line"), tr("What it does, or what is wrong")});
    m_lines->setAccessibleName(tr("Lines of the sheet"));
    dressTable(*m_lines);
    m_decimal->setAccessibleName(tr("Sign of decimals"));
    m_decimal->addItem(tr("found out"), static_cast<int>(services::DecimalSign::unknown));
    m_decimal->addItem(tr("0.10, a point"), static_cast<int>(services::DecimalSign::point));
    m_decimal->addItem(tr("0,10, a comma"), static_cast<int>(services::DecimalSign::comma));
    m_unit->setAccessibleName(tr("Sizes are in"));
    m_unit->addItem(tr("as the sheet says"), QString());
    m_unit->addItem(tr("mm"), QStringLiteral("mm"));
    m_unit->addItem(tr("inches"), QStringLiteral("in"));
    m_bin->setAccessibleName(tr("Drawer of all lines that name none"));
    m_bore->setAccessibleName(
        tr("Bore of all lines that name none, %1").arg(typingHelp(m_settings.choices().size_unit)));
    m_supplier->setAccessibleName(tr("Supplier of all prices that name none"));
    m_summary->setWordWrap(true);
    m_summary->setTextFormat(Qt::PlainText);
    m_import->setDefault(true);

    auto* top = new QHBoxLayout;
    top->addWidget(m_sheet_caption);
    top->addWidget(m_sheet);
    top->addStretch();
    auto* numbers = new QFormLayout;
    numbers->addRow(tr("&Decimals"), m_decimal);
    numbers->addRow(tr("Sizes are in, &unless marked"), m_unit);
    auto* all = new QFormLayout;
    all->addRow(tr("&Bin, where a line names none"), m_bin);
    all->addRow(tr("B&ore, where a line names none"), m_bore);
    all->addRow(tr("Su&pplier, where a line names none"), m_supplier);
    auto* fields = new QHBoxLayout;
    fields->addLayout(numbers);
    fields->addSpacing(24);
    fields->addLayout(all);
    fields->addStretch();
    auto* tables = new QSplitter(Qt::Horizontal);
    tables->setChildrenCollapsible(false);
    tables->addWidget(m_columns);
    tables->addWidget(m_lines);
    tables->setSizes({520, 560});
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(top);
    layout->addWidget(tables, 1);
    layout->addLayout(fields);
    layout->addWidget(m_as_written);
    layout->addWidget(m_summary);
    layout->addWidget(m_buttons);
    resize(1120, 640);
}

QComboBox* ImportDialog::columnBox(int row) const {
    return qobject_cast<QComboBox*>(m_columns->cellWidget(row, field_column));
}

services::SheetAnswers ImportDialog::answers() const {
    services::SheetAnswers answers;
    for (auto said = m_said.begin(); said != m_said.end(); ++said)
        answers.columns.emplace_back("#" + std::to_string(said.key() + 1), said.value().toStdString());
    const auto value = [&](const char* field, const QLineEdit* typed) {
        if (!typed->text().trimmed().isEmpty())
            answers.values.emplace_back(field, typed->text().trimmed().toStdString());
    };
    value("bin", m_bin);
    if (const QString bore = m_bore->text().trimmed(); !bore.isEmpty()) {
        std::string in_mm = bore.toStdString();
        // What is no length goes on as it is, and the sheet's reader says so.
        (void)problemOf([&] { in_mm = readLength(bore, m_settings.choices().size_unit).text(3); });
        answers.values.emplace_back("id_mm", in_mm);
    }
    value("supplier", m_supplier);
    answers.decimal = static_cast<services::DecimalSign>(m_decimal->currentData().toInt());
    answers.unit = m_unit->currentData().toString().toStdString();
    answers.sizes_are_meant = m_as_written->isChecked();
    if (m_sheet->count() > 1 && m_sheet->currentIndex() > 0)
        answers.sheet = m_sheet->currentText().toStdString();
    return answers;
}

/// Reads the file and what it would do, off the window's thread; nothing is kept.
void ImportDialog::look() {
    m_run.start([this, answers = answers(), path = m_path,
                 shop_path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto look = std::make_shared<Look>();
        try {
            if (!QFileInfo(path).isDir()) {
                std::vector<services::RawSheet> sheets = services::readRawSheets(pathOf(path));
                for (const services::RawSheet& sheet : sheets) look->sheets.push_back(sheet.name);
                for (services::RawSheet& sheet : sheets) {
                    if (!look->first.rows.empty()) break;
                    if (answers.sheet.empty() || sheet.name == answers.sheet) look->first = std::move(sheet);
                }
            }
            auto shop = inventory::ShopFile::open(shop_path);
            look->import = services::importSheets(shop, pathOf(path), answers, false);
            for (const services::UnderstoodSheet& sheet : look->import.sheets) {
                const bool shown = look->first.name.empty() ||
                                   sheet.name.find("'" + look->first.name + "'") != std::string::npos ||
                                   look->import.sheets.size() == 1;
                if (shown && !look->layout) look->layout = sheet.layout;
            }
        } catch (const InputError& error) {
            look->question = error.what();
        }
        if (!look->layout && !look->first.rows.empty()) {
            try {
                look->layout = services::layoutOf(look->first, look->first.name, answers);
            } catch (const InputError&) { // the question has been asked above
            }
        }
        return [this, look] { show(*look); };
    });
}

QString ImportDialog::signatureOf(const services::RawSheet& sheet,
                                  const std::optional<services::SheetLayout>& layout) {
    const services::RawRow* headings = headingsOf(sheet, layout);
    if (headings == nullptr) return {};
    QStringList words;
    for (const services::RawCell& cell : headings->cells)
        words << textOf(services::headingWords(cell.text).words);
    return words.join(QLatin1Char('|'));
}

void ImportDialog::show(const Look& look) {
    m_signature = signatureOf(look.first, look.layout);
    if (!m_recalled) {
        m_recalled = true;
        const QVariantMap said = m_settings.sheetAnswers(m_signature);
        if (!said.isEmpty()) {
            for (auto column = said.begin(); column != said.end(); ++column)
                if (column.key().startsWith(QLatin1Char('#')))
                    m_said[column.key().mid(1).toInt()] = column.value().toString();
            m_decimal->setCurrentIndex(
                std::max(0, m_decimal->findData(said.value(QStringLiteral("decimal")))));
            m_unit->setCurrentIndex(std::max(0, m_unit->findData(said.value(QStringLiteral("unit")))));
            m_bin->setText(said.value(QStringLiteral("bin")).toString());
            m_bore->setText(said.value(QStringLiteral("bore")).toString());
            m_supplier->setText(said.value(QStringLiteral("supplier")).toString());
            this->look();
            return;
        }
    }
    const bool several = look.sheets.size() > 1;
    if (several && m_sheet->count() == 0) {
        m_sheet->addItem(tr("all that are a shop's"));
        for (const std::string& name : look.sheets) m_sheet->addItem(textOf(name));
    }
    m_sheet->setVisible(several);
    m_sheet_caption->setVisible(several);
    showColumns(look);
    showLines(look);
    const bool good = look.question.empty() && look.import.good();
    const QString contents = contentsOf(look.import);
    m_import->setEnabled(good && !contents.isEmpty());
    if (!look.question.empty()) {
        m_strip->showNote(textOf(look.question));
        m_summary->clear();
    } else if (!good) {
        inventory::ImportReport count;
        count.problem_count = look.import.problem_count;
        count.unread_count = look.import.unread_count;
        m_strip->showProblem(tr("%1 Put the sheet right, or say below how it is to be read.")
                                 .arg(textOf(inventory::problemCountText(count))));
        m_summary->clear();
    } else {
        m_strip->clear();
        QStringList notes;
        notes << (contents.isEmpty() ? tr("Nothing in it is new to the shop.")
                                     : tr("Brings %1.").arg(contents));
        for (const services::UnderstoodSheet& sheet : look.import.sheets) {
            for (const std::string& note : sheet.notes) notes << textOf(note);
        }
        for (const std::string& passed : look.import.passed_over)
            notes << tr("Passed over: %1.").arg(textOf(passed));
        m_summary->setText(notes.join(QLatin1Char('\n')));
    }
}

void ImportDialog::showColumns(const Look& look) {
    const services::RawRow* headings = headingsOf(look.first, look.layout);
    m_columns->setVisible(headings != nullptr);
    const int focused = m_columns->currentRow();
    m_columns->setRowCount(0);
    if (headings == nullptr) return;
    const int width = static_cast<int>(headings->cells.size());
    m_columns->setRowCount(width);
    for (int place = 0; place < width; ++place) {
        const auto at = static_cast<std::size_t>(place);
        const services::SheetColumn* column = nullptr;
        if (look.layout) {
            for (const services::SheetColumn& known : look.layout->columns)
                if (known.place == at) column = &known;
        }
        QStringList cells;
        for (const services::RawRow& row : look.first.rows) {
            if (row.line <= headings->line || at >= row.cells.size() || row.cells[at].text.empty()) continue;
            cells << textOf(row.cells[at].text);
            if (static_cast<std::size_t>(cells.size()) == shown_cells) break;
        }
        const QString heading = textOf(headings->cells[at].text);
        m_columns->setItem(place, heading_column, readOnly(heading));
        m_columns->setItem(place, cells_column, readOnly(cells.join(QStringLiteral(", "))));
        auto* box = new QComboBox;
        box->addItem(tr("not read"), QString(ignored));
        for (const services::SheetField& field : services::sheetFields())
            box->addItem(fieldText(field.name), textOf(field.name));
        const QString field =
            column != nullptr && column->field != nullptr ? textOf(column->field->name) : QString(ignored);
        box->setCurrentIndex(std::max(0, box->findData(field)));
        box->setAccessibleName(tr("What column %1, %2, is read as").arg(place + 1).arg(heading));
        guarded(box, &QComboBox::activated, this, [this, place, box] {
            m_said[place] = box->currentData().toString();
            this->look();
        });
        m_columns->setCellWidget(place, field_column, box);
        const QString why = m_said.contains(place)     ? tr("you said so")
                            : column == nullptr        ? QString()
                            : !column->how.empty()     ? textOf(column->how)
                            : column->field != nullptr ? tr("its heading")
                                                       : QString();
        m_columns->setItem(place, why_column, readOnly(why));
    }
    m_columns->resizeColumnsToContents();
    m_columns->setColumnWidth(cells_column, std::min(180, m_columns->columnWidth(cells_column)));
    m_columns->resizeRowsToContents();
    if (focused >= 0 && focused < width) m_columns->setCurrentCell(focused, heading_column);
}

void ImportDialog::showLines(const Look& look) {
    struct Line {
        std::int64_t line = 0;
        QString text;
        bool wrong = false;
    };
    std::vector<Line> lines;
    for (const inventory::ImportProblem& problem : look.import.problems) {
        const QString where =
            problem.column_name.empty() ? QString() : textOf(problem.column_name) + QStringLiteral(": ");
        const QString file =
            QFileInfo(m_path).isDir() ? textOf(problem.file) + QStringLiteral(", ") : QString();
        lines.push_back({problem.line,
                         QString(QChar(0x25B2)) + QLatin1Char(' ') + file + where + textOf(problem.reason),
                         true});
    }
    for (const services::UnderstoodSheet& sheet : look.import.sheets) {
        for (const auto& [line, text] : sheet.lines) lines.push_back({line, textOf(text), false});
    }
    // What is wrong comes first; within both, the sheet's own order.
    std::stable_sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) {
        return std::pair(!a.wrong, a.line) < std::pair(!b.wrong, b.line);
    });
    const auto count = static_cast<int>(std::min<std::size_t>(lines.size(), most_lines));
    m_lines->setRowCount(count);
    for (int row = 0; row < count; ++row) {
        const Line& line = lines[static_cast<std::size_t>(row)];
        m_lines->setItem(row, 0, readOnly(line.line > 0 ? QString::number(line.line) : QString()));
        m_lines->setItem(row, 1, readOnly(line.text));
    }
    m_lines->resizeColumnToContents(0);
    m_lines->horizontalHeader()->setStretchLastSection(true);
}

void ImportDialog::remember() const {
    if (m_signature.isEmpty()) return;
    QVariantMap said;
    for (auto column = m_said.begin(); column != m_said.end(); ++column)
        said[QLatin1Char('#') + QString::number(column.key())] = column.value();
    const auto note = [&](const char* key, const QVariant& value, bool worth) {
        if (worth) said[QString::fromLatin1(key)] = value;
    };
    note("decimal", m_decimal->currentData(), m_decimal->currentIndex() > 0);
    note("unit", m_unit->currentData(), m_unit->currentIndex() > 0);
    note("bin", m_bin->text(), !m_bin->text().isEmpty());
    note("bore", m_bore->text(), !m_bore->text().isEmpty());
    note("supplier", m_supplier->text(), !m_supplier->text().isEmpty());
    m_settings.setSheetAnswers(m_signature, said);
}

void ImportDialog::reject() {
    if (!m_keeping) QDialog::reject();
}

void ImportDialog::keep() {
    m_keeping = true;
    m_run.start([this, answers = answers(), path = m_path,
                 shop_path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::open(shop_path);
        auto import = std::make_shared<services::SheetImport>(
            services::importSheets(shop, pathOf(path), answers, true));
        return [this, import] {
            if (!import->good()) { // the sheet or the shop has changed since it was shown
                look();
                return;
            }
            remember();
            const QString sentence = tr("Imported: %1.").arg(contentsOf(*import));
            emit imported(sentence);
            accept();
        };
    });
}

} // namespace shimledger::desk
