// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/count_sheet.h"

#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>

namespace shimledger::services {

namespace {

// The .xlsx sheet has a title and a line of help above its headings.
constexpr std::size_t most_lines_above = 10;
constexpr std::array<const char*, 5> needed{"bin", "part", "condition", "books", "counted"};

class CountReader {
public:
    explicit CountReader(std::string name) : m_name(std::move(name)) {}

    std::vector<CountLine> read(const std::vector<RawSheet>& sheets) {
        const auto [sheet, first] = findHeadings(sheets);
        for (std::size_t i = first; i < sheet->rows.size(); ++i) {
            m_row = &sheet->rows[i];
            if (!fault().empty()) {
                note(fault());
            } else {
                take();
            }
        }
        if (!m_faults.empty()) throw InputError(m_faults);
        return std::move(m_lines);
    }

private:
    /// The sheet of the count, and its first row below the headings.
    std::pair<const RawSheet*, std::size_t> findHeadings(const std::vector<RawSheet>& sheets) {
        for (const RawSheet& sheet : sheets) {
            for (std::size_t i = 0; i < sheet.rows.size() && i <= most_lines_above; ++i) {
                m_columns.clear();
                const std::vector<RawCell>& cells = sheet.rows[i].cells;
                for (std::size_t c = 0; c < cells.size(); ++c) m_columns[cells[c].text] = c;
                if (std::all_of(needed.begin(), needed.end(),
                                [&](const char* column) { return m_columns.contains(column); }))
                    return {&sheet, i + 1};
            }
        }
        throw InputError(m_name +
                         ": this is no count sheet: the columns bin, part, condition, books and counted are "
                         "needed");
    }

    [[nodiscard]] std::string fault() const {
        for (const RawCell& cell : m_row->cells) {
            if (!cell.fault.empty()) return cell.fault;
        }
        return {};
    }

    void note(const std::string& reason) {
        const std::string bin = fault().empty() ? cell("bin").substr(0, 40) : std::string();
        const std::string what = fault().empty() ? cell("what").substr(0, 60) : std::string();
        m_faults += (m_faults.empty() ? "" : "\n") + m_name + ", line " + std::to_string(m_row->line) +
                    (bin.empty() ? "" : " (" + bin + (what.empty() ? "" : ", " + what) + ")") + ": " + reason;
    }

    [[nodiscard]] std::string cell(const char* column) const {
        const auto place = m_columns.find(column);
        if (place == m_columns.end() || place->second >= m_row->cells.size()) return {};
        std::string text = m_row->cells[place->second].text;
        text.erase(0, text.find_first_not_of(' '));
        text.erase(text.find_last_not_of(' ') + 1);
        return text;
    }

    std::optional<std::int64_t> whole(const char* column) {
        const std::string text = cell(column);
        std::int64_t value = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (error == std::errc() && end == text.data() + text.size() && value >= 0 &&
            value <= 1'000'000'000) {
            return value;
        }
        note(std::string(column) + " '" + text.substr(0, 40) + "': write a whole number, 0 or more");
        return std::nullopt;
    }

    void take() {
        if (cell("counted").empty()) return; // not counted, or a line below the table
        CountLine line;
        line.bin = cell("bin");
        line.part = cell("part");
        line.what = cell("what");
        line.unit = cell("unit");
        line.reason = cell("reason");
        line.counted = whole("counted");
        const auto books = whole("books");
        const auto laid_aside =
            cell("laid_aside").empty() ? std::optional<std::int64_t>(0) : whole("laid_aside");
        if (!line.counted || !books || !laid_aside) return;
        line.laid_aside = *laid_aside;
        line.books = *books;
        try {
            line.condition = inventory::parseCondition(cell("condition"));
        } catch (const InputError& error) {
            note(error.what());
            return;
        }
        m_lines.push_back(std::move(line));
    }

    std::string m_name;
    const RawRow* m_row = nullptr; ///< in hand
    std::map<std::string, std::size_t> m_columns;
    std::vector<CountLine> m_lines;
    std::string m_faults;
};

} // namespace

std::vector<CountLine> countLinesOf(const std::vector<RawSheet>& sheets, const std::string& name) {
    return CountReader(name).read(sheets);
}

std::vector<CountLine> readCountSheet(const std::filesystem::path& file) {
    return countLinesOf(readRawSheets(file), file.filename().string());
}

} // namespace shimledger::services
