// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/page_one_view.h"

#include "app/desk/counted.h"
#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "app/desk/table_manners.h"
#include "app/services/reorder_words.h"
#include "inventory/money.h"

#include <QGridLayout>
#include <QHeaderView>
#include <QLabel>
#include <QStandardItemModel>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int least_rows = 2, most_rows = 8;
constexpr int asked_for = Qt::UserRole; // of a row: the job or the supplier that it stands for

QStandardItem* cell(const QString& text, const QString& tip, const QString& asks_for) {
    auto* item = new QStandardItem(text);
    item->setEditable(false);
    item->setToolTip(tip);
    item->setData(asks_for, asked_for);
    return item;
}

QStandardItem* number(QStandardItem* item) {
    item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
    return item;
}

QTableView* tableOf(QStandardItemModel* model, const QStringList& headings, const QString& name) {
    model->setHorizontalHeaderLabels(headings);
    auto* table = new QTableView;
    table->setModel(model);
    table->setAccessibleName(name);
    dressTable(*table);
    return table;
}

/// As wide as what is in them, but a long list of sizes leaves room for what could be done about it.
void fitColumns(QTableView& table) {
    constexpr int most_letters = 34;
    table.resizeColumnsToContents();
    const int most = most_letters * table.fontMetrics().averageCharWidth();
    for (int column = 0; column < table.model()->columnCount(); ++column)
        table.setColumnWidth(column, std::min(table.columnWidth(column), most));
}

} // namespace

PageOneView::PageOneView(QWidget* parent)
    : QWidget(parent), m_jobs_caption(new QLabel), m_orders_caption(new QLabel),
      m_jobs(new QStandardItemModel(this)), m_orders(new QStandardItemModel(this)),
      m_jobs_table(tableOf(m_jobs,
                           {tr("Job"), tr("Due"), tr("Parts there"), tr("Lacks"), tr("What could be done")},
                           tr("Jobs that stand still"))),
      m_orders_table(
          tableOf(m_orders, {tr("Supplier"), tr("Lines"), tr("For jobs"), tr("With freight"), tr("There in")},
                  tr("What to order today"))),
      m_sentences(new SentenceLabel) {
    m_jobs_caption->setBuddy(m_jobs_table);
    m_orders_caption->setBuddy(m_orders_table);
    m_sentences->setAccessibleName(tr("What it costs, and what happens if nothing is ordered"));
    constexpr int least_letters = 16;
    stretchColumn(*m_orders_table, 0, least_letters * m_orders_table->fontMetrics().averageCharWidth());
    auto* layout = new QGridLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(m_jobs_caption, 0, 0);
    layout->addWidget(m_orders_caption, 0, 1);
    layout->addWidget(m_jobs_table, 1, 0, Qt::AlignTop);
    layout->addWidget(m_orders_table, 1, 1, Qt::AlignTop);
    layout->addWidget(m_sentences, 2, 0, 1, 2);
    layout->setColumnStretch(0, 3);
    layout->setColumnStretch(1, 2);
    guarded(m_jobs_table, &QTableView::activated, this,
            [this](const QModelIndex& row) { emit jobPicked(row.data(asked_for).toString()); });
    guarded(m_orders_table, &QTableView::activated, this, [this](const QModelIndex& row) {
        const QString supplier = row.data(asked_for).toString();
        if (!supplier.isEmpty()) emit supplierPicked(supplier);
    });
    clear();
}

void PageOneView::clear() {
    m_jobs->setRowCount(0);
    m_orders_table->clearSpans();
    m_orders->setRowCount(0);
    m_jobs_caption->setText(tr("What stops jobs"));
    m_orders_caption->setText(tr("To order today"));
    m_sentences->clear();
    fitHeights();
}

void PageOneView::fitHeights() {
    for (QTableView* table : {m_jobs_table, m_orders_table}) fitTableHeight(*table, least_rows, m_most_rows);
}

/// The plan itself needs the most of a page.
void PageOneView::shareRoom(int pixels) {
    constexpr int rows_of_others = 8, parts = 5;
    const int rows = pixels / std::max(1, m_jobs_table->verticalHeader()->defaultSectionSize());
    m_most_rows = std::clamp((rows - rows_of_others) / parts, least_rows, most_rows);
    fitHeights();
}

QString PageOneView::sentences() const {
    return m_sentences->text();
}

void PageOneView::showJobs(const services::ReorderPlan& plan) {
    m_jobs->setRowCount(0);
    const QColor bad = DeskColours::of(palette()).bad;
    for (const services::JobOutlook& job : plan.jobs) {
        const QString tip = textOf(job.sentence) + QLatin1Char('.'), code = textOf(job.job);
        const QString there = job.there ? textOf(job.there->text()) : tr("never: not sold");
        auto* day =
            cell(job.days_late > 0
                     ? tr("%1, %2 late").arg(there, counted(job.days_late, tr("a day"), tr("%1 days")))
                     : there,
                 tip, code);
        if (job.late) day->setForeground(bad);
        m_jobs->appendRow(
            {cell(code, tip, code), cell(job.due ? textOf(job.due->text()) : QString(), tip, code), day,
             cell(textOf(job.lacks), tip, code),
             cell(job.late ? textOf(job.advice) : tr("In time, if it is ordered today"), tip, code)});
    }
    m_jobs_caption->setText(plan.jobs.empty() ? tr("Nothing stops a job") : tr("What stops jobs"));
    fitColumns(*m_jobs_table);
}

void PageOneView::showOrders(const services::ReorderPlan& plan, const std::vector<std::string>& later_ones) {
    m_orders_table->clearSpans();
    m_orders->setRowCount(0);
    for (const std::size_t place : services::ordersByUrgency(plan)) {
        const services::SupplierOrder& order = plan.orders[place];
        if (order.total() <= 0) continue;
        const QString name = textOf(order.supplier.name);
        const QString tip = tr("Return or a double-click goes to its lines");
        const auto for_jobs = static_cast<qint64>(order.linesForJobs());
        m_orders->appendRow(
            {cell(name, tip, name), number(cell(QString::number(order.linesToBuy()), tip, name)),
             number(cell(for_jobs > 0 ? QString::number(for_jobs) : QString(), tip, name)),
             number(cell(textOf(inventory::moneyText(order.toPay()) + " " + order.supplier.currency), tip,
                         name)),
             cell(counted(order.supplier.lead_time_days, tr("a day"), tr("%1 days")), tip, name)});
    }
    m_orders_caption->setText(m_orders->rowCount() == 0 ? tr("Nothing to order today")
                                                        : tr("To order today"));
    for (int column = 1; column < m_orders->columnCount(); ++column) // later ones go across them all
        m_orders_table->resizeColumnToContents(column);
    const QColor quiet = DeskColours::of(palette()).quiet;
    for (const std::string& sentence : later_ones) {
        const QString text = textOf(sentence) + QLatin1Char('.');
        auto* later = cell(text, text, {});
        later->setForeground(quiet);
        m_orders->appendRow(later);
        m_orders_table->setSpan(m_orders->rowCount() - 1, 0, 1, m_orders->columnCount());
    }
}

void PageOneView::show(const services::ReorderPlan& plan, const QString& costs) {
    const services::PageOne page = services::pageOne(plan);
    showJobs(plan);
    showOrders(plan, page.later);
    fitHeights();
    QStringList sentences = costs.isEmpty() ? QStringList() : QStringList{costs};
    QStringList if_not;
    for (const std::string& sentence : page.if_not) if_not << textOf(sentence);
    if (!if_not.isEmpty())
        sentences << tr("If nothing is ordered: %1.").arg(if_not.join(QStringLiteral(". ")));
    for (const std::string& note : plan.notes) sentences << textOf(note) + QLatin1Char('.');
    m_sentences->setText(sentences.join(QLatin1Char('\n')));
}

} // namespace shimledger::desk
