// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_writer.h"

#include "inventory/csv_guard.h"

namespace shimledger::inventory {

namespace {

bool needsQuotes(std::string_view cell) {
    return cell.find_first_of(",\"\r\n") != std::string_view::npos ||
           (!cell.empty() && (cell.front() == ' ' || cell.back() == ' '));
}

} // namespace

void CsvWriter::row(const std::vector<std::string>& cells) {
    bool first = true;
    for (const std::string& cell : cells) {
        if (!first) m_out << ',';
        first = false;
        const std::string_view guard = needsGuard(cell) ? "'" : "";
        if (!needsQuotes(cell)) {
            m_out << guard << cell;
            continue;
        }
        m_out << '"' << guard;
        for (const char c : cell) {
            if (c == '"') m_out << '"';
            m_out << c;
        }
        m_out << '"';
    }
    m_out << "\r\n";
}

std::string csvLength(std::optional<Length> length) {
    return length ? length->text(2) : std::string();
}

std::string csvWhole(std::optional<std::int64_t> number) {
    return number ? std::to_string(*number) : std::string();
}

void writeCsvFile(const OutputTarget& target, const std::function<void(std::ostream&)>& write) {
    OutputFile file(target, "file");
    file.write(write);
    file.commit();
}

} // namespace shimledger::inventory
