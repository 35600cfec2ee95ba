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

} // namespace shimledger::services
