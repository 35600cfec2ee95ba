// SPDX-License-Identifier: GPL-3.0-or-later
// What the manager's page says of the plan: totals, the picked line's reason and its stock over time.
#include "app/desk/counted.h"
#include "app/desk/path_text.h"
#include "app/desk/reorder/course_view.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"
#include "app/services/reorder_words.h"
#include "inventory/money.h"

#include <QLabel>
#include <QTableView>

#include <algorithm>
#include <map>

namespace shimledger::desk {

void ReorderPage::dressPlan() {
    m_plan_table->clearSpans();
    for (int row = 0; row < m_plan->rowCount(); ++row) {
        if (m_plan->isHeading(row)) m_plan_table->setSpan(row, 0, 1, PlanTableModel::column_count);
    }
    m_plan_table->setColumnHidden(PlanTableModel::shelf_life, !m_plan->anyShelfLife());
}

QString ReorderPage::totals() const {
    return m_totals->text();
}

void ReorderPage::showTotals() {
    struct Sum {
        qint64 lines = 0;
        inventory::Hundredths goods = 0, freight = 0;
    };
    std::map<std::string, Sum> sums; // by currency
    for (const services::SupplierOrder& order : m_plan->plan().orders) {
        Sum& sum = sums[order.supplier.currency];
        for (const services::ReorderLine& line : order.lines) sum.lines += line.packs > 0 ? 1 : 0;
        sum.goods += order.total();
        if (order.total() > 0) sum.freight += order.supplier.freight.value_or(0);
    }
    QStringList sentences;
    const services::PageOne page = services::pageOne(m_plan->plan());
    for (const auto* told : {&page.stops, &page.if_not}) {
        constexpr std::size_t most_told = 2; // all of it is on the sheet's first page
        for (std::size_t i = 0; i < std::min(most_told, told->size()); ++i) sentences << textOf((*told)[i]);
        if (told->size() > most_told) {
            sentences << tr("%1 more on the sheet").arg(static_cast<qint64>(told->size() - most_told));
        }
    }
    for (const auto& [currency, sum] : sums) {
        sentences << tr("All suppliers: %1, %2 %3, freight %4, %5 in all")
                         .arg(counted(sum.lines, tr("1 line"), tr("%1 lines")),
                              textOf(inventory::moneyText(sum.goods)), textOf(currency),
                              textOf(inventory::moneyText(sum.freight)),
                              textOf(inventory::moneyText(sum.goods + sum.freight)));
    }
    for (const services::PlanQuality& quality : m_plan->plan().quality) {
        sentences << (m_plan->edited() ? tr("Before your changes: %1").arg(textOf(quality.sentence))
                                       : textOf(quality.sentence));
    }
    for (const std::string& note : m_plan->plan().notes) {
        sentences << textOf(note);
    }
    QStringList later;
    for (const std::string& sentence : page.later) later << textOf(sentence) + QLatin1Char('.');
    m_totals->setToolTip(later.join(QLatin1Char('\n'))); // the page has room for what presses today
    m_totals->setText(sentences.isEmpty() ? QString()
                                          : sentences.join(QStringLiteral(".\n")) + QLatin1Char('.'));
}

QString ReorderPage::reason() const {
    return m_reason->text();
}

void ReorderPage::showReason() {
    const int row = m_plan_table->currentIndex().row();
    if (m_plan->rowCount() == 0) {
        m_reason->setText(m_planned ? tr("Nothing is to be bought.") : QString());
    } else if (row < 0 || row >= m_plan->rowCount() || m_plan->isHeading(row)) {
        m_reason->setText(tr("Packs can be typed over; 0 drops a line."));
    } else {
        const services::ReorderLine& line = m_plan->line(row);
        QString text = tr("%1: %2").arg(textOf(line.what), textOf(line.reason));
        // How the demand was forecast is in the tip of the line.
        if (!line.demand.empty())
            text += tr("; demand %1").arg(textOf(line.demand).section(QLatin1Char(','), 0, 0));
        if (line.promised_share > 0) text += tr("; %1").arg(textOf(services::promiseText(line)));
        m_reason->setText(text + QLatin1Char('.'));
    }
}

void ReorderPage::showCourse() {
    const int row = m_plan_table->currentIndex().row();
    if (row < 0 || row >= m_plan->rowCount() || m_plan->isHeading(row)) {
        m_chart->show({});
        return;
    }
    m_course_run.start([this, path = m_session.path(), plan = m_plan->plan(),
                        part = m_plan->line(row).part](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto courses = services::stockCourses(shop, plan, {part});
        return [this, course = courses[part]] { m_chart->show(course); };
    });
}

} // namespace shimledger::desk
