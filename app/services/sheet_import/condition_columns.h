// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/sheet_layout.h"

#include <cstddef>
#include <map>
#include <optional>
#include <string>

namespace shimledger::services {

/// The columns, by place, that count new and used pieces apart, with their condition; fewer than two are
/// none.
[[nodiscard]] std::map<std::size_t, std::string> conditionColumns(const SheetLayout& layout);

/// A sheet that counts new and used pieces in a column each ("New" and "Used", "Qty new" and "Qty used"), as
/// one line for each condition, with `layout` changed to that. Nothing where it is no such sheet, or where
/// somebody has said what one of those columns is.
[[nodiscard]] std::optional<RawSheet> lineForEachCondition(const RawSheet& sheet, SheetLayout& layout);

} // namespace shimledger::services
