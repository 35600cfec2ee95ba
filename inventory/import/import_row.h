// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/csv_import.h"
#include "inventory/csv_reader.h"
#include "inventory/money.h"
#include "inventory/part.h"
#include "planner/units/input_error.h"

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// Takes problems in: keeps the first 10 000, counts all.
void addProblem(ImportReport& report, ImportProblem problem);

/// A column that a table may have. A `needed` one must be in the header.
struct ImportColumn {
    std::string_view name;
    bool needed = true;
};

/// Which column of the file holds which column of the table.
struct ImportHeader {
    std::string file;
    std::vector<std::string> names; ///< as in the file, in its order
    /// 0-based place in the file; none: the file has no such column.
    [[nodiscard]] std::optional<std::size_t> place(std::string_view column) const;
};

/// Codes of lines with a problem, by column ("supplier"). What names them further on cannot be judged.
class BadCodes {
public:
    void add(std::string_view column, const std::string& code);
    /// `column` may also be one that points to another table's codes ("to_bin").
    [[nodiscard]] bool contains(std::string_view column, const std::string& code) const;

private:
    std::map<std::string, std::set<std::string>, std::less<>> m_codes;
};

/// One line of data with typed readers. A cell that cannot be read becomes a problem of the report and reads
/// as a default; ask good() before using anything.
class ImportRow {
public:
    ImportRow(const ImportHeader& header, const CsvRecord& record, ImportReport& report,
              const BadCodes& bad_codes)
        : m_header(header), m_record(record), m_report(report), m_bad_codes(bad_codes) {}

    [[nodiscard]] std::int64_t line() const { return m_record.line; }
    [[nodiscard]] bool good() const { return m_good; }
    [[nodiscard]] bool has(std::string_view column) const { return !text(column).empty(); }

    [[nodiscard]] const std::string& text(std::string_view column) const; ///< verbatim; "" where absent
    std::string filled(std::string_view column);                          ///< text that must not be empty
    Length length(std::string_view column);
    std::optional<Length> optionalLength(std::string_view column);
    std::int64_t whole(std::string_view column, std::int64_t least, std::int64_t greatest);
    std::optional<std::int64_t> optionalWhole(std::string_view column, std::int64_t least,
                                              std::int64_t greatest);
    int small(std::string_view column, int least, int greatest);
    CalendarDate date(std::string_view column);
    std::optional<CalendarDate> optionalDate(std::string_view column);
    UtcTime utc(std::string_view column);
    Hundredths money(std::string_view column);
    std::optional<Hundredths> optionalMoney(std::string_view column);
    /// Reads the cell by one of the word readers (parsePartKind ...); what they throw becomes the problem.
    template <class Value>
    Value word(std::string_view column, Value (*reader)(std::string_view)) {
        return read<Value>(column, reader).value_or(Value{});
    }

    void problem(std::string_view column, const std::string& reason);
    /// Runs a step that may turn the row down; a FieldError is pinned on its column, any other InputError on
    /// the line. One about a bad code is no problem of this line: it counts as unread.
    void attempt(const std::function<void()>& step);

private:
    template <class Value>
    std::optional<Value> read(std::string_view column, Value (*reader)(std::string_view)) {
        const std::string& cell = text(column);
        if (cell.empty()) {
            problem(column, "is empty, but needed here");
            return std::nullopt;
        }
        try {
            return reader(cell);
        } catch (const InputError& error) {
            problem(column, error.what());
            return std::nullopt;
        }
    }

    const ImportHeader& m_header;
    const CsvRecord& m_record;
    ImportReport& m_report;
    const BadCodes& m_bad_codes;
    bool m_good = true;
};

} // namespace shimledger::inventory
