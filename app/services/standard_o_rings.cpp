// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/standard_o_rings.h"

#include "app/services/standard_lists.h"
#include "inventory/csv_reader.h"

#include <charconv>
#include <cmath>
#include <map>
#include <sstream>
#include <stdexcept>

namespace shimledger::services {

namespace {

/// A list that is compiled in: whatever is wrong with it is a bug of ours.
class ListReader {
public:
    explicit ListReader(const char* list) : m_text(list), m_reader(m_text) {
        if (!next()) throw std::logic_error("a list of standard sizes is empty");
        for (std::size_t i = 0; i < m_record.cells.size(); ++i) m_columns[m_record.cells[i]] = i;
    }
    bool next() {
        if (!m_reader.next(m_record)) return false;
        if (!m_record.fault.empty())
            throw std::logic_error("a list of standard sizes is damaged: " + m_record.fault);
        return true;
    }
    [[nodiscard]] const std::string& text(const char* column) const {
        return m_record.cells.at(m_columns.at(column));
    }
    [[nodiscard]] Length length(const char* column) const { return Length::parseMillimetres(text(column)); }
    [[nodiscard]] double number(const char* column) const {
        const std::string& cell = text(column);
        double value = 0;
        const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
        if (error != std::errc() || end != cell.data() + cell.size()) {
            throw std::logic_error("'" + cell + "' is no number in a list of standard sizes");
        }
        return value;
    }

private:
    std::istringstream m_text;
    inventory::CsvReader m_reader;
    inventory::CsvRecord m_record;
    std::map<std::string, std::size_t> m_columns;
};

void readSizes(const char* list, const char* standard, std::vector<StandardORing>& rings) {
    ListReader reader(list);
    while (reader.next()) {
        rings.push_back({reader.text("code"), standard, reader.length("id_mm"),
                         reader.length("id_tolerance_mm"), reader.length("section_mm"),
                         reader.length("section_tolerance_mm")});
    }
}

Length sectionOf(const ListReader& reader) {
    const double unit_um = reader.text("unit") == "in" ? 25'400 : 1'000;
    return Length::fromMicrometres(std::llround(reader.number("cs") * unit_um));
}

} // namespace

std::string StandardORing::text() const {
    return standard + (standard.starts_with("ISO") ? " code " : " ") + code + ", " + id.text(2) + " x " +
           section.text(2);
}

const std::vector<StandardORing>& standardORings() {
    static const std::vector<StandardORing> rings = [] {
        std::vector<StandardORing> read;
        readSizes(iso_3601_list, "ISO 3601-1", read);
        readSizes(jis_b2401_list, "JIS B 2401-1", read);
        return read;
    }();
    return rings;
}

std::optional<StandardORing> findStandardORing(std::string_view code) {
    for (const StandardORing& ring : standardORings()) {
        if (ring.code == code) return ring;
    }
    return std::nullopt;
}

const std::vector<GlandRule>& glandRules() {
    static const std::vector<GlandRule> rules = [] {
        std::vector<GlandRule> read;
        ListReader reader(gland_rule_list);
        while (reader.next()) {
            read.push_back({reader.text("rule_id"), reader.text("application"), sectionOf(reader),
                            reader.number("squeeze_pct_min_recomputed"),
                            reader.number("squeeze_pct_max_recomputed"), reader.number("fill_pct_nominal"),
                            reader.text("source")});
        }
        return read;
    }();
    return rules;
}

} // namespace shimledger::services
