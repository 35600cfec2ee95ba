// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace shimledger::services {

/// The name of the workbook's own property in which a sheet of ours says what it is ("pick list").
/// Spreadsheet programs keep it when they save.
inline constexpr std::string_view sheet_kind_property = "Shimledger sheet";

/// What kind of sheet of ours a workbook is; empty for any other file.
[[nodiscard]] std::string sheetKindOf(const std::filesystem::path& workbook);

/// True if every document in the workbook's bytes ends as it began. libxlsxwriter does not look whether its
/// scratch files were written to their end, and closes a workbook with half a sheet in it as if all were
/// well.
[[nodiscard]] bool workbookIsWhole(const std::string& bytes);

} // namespace shimledger::services
