#pragma once

#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <ostream>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// Writes RFC 4180 CSV: CRLF, quotes where a cell needs them.
class CsvWriter {
public:
    explicit CsvWriter(std::ostream& out) : m_out(out) {}
    void row(const std::vector<std::string>& cells);

private:
    std::ostream& m_out;
};

[[nodiscard]] std::string csvLength(std::optional<Length> length); ///< "" where there is none
[[nodiscard]] std::string csvWhole(std::optional<std::int64_t> number);

/// Writes a new file; throws InputError when it exists, ShopFileFault when the disk does not take it (the
/// half-written file is removed).
void writeCsvFile(const std::filesystem::path& path, const std::function<void(std::ostream&)>& write);

/// One file of the export; the counterpart of ImportTable.
struct ExportTable {
    std::string_view file;
    void (*write)(ShopFile&, std::ostream&);
};
[[nodiscard]] std::span<const ExportTable> exportTables();

} // namespace shimledger::inventory
