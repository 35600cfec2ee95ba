// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_reader.h"

#include "inventory/csv_guard.h"
#include "inventory/storage/quoted.h"

#include <streambuf>

namespace shimledger::inventory {

namespace {

constexpr int end_of_file = std::char_traits<char>::eof();
constexpr std::size_t most_cells = 200;
// The longest text that a shop file takes (storage/quoted.h) and its guard; a record may have several of
// them.
constexpr std::size_t most_cell_bytes = (std::size_t{4} << 20U) + 1;
constexpr std::size_t most_record_bytes = std::size_t{64} << 20U;

} // namespace

CsvReader::CsvReader(std::istream& in, CsvDialect dialect) : m_in(*in.rdbuf()), m_dialect(dialect) {
    // A byte order mark: EF BB BF says UTF-8 and is passed over, FF FE or FE FF says UTF-16.
    const int first = m_in.sgetc();
    if (first == 0xfe || first == 0xff) m_utf16 = true;
    if (first != 0xef) return;
    m_in.sbumpc();
    if (m_in.sgetc() == 0xbb) m_in.sbumpc();
    if (m_in.sgetc() == 0xbf) m_in.sbumpc();
}

int CsvReader::take() {
    const int c = m_in.sbumpc();
    if (c == '\n') ++m_line;
    return c;
}

// A record ends with LF, CRLF or a lone CR. The LF of a CRLF is taken as well.
bool CsvReader::isLineEnd(int c) {
    if (c != '\r') return c == '\n';
    if (m_in.sgetc() == '\n') {
        take();
    } else {
        ++m_line;
    }
    return true;
}

void CsvReader::skipRestOfLine() {
    for (int c = take(); c != end_of_file; c = take()) {
        if (isLineEnd(c)) return;
    }
}

CsvReader::CellEnd CsvReader::fault(CsvRecord& record, const std::string& reason) {
    record.fault = reason;
    record.fault_column = static_cast<int>(record.cells.size());
    return CellEnd::fault;
}

bool CsvReader::hasRoom(CsvRecord& record, const std::string& cell, std::optional<std::int64_t> quote_line) {
    const bool cell_is_full = cell.size() >= most_cell_bytes;
    if (!cell_is_full && ++m_record_bytes <= most_record_bytes) return true;
    skipRestOfLine();
    std::string reason = cell_is_full ? "the cell" : "the line with the cell";
    if (quote_line) reason += " that opens with a quote in line " + std::to_string(*quote_line);
    reason += cell_is_full ? " is longer than 4 MiB" : " is longer than 64 MiB";
    if (quote_line) reason += ": is its closing quote missing?";
    fault(record, reason);
    return false;
}

bool CsvReader::next(CsvRecord& record) {
    record = CsvRecord();
    if (m_utf16) {
        m_utf16 = false;
        record.line = 1;
        record.fault = "the file is UTF-16: save it as CSV in UTF-8";
        while (m_in.sbumpc() != end_of_file) continue;
        return true;
    }
    while (m_in.sgetc() != end_of_file) {
        record = CsvRecord();
        record.line = m_line;
        m_record_bytes = 0;
        CellEnd end = CellEnd::cell;
        while (end == CellEnd::cell) end = readCell(record);
        if (end == CellEnd::record && record.cells.size() == 1 && record.cells[0].empty()) continue;
        if (end == CellEnd::record) {
            checkText(record);
            for (std::string& cell : record.cells) removeGuard(cell);
        }
        return true;
    }
    return false;
}

CsvReader::CellEnd CsvReader::readCell(CsvRecord& record) {
    record.cells.emplace_back();
    std::string& cell = record.cells.back();
    if (record.cells.size() > most_cells) {
        skipRestOfLine();
        return fault(record, "the line has more than 200 cells");
    }
    if (m_in.sgetc() == '"') {
        take();
        return readQuoted(record, cell);
    }
    for (int c = take(); c != end_of_file; c = take()) {
        if (c == m_dialect.delimiter) return CellEnd::cell;
        if (isLineEnd(c)) return CellEnd::record;
        if (c == '"' && !m_dialect.loose_quotes) {
            skipRestOfLine();
            return fault(record,
                         "a quote stands inside a cell that does not begin with one: put the whole cell in "
                         "quotes and write the inner quote twice");
        }
        if (!hasRoom(record, cell, {})) return CellEnd::fault;
        cell += static_cast<char>(c);
    }
    return CellEnd::record;
}

CsvReader::CellEnd CsvReader::readQuoted(CsvRecord& record, std::string& cell) {
    const std::int64_t opened = m_line;
    for (int c = take(); c != end_of_file; c = take()) {
        if (c != '"') {
            if (!hasRoom(record, cell, opened)) return CellEnd::fault;
            cell += static_cast<char>(c);
            continue;
        }
        const int after = take();
        if (after == '"') {
            if (!hasRoom(record, cell, opened)) return CellEnd::fault;
            cell += '"';
        } else if (after == m_dialect.delimiter) {
            return CellEnd::cell;
        } else if (after == end_of_file || isLineEnd(after)) {
            return CellEnd::record;
        } else {
            skipRestOfLine();
            return fault(record, "text follows the closing quote of a cell: write an inner quote twice");
        }
    }
    return fault(record, "the quote that opens in line " + std::to_string(opened) + " is never closed");
}

void CsvReader::checkText(CsvRecord& record) const {
    for (std::size_t i = 0; i < record.cells.size(); ++i) {
        if (isUtf8(record.cells[i])) continue;
        record.fault = "the cell is not UTF-8 text: save the file as CSV in UTF-8";
        record.fault_column = static_cast<int>(i) + 1;
        return;
    }
}

} // namespace shimledger::inventory
