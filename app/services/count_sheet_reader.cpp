#include "app/services/count_sheet.h"

#include "inventory/csv_reader.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>

namespace shimledger::services {

namespace {

// The .xlsx sheet has a title and a line of help above its headings.
constexpr int most_lines_above = 10;
constexpr std::array<const char*, 5> needed{"bin", "part", "condition", "books", "counted"};

class CountReader {
public:
    CountReader(std::istream& in, std::string name) : m_reader(in), m_name(std::move(name)) {}

    std::vector<CountLine> read() {
        findHeadings();
        while (m_reader.next(m_record)) {
            if (!m_record.fault.empty()) {
                note(m_record.fault);
            } else {
                take();
            }
        }
        if (!m_faults.empty()) throw InputError(m_faults);
        return std::move(m_lines);
    }

private:
    void findHeadings() {
        for (int above = 0; above <= most_lines_above && m_reader.next(m_record); ++above) {
            if (!m_record.fault.empty()) continue;
            m_columns.clear();
            for (std::size_t i = 0; i < m_record.cells.size(); ++i) m_columns[m_record.cells[i]] = i;
            if (std::all_of(needed.begin(), needed.end(),
                            [&](const char* column) { return m_columns.contains(column); })) {
                return;
            }
            if (m_record.cells.size() == 1 && m_record.cells[0].starts_with("bin;")) {
                throw InputError(m_name +
                                 ": the columns are parted by semicolons: save the sheet with commas");
            }
        }
        throw InputError(m_name +
                         ": this is no count sheet: the columns bin, part, condition, books and counted are "
                         "needed");
    }

    void note(const std::string& reason) {
        const std::string bin = m_record.fault.empty() ? cell("bin").substr(0, 40) : std::string();
        const std::string what = m_record.fault.empty() ? cell("what").substr(0, 60) : std::string();
        m_faults += (m_faults.empty() ? "" : "\n") + m_name + ", line " + std::to_string(m_record.line) +
                    (bin.empty() ? "" : " (" + bin + (what.empty() ? "" : ", " + what) + ")") + ": " + reason;
    }

    [[nodiscard]] std::string cell(const char* column) const {
        const auto place = m_columns.find(column);
        if (place == m_columns.end() || place->second >= m_record.cells.size()) return {};
        std::string text = m_record.cells[place->second];
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

    inventory::CsvReader m_reader;
    inventory::CsvRecord m_record;
    std::string m_name;
    std::map<std::string, std::size_t> m_columns;
    std::vector<CountLine> m_lines;
    std::string m_faults;
};

} // namespace

std::vector<CountLine> readCountCsv(std::istream& in, const std::string& name) {
    return CountReader(in, name).read();
}

} // namespace shimledger::services
