// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_layout.h"

#include "app/services/sheet_import/condition_columns.h"
#include "planner/units/input_error.h"
#include "planner/units/near_name.h"

#include <algorithm>
#include <charconv>
#include <set>

namespace shimledger::services {

namespace {

constexpr std::size_t most_rows_above = 40;

std::string inMarks(const std::string& text) {
    constexpr std::size_t most = 60;
    return "'" + text.substr(0, most) + (text.size() > most ? "..." : "") + "'";
}

const SheetField& fieldNamed(const std::string& typed, const std::string& option) {
    if (const SheetField* field = sheetField(typed)) return *field;
    if (const SheetField* field = fieldOfHeading(headingWords(typed).words)) return *field;
    std::vector<std::string> names;
    for (const SheetField& field : sheetFields()) names.emplace_back(field.name);
    throw InputError(option + ": there is no field " + inMarks(typed) +
                     nearNameText(typed, names,
                                  "there are size, od_mm, id_mm, thickness_mm, bin, quantity, kind, "
                                  "condition, part and the other columns of the exchange format"));
}

std::pair<std::string, std::string> parted(const std::string& text, const std::string& option) {
    const std::size_t at = text.rfind('=');
    if (at == std::string::npos || at == 0)
        throw InputError(option + " " + inMarks(text) + ": write two words with = between them");
    return {trimmed(text.substr(0, at)), trimmed(text.substr(at + 1))};
}

/// The field that the answers give to a column; "ignore" is a field of its own.
std::optional<std::string> answerFor(const SheetAnswers& answers, std::size_t place,
                                     const std::string& heading) {
    for (const auto& [column, field] : answers.columns) {
        if (column == "#" + std::to_string(place + 1)) return field;
        if (!column.starts_with("#") && (trimmed(column) == trimmed(heading) ||
                                         headingWords(column).words == headingWords(heading).words))
            return field;
    }
    return std::nullopt;
}

class Layouter {
public:
    Layouter(const RawSheet& sheet, const std::string& name, const SheetAnswers& answers,
             const std::vector<std::string>& only)
        : m_sheet(sheet), m_name(name), m_answers(answers), m_only(only) {}

    std::optional<SheetLayout> layout() {
        std::size_t best = 0, best_row = 0;
        for (std::size_t row = 0; row < m_sheet.rows.size() && row < most_rows_above; ++row) {
            const std::size_t fields = fieldsOf(m_sheet.rows[row]);
            if (fields > best) {
                best = fields;
                best_row = row;
            }
        }
        const std::size_t least = m_answers.columns.empty() && m_answers.values.empty() ? 2 : 1;
        if (best < least) return withoutHeadings();
        SheetLayout layout;
        const RawRow& headings = m_sheet.rows[best_row];
        layout.first_row = best_row + 1;
        layout.heading_line = headings.line;
        layout.width = headings.cells.size();
        while (layout.width > 0 && trimmed(headings.cells[layout.width - 1].text).empty()) --layout.width;
        for (std::size_t row = 0; row < best_row; ++row) {
            for (const RawCell& cell : m_sheet.rows[row].cells) {
                if (!trimmed(cell.text).empty()) layout.above.push_back(trimmed(cell.text));
            }
        }
        for (const std::string& text : layout.above) layout.unit = unitIn(text, layout.unit);
        for (std::size_t place = 0; place < layout.width; ++place) {
            const std::string heading = trimmed(headings.cells[place].text);
            const std::optional<std::string> answer = answerFor(m_answers, place, heading);
            if (heading.empty() && !answer) continue;
            layout.columns.push_back(columnOf(place, heading, answer));
        }
        takeUnitsBelow(layout);
        guessByContent(layout);
        refuseSlips(layout);
        refuseTwins(layout);
        return layout;
    }

private:
    [[nodiscard]] const SheetField* known(const std::string& heading) const {
        const std::string words = headingWords(heading).words;
        for (const std::string& column : m_only) {
            if (headingWords(column).words == words) return sheetField(column);
        }
        const SheetField* field = fieldOfHeading(words);
        if (field == nullptr) return nullptr;
        if (m_only.empty()) return field->in_flat_sheets ? field : nullptr;
        const auto among = [&](std::string_view name) {
            return std::find(m_only.begin(), m_only.end(), name) != m_only.end();
        };
        return among(field->name) ? field : nullptr;
    }

    [[nodiscard]] std::size_t fieldsOf(const RawRow& row) const {
        std::set<const SheetField*> fields;
        for (std::size_t place = 0; place < row.cells.size(); ++place) {
            const RawCell& cell = row.cells[place];
            if (cell.number || cell.date || cell.text.empty()) continue;
            const auto answer = answerFor(m_answers, place, cell.text);
            const bool by_place = answer && answerFor(m_answers, place, {}).has_value();
            if (answer && !by_place && *answer != "ignore") {
                fields.insert(&fieldNamed(*answer, "--column"));
            } else {
                fields.insert(known(cell.text));
            }
        }
        fields.erase(nullptr);
        return fields.size();
    }

    /// A row right below the headings that holds units and nothing else belongs to them.
    void takeUnitsBelow(SheetLayout& layout) const {
        if (layout.first_row >= m_sheet.rows.size()) return;
        const std::vector<RawCell>& cells = m_sheet.rows[layout.first_row].cells;
        bool any = false;
        for (const RawCell& cell : cells) {
            if (trimmed(cell.text).empty()) continue;
            if (!unitOfCell(cell.text)) return;
            any = true;
        }
        if (!any) return;
        ++layout.first_row;
        for (SheetColumn& column : layout.columns) {
            if (column.place >= cells.size() || !column.unit.empty()) continue;
            column.unit = unitOfCell(cells[column.place].text).value_or("");
        }
    }

    /// A sheet whose columns are all told by their numbers needs no headings.
    std::optional<SheetLayout> withoutHeadings() {
        SheetLayout layout;
        for (const auto& [column, field] : m_answers.columns) {
            std::size_t number = 0;
            if (!column.starts_with("#")) return std::nullopt;
            std::from_chars(column.data() + 1, column.data() + column.size(), number);
            if (number == 0) return std::nullopt;
            layout.width = std::max(layout.width, number);
            layout.columns.push_back(columnOf(number - 1, column, field));
        }
        if (layout.columns.empty()) return std::nullopt;
        std::sort(layout.columns.begin(), layout.columns.end(),
                  [](const SheetColumn& a, const SheetColumn& b) { return a.place < b.place; });
        for (const RawRow& row : m_sheet.rows) layout.width = std::max(layout.width, row.cells.size());
        refuseTwins(layout);
        return layout;
    }

    static std::string unitIn(const std::string& text, const std::string& before) {
        const std::string words = " " + headingWords(text + " x").words + " ";
        for (const char* word : {" inch ", " inches ", " zoll "}) {
            if (words.find(word) != std::string::npos) return "in";
        }
        return before;
    }

    [[nodiscard]] SheetColumn columnOf(std::size_t place, const std::string& heading,
                                       const std::optional<std::string>& answer) const {
        SheetColumn column;
        column.place = place;
        column.heading = heading.empty() ? "#" + std::to_string(place + 1) : heading;
        column.unit = headingWords(heading).unit;
        if (!answer) {
            column.field = known(heading);
        } else {
            column.how = "as you said";
            if (*answer != "ignore") column.field = answered(*answer);
        }
        return column;
    }

    /// "count" is a number of discs in one table, the quantity in a flat sheet.
    [[nodiscard]] const SheetField* answered(const std::string& answer) const {
        const SheetField& field = fieldNamed(answer, "--column");
        if (!m_only.empty() || field.in_flat_sheets) return &field;
        const SheetField* flat = fieldOfHeading(headingWords(answer).words);
        return flat != nullptr && flat->in_flat_sheets ? flat : &field;
    }

    /// Every cell below, of text that is there.
    [[nodiscard]] std::vector<std::string> cellsBelow(const SheetLayout& layout, std::size_t place) const {
        std::vector<std::string> cells;
        for (std::size_t row = layout.first_row; row < m_sheet.rows.size(); ++row) {
            const RawRow& line = m_sheet.rows[row];
            if (place < line.cells.size() && !trimmed(line.cells[place].text).empty())
                cells.push_back(trimmed(line.cells[place].text));
        }
        return cells;
    }

    /// A column without a known heading that holds nothing but conditions, kinds or sizes is that; a bore
    /// that is no number is a code.
    void guessByContent(SheetLayout& layout) const {
        if (!m_only.empty()) return;
        const bool has_size = layout.has("size") || layout.has("od_mm") || layout.has("thickness_mm");
        for (SheetColumn& column : layout.columns) {
            if (!column.how.empty()) continue;
            const std::vector<std::string> cells = cellsBelow(layout, column.place);
            if (cells.empty()) continue;
            const auto share = [&](auto is) {
                return static_cast<double>(std::count_if(cells.begin(), cells.end(), is)) /
                       static_cast<double>(cells.size());
            };
            // "shim 24 x 6 x 0.10" is a size, "SH-24.0-6-0.10" a code.
            const auto is_size = [](const std::string& cell) {
                const WrittenSize size = readSize(cell);
                return size.numbers.size() >= 2 && (size.word.empty() || kindOfWord(size.word).has_value());
            };
            const auto is_number = [](const std::string& cell) {
                return readWritten(splitUnit(cell).number).readable();
            };
            if (column.field != nullptr && column.field->name == "id_mm" && share(is_number) < 0.3 &&
                !layout.has("part")) {
                column.field = sheetField("part");
                column.how = "its cells are codes, no sizes";
            } else if (column.field == nullptr && share([](const std::string& cell) {
                                                      return conditionOfWord(cell).has_value();
                                                  }) == 1.0 &&
                       !layout.has("condition")) {
                column.field = sheetField("condition");
                column.how = "it holds nothing but new and used";
            } else if (column.field == nullptr && !layout.has("kind") &&
                       share([](const std::string& cell) { return kindOfWord(cell).has_value(); }) == 1.0) {
                column.field = sheetField("kind");
                column.how = "it holds nothing but kinds of parts";
            } else if (!has_size && !layout.has("size") && share(is_size) > 0.6 &&
                       (column.field == nullptr || column.field->content == FieldContent::text ||
                        column.field->content == FieldContent::length)) {
                column.field = sheetField("size");
                column.how = "its cells are sizes";
            } else if (column.field != nullptr && column.field->content == FieldContent::length &&
                       column.field->name == "od_mm" && share(is_size) > 0.6) {
                column.field = sheetField("size");
                column.how = "its cells are sizes";
            }
        }
    }

    void refuseSlips(const SheetLayout& layout) const {
        const auto counted = conditionColumns(layout);
        for (const SheetColumn& column : layout.columns) {
            if (column.field != nullptr || !column.how.empty() || cellsBelow(layout, column.place).empty())
                continue;
            if (counted.contains(column.place)) continue;
            const SheetField* near = fieldNearHeading(headingWords(column.heading).words);
            if (near == nullptr || layout.has(near->name)) continue;
            if (m_only.empty() && !near->in_flat_sheets) continue; // of a table that this is not
            if (!m_only.empty() && std::find(m_only.begin(), m_only.end(), near->name) == m_only.end())
                continue;
            throw InputError(m_name + ", line " + std::to_string(layout.heading_line) + ": is the column " +
                             inMarks(column.heading) + " the " + std::string(near->name) +
                             "? Say --column \"" + column.heading + "=" + std::string(near->name) +
                             "\", or \"" + column.heading + "=ignore\"");
        }
    }

    void refuseTwins(const SheetLayout& layout) const {
        for (std::size_t i = 0; i < layout.columns.size(); ++i) {
            for (std::size_t k = 0; k < i; ++k) {
                const SheetColumn &one = layout.columns[k], &other = layout.columns[i];
                if (one.field == nullptr || one.field != other.field) continue;
                throw InputError(m_name + ": are the columns " + inMarks(one.heading) + " and " +
                                 inMarks(other.heading) + " both the " + std::string(one.field->name) +
                                 "? Say which one is not to be read: --column \"#" +
                                 std::to_string(other.place + 1) + "=ignore\" or \"#" +
                                 std::to_string(one.place + 1) + "=ignore\"");
            }
        }
    }

    const RawSheet& m_sheet;
    std::string m_name;
    const SheetAnswers& m_answers;
    const std::vector<std::string>& m_only;
};

} // namespace

std::pair<std::string, std::string> columnAnswer(const std::string& text) {
    auto answer = parted(text, "--column");
    if (answer.second != "ignore") answer.second = fieldNamed(answer.second, "--column").name;
    return answer;
}

std::pair<std::string, std::string> valueAnswer(const std::string& text) {
    auto answer = parted(text, "--set");
    answer.first = fieldNamed(answer.first, "--set").name;
    if (answer.second.empty()) throw InputError("--set " + inMarks(text) + ": the value is empty");
    return answer;
}

const SheetColumn* SheetLayout::column(std::string_view field) const {
    for (const SheetColumn& column : columns) {
        if (column.field != nullptr && column.field->name == field) return &column;
    }
    return nullptr;
}

std::optional<SheetLayout> layoutOf(const RawSheet& sheet, const std::string& name,
                                    const SheetAnswers& answers,
                                    const std::vector<std::string>& only_fields) {
    return Layouter(sheet, name, answers, only_fields).layout();
}

} // namespace shimledger::services
