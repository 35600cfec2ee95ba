// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/output_file.h"
#include "planner/units/length.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Writes RFC 4180 CSV: CRLF, quotes where a cell needs them, texts that begin like a formula guarded
/// (csv_guard.h).
class CsvWriter {
public:
    explicit CsvWriter(std::ostream& out) : m_out(out) {}
    void row(const std::vector<std::string>& cells);

private:
    std::ostream& m_out;
};

[[nodiscard]] std::string csvLength(std::optional<Length> length); ///< "" where there is none
[[nodiscard]] std::string csvWhole(std::optional<std::int64_t> number);

/// Writes a file as output_file.h says: a new one, unless the target allows more.
void writeCsvFile(const OutputTarget& target, const std::function<void(std::ostream&)>& write);

} // namespace shimledger::inventory
