// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/reorder_sheet.h"
#include "app/services/sheets/sheet_writer.h"

namespace shimledger::services {

/// A sheet on the drawers: value on hand, stock-outs and what they cost, dead stock, overstock.
void writeDrawersSheet(SheetWriter& writer, const ReorderSummary& summary);
/// A sheet of charts, two beside each other, and the hidden sheet that they read.
void writeCourseSheets(SheetWriter& writer, const std::map<std::string, StockCourse>& courses);

} // namespace shimledger::services
