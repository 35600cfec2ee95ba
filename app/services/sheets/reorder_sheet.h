// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "app/services/reorder_summary.h"
#include "app/services/sheets/paper_size.h"
#include "app/services/stock_course.h"

#include "inventory/output_file.h"
#include <map>
#include <optional>
#include <string>

namespace shimledger::services {

/// What goes beside the orders: how the drawers stand, and a chart for each part that is bought.
struct ReorderReview {
    std::optional<ReorderSummary> summary;
    std::map<std::string, StockCourse> courses; ///< by part
};

[[nodiscard]] ReorderReview reorderReview(inventory::ShopFile& shop, const ReorderPlan& plan);

/// Writes a summary, one sheet per supplier with totals that follow the packs typed in (price breaks too),
/// and, from the review, a sheet on the drawers and one of charts, as .xlsx. Errors and what may be replaced:
/// sheet_writer.h.
void writeReorderSheet(const ReorderPlan& plan, const inventory::OutputTarget& target,
                       PaperSize paper = PaperSize::a4, const ReorderReview& review = {});

} // namespace shimledger::services
