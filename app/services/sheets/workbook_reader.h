// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/raw_sheet.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// Reads the cells of an .xlsx or .ods workbook, of all sheets that are not hidden, each as its file holds
/// it: nothing is computed, so that a formula without a value is a fault of its cell. Throws InputError,
/// which begins with `name`, for bytes that are no such workbook or a damaged one.
[[nodiscard]] std::vector<RawSheet> readWorkbook(const std::string& bytes, const std::string& name);

} // namespace shimledger::services
