// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/job_costs.h"
#include "app/services/sheets/paper_size.h"
#include "app/services/stock_value.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// What a job used with what it cost, and the value of the stock, as .xlsx: amounts are numbers, sums are
/// formulas over them, and the method stands beneath. Errors and what may be replaced: sheet_writer.h.
void writeJobCostsSheet(const JobCosts& costs, const inventory::OutputTarget& target,
                        PaperSize paper = PaperSize::a4);
void writeStockValueSheet(const StockValue& value, const inventory::OutputTarget& target,
                          PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
