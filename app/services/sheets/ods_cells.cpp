// SPDX-License-Identifier: GPL-3.0-or-later
// OpenDocument 1.3: rows and cells that are alike in a run stand there once, with how often.
#include "app/services/sheets/workbook_cells.h"
#include "app/services/sheets/xml_events.h"

#include "planner/units/input_error.h"

#include <charconv>
#include <set>

namespace shimledger::services {

namespace {

using Attributes = XmlEvents::Attributes;

constexpr std::int64_t most_alike_rows = 10'000; // of a row that holds something

std::string valueOf(const Attributes& attributes, std::string_view name) {
    const auto found = attributes.find(name);
    return found == attributes.end() ? std::string() : found->second;
}

std::int64_t countOf(const Attributes& attributes, std::string_view name) {
    const std::string text = valueOf(attributes, name);
    std::int64_t value = 1;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value < 1 ? 1 : value;
}

class Ods {
public:
    explicit Ods(const std::string& name) : m_name(name) {}

    std::vector<RawSheet> read(const ZipArchive& archive) {
        const auto document = archive.text("content.xml");
        const XmlEvents events{[this](const std::string& tag, const Attributes& a) { begin(tag, a); },
                               [this](const std::string& tag) { end(tag); },
                               [this](std::string_view text) {
                                   if (m_paragraph > 0 && m_annotation == 0) m_text += text;
                               }};
        if (!document || !readXml(*document, events)) {
            throw InputError(m_name +
                             " is a damaged workbook: open it in a spreadsheet program and save it anew");
        }
        return std::move(m_sheets);
    }

private:
    void begin(const std::string& tag, const Attributes& attributes) {
        if (tag == "style") m_style = valueOf(attributes, "name");
        if (tag == "table-properties" && valueOf(attributes, "display") == "false") m_hidden.insert(m_style);
        if (tag == "table") {
            m_hidden_sheet = m_hidden.contains(valueOf(attributes, "style-name"));
            m_sheet = RawSheet();
            m_sheet.name = valueOf(attributes, "name");
            m_merged.clear();
            m_line = 0;
        } else if (tag == "table-row") {
            m_row.clear();
            m_row_repeats = countOf(attributes, "number-rows-repeated");
        } else if (tag == "table-cell" || tag == "covered-table-cell") {
            m_cell = attributes;
            m_text.clear();
            m_paragraphs = 0;
        } else if (tag == "annotation") {
            ++m_annotation;
        } else if (tag == "p" || tag == "h") {
            if (m_annotation == 0 && m_paragraphs++ > 0) m_text += '\n';
            ++m_paragraph;
        } else if (tag == "s" && m_paragraph > 0 && m_annotation == 0) {
            m_text.append(static_cast<std::size_t>(std::min<std::int64_t>(countOf(attributes, "c"), 100)),
                          ' ');
        } else if ((tag == "line-break" || tag == "tab") && m_annotation == 0) {
            m_text += tag == "tab" ? '\t' : '\n';
        }
    }

    void end(const std::string& tag) {
        if (tag == "annotation") {
            --m_annotation;
        } else if (tag == "p" || tag == "h") {
            --m_paragraph;
        } else if (tag == "table-cell" || tag == "covered-table-cell") {
            endCell();
        } else if (tag == "table-row") {
            endRow();
        } else if (tag == "table") {
            spreadMerged(m_sheet, m_merged);
            if (!m_hidden_sheet) m_sheets.push_back(std::move(m_sheet));
        }
    }

    void endCell() {
        const std::string type = valueOf(m_cell, "value-type");
        RawCell cell;
        if (type == "float" || type == "currency" || type == "percentage") {
            cell.text = plainNumber(valueOf(m_cell, "value"));
            cell.number = true;
        } else if (type == "date") {
            cell.text = valueOf(m_cell, "date-value");
            cell.date = true;
        } else if (type == "string" && !valueOf(m_cell, "string-value").empty()) {
            cell.text = valueOf(m_cell, "string-value");
        } else {
            cell.text = m_text;
        }
        if (type.empty() && m_cell.contains("formula") && m_text.empty())
            cell.fault =
                "a formula that was never computed: open the sheet in a spreadsheet program and save it";
        if (m_text.starts_with("#") && m_cell.contains("formula"))
            cell.fault = "the sheet shows " + m_text + " there";
        const std::int64_t repeats = countOf(m_cell, "number-columns-repeated");
        const std::int64_t down = countOf(m_cell, "number-rows-spanned");
        if (down > 1) m_merged.push_back({m_row.size(), m_row.size(), m_line + 1, m_line + down});
        const bool blank = cell.text.empty() && cell.fault.empty();
        for (std::int64_t i = 0; i < repeats; ++i) {
            if (m_row.size() >= most_columns) {
                if (blank) return;
                throw InputError(m_name + ", sheet '" + m_sheet.name + "', line " +
                                 std::to_string(m_line + 1) + " has more than 200 columns");
            }
            m_row.push_back(cell);
        }
    }

    void endRow() {
        bool blank = true;
        for (const RawCell& cell : m_row) blank = blank && cell.text.empty() && cell.fault.empty();
        if (!blank) {
            if (m_row_repeats > most_alike_rows) {
                throw InputError(m_name + ", sheet '" + m_sheet.name + "', line " +
                                 std::to_string(m_line + 1) + " is repeated " +
                                 std::to_string(m_row_repeats) + " times");
            }
            for (std::int64_t i = 1; i <= m_row_repeats; ++i) m_sheet.rows.push_back({m_line + i, m_row});
        } else if (!m_merged.empty() && m_row_repeats <= most_alike_rows) {
            for (std::int64_t i = 1; i <= m_row_repeats; ++i) m_sheet.rows.push_back({m_line + i, {}});
        }
        m_line += m_row_repeats;
    }

    std::string m_name, m_style, m_text;
    std::set<std::string> m_hidden; ///< styles of hidden sheets
    bool m_hidden_sheet = false;
    int m_annotation = 0, m_paragraph = 0, m_paragraphs = 0;
    std::int64_t m_line = 0, m_row_repeats = 1;
    Attributes m_cell;
    std::vector<RawCell> m_row;
    std::vector<MergedCells> m_merged;
    RawSheet m_sheet;
    std::vector<RawSheet> m_sheets;
};

} // namespace

std::vector<RawSheet> readOds(const ZipArchive& archive, const std::string& name) {
    return Ods(name).read(archive);
}

} // namespace shimledger::services
