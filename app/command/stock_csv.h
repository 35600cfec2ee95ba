// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <string>
#include <vector>

namespace shimledger::command {

/// The shims of a STOCK.csv, in any dialect that `stock import` reads (kind, od_mm, id_mm, thickness_mm,
/// measured_mm, condition, bin, quantity; `reading_spread_mm` and `available`, which goes before the
/// quantity, may follow, as may others; rows of other kinds are passed over). Throws InputError with every
/// bad line: line, column, reason; lines with one kind of fault are one sentence.
[[nodiscard]] std::vector<planner::StockItem> readStockCsv(const std::string& path);

} // namespace shimledger::command
