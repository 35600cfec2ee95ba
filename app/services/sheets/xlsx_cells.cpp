// SPDX-License-Identifier: GPL-3.0-or-later
// ECMA-376: the workbook names its sheets by relationships; texts are in a table of their own, shared by all.
#include "app/services/sheets/workbook_cells.h"
#include "app/services/sheets/xml_events.h"

#include "inventory/calendar.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace shimledger::services {

namespace {

using Attributes = XmlEvents::Attributes;

std::string valueOf(const Attributes& attributes, std::string_view name) {
    const auto found = attributes.find(name);
    return found == attributes.end() ? std::string() : found->second;
}

std::int64_t wholeOf(std::string_view text, std::int64_t otherwise) {
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc() && end != text.data() ? value : otherwise;
}

struct CellPlace {
    std::optional<std::size_t> column;
    std::optional<std::int64_t> line;
};

/// "AB12": column 27, line 12.
CellPlace placeOf(std::string_view reference) {
    CellPlace place;
    std::size_t column = 0, i = 0;
    for (; i < reference.size() && reference[i] >= 'A' && reference[i] <= 'Z' && column < 100000; ++i)
        column = column * 26 + static_cast<std::size_t>(reference[i] - 'A') + 1;
    if (column > 0) place.column = column - 1;
    if (i < reference.size()) place.line = wholeOf(reference.substr(i), 0);
    return place;
}

/// A format of numbers that shows a day: y, m and d outside of quotes and brackets.
bool showsDay(std::string_view code) {
    bool quoted = false, bracketed = false, year_or_day = false;
    for (std::size_t i = 0; i < code.size(); ++i) {
        const char c = code[i];
        if (c == '\\') {
            ++i;
        } else if (c == '"') {
            quoted = !quoted;
        } else if (!quoted && c == '[') {
            bracketed = true;
        } else if (c == ']') {
            bracketed = false;
        } else if (!quoted && !bracketed && (c == 'y' || c == 'd' || c == 'Y' || c == 'D')) {
            year_or_day = true;
        }
    }
    return year_or_day;
}

bool isDayFormat(std::int64_t number) {
    return (number >= 14 && number <= 17) || number == 22;
}

/// The day of a serial number, and the time where it has one.
std::optional<std::string> dayOf(const std::string& serial, bool since_1904) {
    double value = 0;
    const auto [end, error] = std::from_chars(serial.data(), serial.data() + serial.size(), value);
    constexpr double latest = 2958465; // the last day of the year 9999
    if (error != std::errc() || !(value >= 61) || value > latest) return std::nullopt;
    using namespace std::chrono;
    const sys_days first = since_1904 ? sys_days(year{1904} / 1 / 1) : sys_days(year{1899} / 12 / 30);
    const auto whole = static_cast<int>(std::floor(value));
    const year_month_day day{first + days{whole}};
    std::string text = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()),
                                   static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()));
    const auto seconds = static_cast<int>(std::lround((value - whole) * 86400));
    if (seconds > 0 && seconds < 86400) {
        text += fmt::format("T{:02}:{:02}:{:02}Z", seconds / 3600, seconds / 60 % 60, seconds % 60);
    }
    return text;
}

class Xlsx {
public:
    Xlsx(const ZipArchive& archive, const std::string& name) : m_archive(archive), m_name(name) {}

    std::vector<RawSheet> read() {
        const std::string workbook = workbookPart();
        const std::size_t slash = workbook.rfind('/');
        m_folder = slash == std::string::npos ? std::string() : workbook.substr(0, slash + 1);
        const std::string file = workbook.substr(slash == std::string::npos ? 0 : slash + 1);
        readRelationships(m_folder + "_rels/" + file + ".rels");
        readWorkbookPart(workbook);
        readTexts();
        readStyles();
        std::vector<RawSheet> sheets;
        for (const auto& [sheet, id] : m_sheets) {
            const auto target = m_targets.find(id);
            if (target == m_targets.end()) damaged();
            sheets.push_back(readSheet(sheet, target->second));
        }
        return sheets;
    }

private:
    [[noreturn]] void damaged() const {
        throw InputError(m_name +
                         " is a damaged workbook: open it in a spreadsheet program and save it anew");
    }

    void parse(const std::string& part, const XmlEvents& events) const {
        const auto text = m_archive.text(part);
        if (!text || !readXml(*text, events)) damaged();
    }

    /// A target is relative to the folder of the workbook, or absolute from the archive's root.
    [[nodiscard]] std::string resolved(std::string target) const {
        if (target.starts_with("/")) return target.substr(1);
        std::string folder = m_folder;
        while (target.starts_with("../")) {
            target.erase(0, 3);
            const std::size_t slash =
                folder.size() < 2 ? std::string::npos : folder.rfind('/', folder.size() - 2);
            folder = slash == std::string::npos ? std::string() : folder.substr(0, slash + 1);
        }
        if (target.starts_with("./")) target.erase(0, 2);
        return folder + target;
    }

    [[nodiscard]] std::string workbookPart() const {
        std::string part;
        if (!m_archive.has("_rels/.rels")) return "xl/workbook.xml";
        parse("_rels/.rels",
              {[&](const std::string& name, const Attributes& attributes) {
                   if (name == "Relationship" && valueOf(attributes, "Type").ends_with("/officeDocument"))
                       part = valueOf(attributes, "Target");
               },
               [](const std::string&) {}, [](std::string_view) {}});
        if (part.starts_with("/")) part.erase(0, 1);
        return part.empty() ? "xl/workbook.xml" : part;
    }

    void readRelationships(const std::string& part) {
        parse(part, {[&](const std::string& name, const Attributes& attributes) {
                         if (name != "Relationship") return;
                         const std::string target = resolved(valueOf(attributes, "Target"));
                         m_targets[valueOf(attributes, "Id")] = target;
                         const std::string type = valueOf(attributes, "Type");
                         if (type.ends_with("/sharedStrings")) m_texts_part = target;
                         if (type.ends_with("/styles")) m_styles_part = target;
                     },
                     [](const std::string&) {}, [](std::string_view) {}});
    }

    void readWorkbookPart(const std::string& part) {
        parse(part, {[&](const std::string& name, const Attributes& attributes) {
                         if (name == "workbookPr") {
                             const std::string value = valueOf(attributes, "date1904");
                             m_since_1904 = value == "1" || value == "true";
                         }
                         if (name == "sheet" && (valueOf(attributes, "state").empty() ||
                                                 valueOf(attributes, "state") == "visible"))
                             m_sheets.emplace_back(valueOf(attributes, "name"), valueOf(attributes, "id"));
                     },
                     [](const std::string&) {}, [](std::string_view) {}});
    }

    void readTexts() {
        if (m_texts_part.empty()) return;
        bool in_text = false;
        int phonetic = 0;
        parse(m_texts_part, {[&](const std::string& name, const Attributes&) {
                                 if (name == "si") m_texts.emplace_back();
                                 if (name == "rPh") ++phonetic;
                                 if (name == "t") in_text = true;
                             },
                             [&](const std::string& name) {
                                 if (name == "rPh") --phonetic;
                                 if (name == "t") in_text = false;
                             },
                             [&](std::string_view text) {
                                 if (in_text && phonetic == 0 && !m_texts.empty()) m_texts.back() += text;
                             }});
    }

    void readStyles() {
        if (m_styles_part.empty()) return;
        std::set<std::int64_t> day_formats;
        bool in_cell_formats = false;
        parse(m_styles_part,
              {[&](const std::string& name, const Attributes& attributes) {
                   if (name == "numFmt" && showsDay(valueOf(attributes, "formatCode")))
                       day_formats.insert(wholeOf(valueOf(attributes, "numFmtId"), -1));
                   if (name == "cellXfs") in_cell_formats = true;
                   if (name == "xf" && in_cell_formats) {
                       const std::int64_t format = wholeOf(valueOf(attributes, "numFmtId"), 0);
                       m_day_styles.push_back(isDayFormat(format) || day_formats.contains(format));
                   }
               },
               [&](const std::string& name) {
                   if (name == "cellXfs") in_cell_formats = false;
               },
               [](std::string_view) {}});
    }

    RawSheet readSheet(const std::string& name, const std::string& part) {
        RawSheet sheet;
        sheet.name = name;
        std::vector<MergedCells> merged;
        std::int64_t line = 0;
        std::size_t column = 0;
        Attributes cell;
        std::string value;
        bool in_value = false, formula = false, has_value = false;
        int phonetic = 0;
        const auto begin = [&](const std::string& tag, const Attributes& attributes) {
            if (tag == "row") {
                line = wholeOf(valueOf(attributes, "r"), line + 1);
                sheet.rows.push_back({line, {}});
                column = 0;
            } else if (tag == "c") {
                cell = attributes;
                value.clear();
                formula = has_value = false;
                column = placeOf(valueOf(attributes, "r")).column.value_or(column);
            } else if (tag == "v" || tag == "t") {
                in_value = true;
                has_value = true;
            } else if (tag == "f") {
                formula = true;
            } else if (tag == "rPh") {
                ++phonetic;
            } else if (tag == "mergeCell") {
                const std::string area = valueOf(attributes, "ref");
                const std::size_t colon = area.find(':');
                if (colon == std::string::npos) return;
                const CellPlace first = placeOf(area.substr(0, colon)),
                                last = placeOf(area.substr(colon + 1));
                if (first.column && first.line && last.column && last.line)
                    merged.push_back({*first.column, *last.column, *first.line, *last.line});
            }
        };
        const auto end = [&](const std::string& tag) {
            if (tag == "v" || tag == "t") in_value = false;
            if (tag == "rPh") --phonetic;
            if (tag != "c") return;
            if (!sheet.rows.empty() && column < most_columns) {
                std::vector<RawCell>& cells = sheet.rows.back().cells;
                if (cells.size() <= column) cells.resize(column + 1);
                cells[column] = cellOf(cell, value);
                if (formula && !has_value)
                    cells[column].fault =
                        "a formula that was never computed: open the sheet in a spreadsheet "
                        "program and save it";
            } else if (has_value && !sheet.rows.empty()) {
                throw InputError(m_name + ", sheet '" + name + "', line " + std::to_string(line) +
                                 " has more than 200 columns");
            }
            ++column;
        };
        parse(part, {begin, end, [&](std::string_view text) {
                         if (in_value && phonetic == 0) value += text;
                     }});
        spreadMerged(sheet, merged);
        return sheet;
    }

    [[nodiscard]] RawCell cellOf(const Attributes& attributes, const std::string& value) const {
        RawCell cell;
        const std::string type = valueOf(attributes, "t");
        if (type == "s") {
            const std::int64_t place = wholeOf(value, -1);
            if (place < 0 || static_cast<std::size_t>(place) >= m_texts.size()) damaged();
            cell.text = m_texts[static_cast<std::size_t>(place)];
        } else if (type == "str" || type == "inlineStr") {
            cell.text = value;
        } else if (type == "e") {
            cell.fault = "the sheet shows " + value + " there";
        } else if (type == "b") {
            cell.text = value == "1" ? "true" : "false";
        } else if (type == "d") {
            cell.text = value;
            cell.date = true;
        } else if (!value.empty()) {
            const std::int64_t style = wholeOf(valueOf(attributes, "s"), -1);
            const bool day = style >= 0 && static_cast<std::size_t>(style) < m_day_styles.size() &&
                             m_day_styles[static_cast<std::size_t>(style)];
            const auto text = day ? dayOf(value, m_since_1904) : std::nullopt;
            cell.date = text.has_value();
            cell.number = !cell.date;
            cell.text = text ? *text : plainNumber(value);
        }
        return cell;
    }

    const ZipArchive& m_archive;
    std::string m_name;
    std::string m_folder, m_texts_part, m_styles_part;
    std::map<std::string, std::string> m_targets;
    std::vector<std::pair<std::string, std::string>> m_sheets; ///< name, relationship
    std::vector<std::string> m_texts;
    std::vector<bool> m_day_styles;
    bool m_since_1904 = false;
};

} // namespace

std::vector<RawSheet> readXlsx(const ZipArchive& archive, const std::string& name) {
    return Xlsx(archive, name).read();
}

} // namespace shimledger::services
