#include "app/command/stock_csv.h"

#include "app/command/verb_support.h"
#include "inventory/csv_reader.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"
#include "planner/units/near_name.h"

#include <algorithm>
#include <charconv>
#include <map>
#include <sstream>

namespace shimledger::command {

namespace {

using inventory::CsvReader;
using inventory::CsvRecord;

class StockCsv {
public:
    explicit StockCsv(const std::string& path) : m_path(path), m_text(readFile(path)) {}

    std::vector<planner::StockItem> read() {
        CsvReader reader(m_text);
        CsvRecord record;
        if (!reader.next(record) || !record.fault.empty())
            throw InputError(m_path + ": the header line is missing or damaged");
        takeHeader(record);
        const std::size_t width = record.cells.size();
        while (reader.next(record)) {
            if (!record.fault.empty()) {
                note(record, record.fault_column, record.fault);
            } else if (record.cells.size() != width) {
                note(record, 0,
                     "there are " + std::to_string(record.cells.size()) + " cells where the header has " +
                         std::to_string(width));
            } else if (isShim(record)) {
                take(record);
            }
        }
        if (!m_faults.empty()) throw InputError(m_faults);
        return std::move(m_items);
    }

private:
    void takeHeader(const CsvRecord& record) {
        constexpr std::size_t needed = 7;
        const std::vector<std::string> columns{
            "kind",     "od_mm", "id_mm",       "thickness_mm", "condition",        "bin",
            "quantity", "part",  "measured_mm", "available",    "reading_spread_mm"};
        if (record.cells.size() == 1 && record.cells[0].find(';') != std::string::npos)
            throw InputError(m_path + ": the columns are parted by semicolons: save the file with commas");
        for (std::size_t i = 0; i < record.cells.size(); ++i) {
            const std::string& name = record.cells[i];
            if (!m_column.emplace(name, i).second)
                throw InputError(m_path + ": the column '" + name.substr(0, 40) + "' is there twice");
            // Other columns may be there; one that is nearly called like ours would silently not be read.
            const bool known = std::find(columns.begin(), columns.end(), name) != columns.end();
            const std::string meant = known ? std::string() : nearName(name, columns);
            if (!meant.empty()) {
                throw InputError(m_path + ": there is a column '" + name.substr(0, 40) + "': did you mean '" +
                                 meant + "'?");
            }
        }
        for (std::size_t i = 0; i < needed; ++i) {
            if (!m_column.contains(columns[i]))
                throw InputError(m_path + ": the column '" + columns[i] + "' is missing");
        }
    }

    /// Other kinds of part are passed over; a word that is no kind would be a shim passed over.
    bool isShim(const CsvRecord& record) {
        bool shim = false;
        field(record, "kind", [&](const std::string& text) {
            shim = inventory::parsePartKind(text) == inventory::PartKind::shim;
        });
        return shim;
    }

    [[nodiscard]] std::string cell(const CsvRecord& record, const std::string& column) const {
        const auto found = m_column.find(column);
        return found == m_column.end() ? std::string() : record.cells[found->second];
    }

    void note(const CsvRecord& record, int column, const std::string& reason) {
        if (!m_faults.empty()) m_faults += '\n';
        m_faults += m_path + ", line " + std::to_string(record.line);
        if (column > 0) m_faults += ", column " + std::to_string(column);
        m_faults += ": " + reason;
    }

    template <typename Read>
    void field(const CsvRecord& record, const char* column, Read read) {
        try {
            read(cell(record, column));
        } catch (const InputError& error) {
            note(record, static_cast<int>(m_column[column]) + 1, std::string(column) + ": " + error.what());
        }
    }

    static std::int64_t wholeNumber(const std::string& text) {
        std::int64_t value = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (error != std::errc() || end != text.data() + text.size() || value < 0 || value > 1'000'000'000) {
            throw InputError("'" + text.substr(0, 40) + "' is no whole number of pieces, 0 or more");
        }
        return value;
    }

    static Length size(const std::string& text) {
        const Length length = Length::parseMillimetres(text);
        if (length.micrometres() <= 0) throw InputError("the size must be larger than 0");
        return length;
    }

    static double spread(const std::string& text) {
        double value = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (error != std::errc() || end != text.data() + text.size() || !(value >= 0 && value < 1)) {
            throw InputError("'" + text.substr(0, 40) +
                             "' is no standard deviation of readings in millimetres, 0 or more and below 1");
        }
        return value;
    }

    void take(const CsvRecord& record) {
        planner::StockItem item;
        item.bin = cell(record, "bin");
        item.part = cell(record, "part");
        item.walking_order = static_cast<std::int64_t>(m_items.size());
        field(record, "od_mm", [&](const std::string& text) { item.od = size(text); });
        field(record, "id_mm", [&](const std::string& text) { item.id = size(text); });
        field(record, "thickness_mm", [&](const std::string& text) { item.thickness = size(text); });
        if (!cell(record, "measured_mm").empty()) {
            field(record, "measured_mm", [&](const std::string& text) { item.measured = size(text); });
        }
        if (!cell(record, "reading_spread_mm").empty()) {
            field(record, "reading_spread_mm",
                  [&](const std::string& text) { item.reading_spread_mm = spread(text); });
        }
        field(record, "condition", [&](const std::string& text) {
            if (text != "new" && text != "used") throw InputError("the condition must be new or used");
            item.used = text == "used";
        });
        // An exported file says beside the quantity what of it is not promised to a job.
        const char* quantity = m_column.contains("available") ? "available" : "quantity";
        field(record, quantity, [&](const std::string& text) { item.available = wholeNumber(text); });
        m_items.push_back(std::move(item));
    }

    std::string m_path;
    std::istringstream m_text;
    std::map<std::string, std::size_t> m_column;
    std::vector<planner::StockItem> m_items;
    std::string m_faults;
};

} // namespace

std::vector<planner::StockItem> readStockCsv(const std::string& path) {
    return StockCsv(path).read();
}

} // namespace shimledger::command
