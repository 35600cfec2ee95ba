// SPDX-License-Identifier: GPL-3.0-or-later
// What of the drawers goes onto paper, and what of them the search everywhere finds.

#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/path_text.h"
#include "app/desk/print/bench_html.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/search_everywhere.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <QLineEdit>
#include <QTabWidget>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

PrintJob DrawersPage::printJob() const {
    if (m_sides->currentWidget() == m_history) {
        return m_history->printJob();
    }
    SheetTable sheet;
    sheet.title = tr("Count sheet");
    sheet.note = m_find->text().isEmpty() ? tr("Everything in the drawers.")
                                          : tr("Lines found by \"%1\".").arg(m_find->text());
    sheet.columns = {tr("Bin"), tr("Size (mm)"), tr("Part"), tr("Condition"), tr("On hand"), tr("Counted")};
    for (int row = 0; row < m_filter->rowCount(); ++row) {
        const auto cell = [&](int column) { return m_filter->index(row, column).data().toString(); };
        sheet.rows.push_back({cell(StockTableModel::bin), cell(StockTableModel::size),
                              cell(StockTableModel::part), cell(StockTableModel::condition),
                              cell(StockTableModel::on_hand), QString()});
    }
    return {QStringLiteral("count-sheet"),
            [html = tableSheetHtml(sheet)](inventory::ShopFile&) { return html; },
            {}};
}

PrintJob DrawersPage::labelJob(services::PaperSize paper) const {
    std::vector<std::string> bins;
    for (int row = 0; row < m_filter->rowCount(); ++row) {
        const std::string bin = m_filter->index(row, StockTableModel::bin).data().toString().toStdString();
        if (!bin.empty() && std::ranges::find(bins, bin) == bins.end()) {
            bins.push_back(bin);
        }
    }
    if (bins.empty()) {
        throw InputError("no bin is shown in the table: labels are made of those that are");
    }
    return {QStringLiteral("bin-labels"),
            [bins, paper](inventory::ShopFile& shop) {
                return labelSheetHtml(services::binLabels(shop, bins), paper);
            },
            {}};
}

std::vector<SearchHit> DrawersPage::searchHits() {
    std::vector<SearchHit> hits;
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const StockLine& line = m_model->line(row);
        const bool used = line.lot.condition == inventory::Condition::used;
        const QString where =
            line.out() ? tr("none left")
            : used     ? tr("bin %1, used, %2 on hand").arg(textOf(line.lot.bin)).arg(line.lot.on_hand)
                       : tr("bin %1, %2 on hand").arg(textOf(line.lot.bin)).arg(line.lot.on_hand);
        hits.push_back(
            {tr("%1 %2").arg(textOf(inventory::partKindRule(line.lot.kind).noun), line.whatText()), where,
             [this, part = textOf(line.lot.part), bin = textOf(line.lot.bin)] { pickLine(part, bin); },
             m_model->findKey(row)});
    }
    return hits;
}

} // namespace shimledger::desk
