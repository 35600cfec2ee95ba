// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/books/stock_value_dialog.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/books_html.h"
#include "app/desk/scaled_label.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "app/services/sheets/money_sheets.h"
#include "inventory/csv_writer.h"

#include <QDir>
#include <QFileInfo>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

QTableWidget* sumTable(const QString& name) {
    auto* table = new QTableWidget(0, 3);
    table->setHorizontalHeaderLabels({name, StockValueDialog::tr("Lots"), StockValueDialog::tr("Value")});
    table->setAccessibleName(StockValueDialog::tr("Value by %1").arg(name));
    table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    table->setSelectionBehavior(QAbstractItemView::SelectRows);
    table->setAlternatingRowColors(true);
    table->setTabKeyNavigation(false);
    table->verticalHeader()->hide();
    table->horizontalHeader()->setSectionResizeMode(0, QHeaderView::Stretch);
    return table;
}

void fill(QTableWidget& table, const std::vector<services::ValueSum>& sums) {
    table.setRowCount(static_cast<int>(sums.size()));
    for (int row = 0; row < table.rowCount(); ++row) {
        const services::ValueSum& sum = sums[static_cast<std::size_t>(row)];
        const QStringList cells{sum.name.empty() ? StockValueDialog::tr("(none)") : textOf(sum.name),
                                QString::number(sum.lots), textOf(services::moneySumText(sum.amount))};
        for (int column = 0; column < cells.size(); ++column) {
            auto* item = new QTableWidgetItem(cells[column]);
            if (column > 0) item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
            table.setItem(row, column, item);
        }
    }
    table.resizeColumnToContents(1);
    table.resizeColumnToContents(2);
}

} // namespace

StockValueDialog::StockValueDialog(ShopSession& session, UserPrompts& prompts, AppSettings& settings,
                                   QWidget* parent)
    : QDialog(parent), m_session(session), m_prompts(prompts), m_settings(settings),
      m_print(new PrintFlow(session, prompts, settings, this)), m_day(new QLineEdit),
      m_total(new ScaledLabel(1.3)), m_method(new SentenceLabel), m_kinds(sumTable(tr("Kind"))),
      m_cabinets(sumTable(tr("Cabinet"))), m_write(new QPushButton(tr("&Write as a sheet..."))),
      m_print_button(new QPushButton(tr("&Print..."))), m_pdf(new QPushButton(tr("Save as PD&F..."))),
      m_strip(new MessageStrip) {
    setWindowTitle(tr("Value of the stock"));
    m_day->setText(textOf(m_session.shop().now().date().text()));
    m_day->setAccessibleName(tr("Day, such as 2026-12-31"));
    m_day->setToolTip(tr("The stock as it was when this day was over (UTC); Return reckons it."));
    auto* day = new QLabel(tr("On the &day"));
    day->setBuddy(m_day);
    auto* reckon_button = new QPushButton(tr("&Reckon"));
    auto* top = new QHBoxLayout;
    top->addWidget(day);
    top->addWidget(m_day);
    top->addWidget(reckon_button);
    top->addStretch(1);
    m_total->setTextFormat(Qt::PlainText);
    auto* tables = new QHBoxLayout;
    tables->addWidget(m_kinds, 1);
    tables->addWidget(m_cabinets, 1);
    auto* close = new QPushButton(tr("Close"));
    auto* buttons = new QHBoxLayout;
    for (QPushButton* button : {m_write, m_print_button, m_pdf}) {
        button->setEnabled(false);
        buttons->addWidget(button);
    }
    buttons->addStretch(1);
    buttons->addWidget(close);
    for (QPushButton* button : {reckon_button, m_write, m_print_button, m_pdf, close})
        button->setAutoDefault(false);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(top);
    layout->addWidget(m_total);
    layout->addLayout(tables, 1);
    layout->addWidget(m_method);
    layout->addLayout(buttons);
    resize(900, 620);
    guarded(m_day, &QLineEdit::returnPressed, this, &StockValueDialog::reckon);
    guarded(reckon_button, &QPushButton::clicked, this, &StockValueDialog::reckon);
    guarded(m_write, &QPushButton::clicked, this, &StockValueDialog::write);
    guarded(m_print_button, &QPushButton::clicked, this, &StockValueDialog::print);
    guarded(m_pdf, &QPushButton::clicked, this, &StockValueDialog::savePdf);
    guarded(close, &QPushButton::clicked, this, &QDialog::reject);
    guarded(&m_run, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    guarded(m_print, &PrintFlow::done, m_strip, &MessageStrip::showDone);
    guarded(m_print, &PrintFlow::failed, m_strip, &MessageStrip::showProblem);
    reckon();
}

QString StockValueDialog::total() const {
    return m_total->text();
}

void StockValueDialog::reckon() {
    m_strip->clear();
    inventory::CalendarDate day;
    if (const auto problem =
            problemOf([&] { day = inventory::CalendarDate::parse(m_day->text().trimmed().toStdString()); })) {
        m_strip->showMessage(MessageStrip::Kind::problem, *problem);
        m_day->selectAll();
        return;
    }
    m_run.start([this, day, path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto value = std::make_shared<const services::StockValue>(services::stockValue(shop, day));
        return [this, value] { show(value); };
    });
}

void StockValueDialog::show(std::shared_ptr<const services::StockValue> value) {
    m_value = std::move(value);
    m_total->setText(tr("The stock on %1: %2")
                         .arg(textOf(m_value->day.text()), textOf(services::moneySumText(m_value->total))));
    fill(*m_kinds, m_value->by_kind);
    fill(*m_cabinets, m_value->by_cabinet);
    QStringList sentences;
    for (const std::string& note : services::valueNotes(*m_value))
        sentences << textOf(note) + QLatin1Char('.');
    for (const std::string& sentence : m_value->method) sentences << textOf(sentence);
    m_method->setText(sentences.join(QLatin1Char('\n')));
    for (QPushButton* button : {m_write, m_print_button, m_pdf}) button->setEnabled(true);
}

void StockValueDialog::write() {
    if (!m_value) return;
    const QString name = QStringLiteral("stock-value-%1.xlsx").arg(textOf(m_value->day.text()));
    const QString path = m_prompts.sheetPath(this, tr("Write the value of the stock"),
                                             QDir(m_settings.lastFolder()).filePath(name));
    if (path.isEmpty()) return;
    if (const auto problem = problemOf([&] {
            if (path.endsWith(QStringLiteral(".csv"), Qt::CaseInsensitive)) {
                inventory::writeCsvFile({pathOf(path), true}, [this](std::ostream& out) {
                    services::writeValueCsv(*m_value, out);
                });
            } else {
                services::writeStockValueSheet(*m_value, {pathOf(path), true}, m_settings.choices().paper);
            }
        })) {
        m_strip->showMessage(MessageStrip::Kind::problem, *problem);
        return;
    }
    m_settings.setLastFolder(QFileInfo(path).absolutePath());
    m_strip->showDone(tr("The value of the stock is in %1.").arg(path));
}

PrintJob StockValueDialog::printJob() const {
    return {QStringLiteral("stock-value-%1").arg(textOf(m_value->day.text())),
            [value = m_value](inventory::ShopFile&) { return stockValueHtml(*value); },
            {}};
}

void StockValueDialog::print() {
    if (m_value) m_print->print(printJob(), this);
}

void StockValueDialog::savePdf() {
    if (m_value) m_print->savePdf(printJob(), this);
}

} // namespace shimledger::desk
