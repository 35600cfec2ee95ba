// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <istream>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// One record of a CSV file, or what is wrong with it.
struct CsvRecord {
    std::int64_t line = 0; ///< where it begins, 1-based
    std::vector<std::string> cells;
    std::string fault;    ///< empty: a good record
    int fault_column = 0; ///< 1-based, where the fault is
};

/// How a file of delimited text is written. The default is the exchange format of this program.
struct CsvDialect {
    char delimiter = ',';
    /// A quote inside a cell that does not begin with one is text: the mark of inches.
    bool loose_quotes = false;
};

/// Reads RFC 4180 CSV (comma, `"` quoting with `""` inside, CRLF or LF, line breaks inside quotes) record by
/// record from a stream of any length; memory holds one record. A UTF-8 byte order mark is skipped, empty
/// lines are passed over, the guard of a text that begins like a formula is taken away (csv_guard.h). After a
/// faulty record reading goes on with the next line. Limits: 200 cells, 4 MiB a cell
/// (any text that a shop file holds), 64 MiB a record.
class CsvReader {
public:
    explicit CsvReader(std::istream& in, CsvDialect dialect = {});

    /// False at the end of the file.
    bool next(CsvRecord& record);

private:
    enum class CellEnd { cell, record, fault };

    int take();
    void skipRestOfLine();
    CellEnd readCell(CsvRecord& record);
    CellEnd readQuoted(CsvRecord& record, std::string& cell);
    /// For one more byte of the cell; else says so in the record and goes to the next line.
    bool hasRoom(CsvRecord& record, const std::string& cell, std::optional<std::int64_t> quote_line);
    CellEnd fault(CsvRecord& record, const std::string& reason);
    [[nodiscard]] bool isLineEnd(int c);
    void checkText(CsvRecord& record) const;

    std::streambuf& m_in;
    CsvDialect m_dialect;
    std::int64_t m_line = 1;
    std::size_t m_record_bytes = 0;
    bool m_utf16 = false;
};

} // namespace shimledger::inventory
