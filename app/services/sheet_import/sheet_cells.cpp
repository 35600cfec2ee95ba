// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_cells.h"

#include "app/services/typed_length.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

namespace shimledger::services {

namespace {

std::string inMarks(const std::string& text) {
    constexpr std::size_t most = 60;
    return "'" + text.substr(0, most) + (text.size() > most ? "..." : "") + "'";
}

/// No part of a suspension is larger or thinner than this.
bool isPossible(std::string_view field, Length length) {
    const bool thin = field == "thickness_mm" || field == "measured_mm" || field == "reading_mm";
    return length <= Length::fromMicrometres(thin ? 50'000 : 900'000);
}

struct Dated {
    int first = 0, second = 0, year = 0;
    char mark = 0;
};

/// "31.12.2025", "12/31/2025": two numbers and a year of four digits.
std::optional<Dated> datedOf(const std::string& text) {
    Dated dated;
    const char* at = text.data();
    const char* end = at + text.size();
    const auto number = [&](int& value) {
        const auto [after, error] = std::from_chars(at, end, value);
        const bool good = error == std::errc();
        at = after;
        return good;
    };
    if (!number(dated.first) || at == end) return std::nullopt;
    dated.mark = *at++;
    if ((dated.mark != '.' && dated.mark != '/' && dated.mark != '-') || !number(dated.second) || at == end ||
        *at++ != dated.mark || !number(dated.year) || at != end)
        return std::nullopt;
    if (dated.first < 1 || dated.second < 1 || dated.first > 31 || dated.second > 31 || dated.year < 1900 ||
        dated.year > 2999)
        return std::nullopt;
    return dated;
}

std::string isoOf(int year, int month, int day) {
    return fmt::format("{:04}-{:02}-{:02}", year, month, day);
}

} // namespace

SheetCells::SheetCells(const RawSheet& sheet, const SheetLayout& layout, const SheetAnswers& answers,
                       std::string name)
    : m_sheet(sheet), m_layout(layout), m_answers(answers), m_name(std::move(name)) {
    learn(sheet);
}

void SheetCells::learn(const RawSheet& sheet) {
    std::set<DecimalSign> of_sheet;
    for (const SheetColumn& column : m_layout.columns) {
        if (column.field == nullptr) continue;
        const FieldContent content = column.field->content;
        if (content == FieldContent::text || content == FieldContent::kind || content == FieldContent::date ||
            content == FieldContent::moment || content == FieldContent::condition)
            continue;
        std::set<DecimalSign> of_column;
        for (std::size_t row = m_layout.first_row; row < sheet.rows.size(); ++row) {
            const std::vector<RawCell>& cells = sheet.rows[row].cells;
            if (column.place >= cells.size() || cells[column.place].number) continue;
            const std::string& text = cells[column.place].text;
            if (content == FieldContent::size) {
                for (const WrittenNumber& number : readSize(text).numbers) of_column.insert(number.proves());
            } else {
                of_column.insert(readWritten(splitUnit(text).number).proves());
            }
        }
        of_column.erase(DecimalSign::unknown);
        of_sheet.insert(of_column.begin(), of_column.end());
        if (of_column.size() == 1) m_column_sign[std::string(column.field->name)] = *of_column.begin();
    }
    if (of_sheet.size() == 1) m_sheet_sign = *of_sheet.begin();
    if (m_answers.decimal != DecimalSign::unknown) {
        m_sheet_sign = m_answers.decimal;
        m_column_sign.clear();
    }
}

const RawCell& SheetCells::raw(std::string_view field) const {
    static const RawCell nothing;
    const SheetColumn* column = m_layout.column(field);
    if (column == nullptr || m_row == nullptr || column->place >= m_row->cells.size()) return nothing;
    return m_row->cells[column->place];
}

bool SheetCells::filled(std::string_view field) const {
    const RawCell& cell = raw(field);
    return !cell.fault.empty() || !trimmed(cell.text).empty();
}

void SheetCells::problem(std::string_view field, const std::string& reason) {
    m_good = false;
    const SheetColumn* column = m_layout.column(field);
    problems.push_back({m_name, m_row == nullptr ? 0 : m_row->line,
                        column == nullptr ? 0 : static_cast<int>(column->place) + 1,
                        column == nullptr ? std::string(field) : column->heading, reason});
}

std::string SheetCells::verbatim(std::string_view field) {
    const RawCell& cell = raw(field);
    if (!cell.fault.empty()) {
        problem(field, "holds no value: " + cell.fault);
        return {};
    }
    // A drawer "1-2" becomes the second of January in a spreadsheet program.
    if (cell.date) {
        problem(field, "holds a day, " + cell.text +
                           ", which a spreadsheet program may have made of something else: write it as text");
        return {};
    }
    return cell.text;
}

std::string SheetCells::text(std::string_view field) {
    std::string text = trimmed(verbatim(field));
    if (text.empty() && !filled(field)) {
        for (const auto& [name, value] : m_answers.values) {
            // Its name says mm, whatever the sheet is in.
            const bool bare = field.ends_with("_mm") && splitUnit(value).unit.empty() && looksTyped(value);
            if (name == field) text = bare ? value + " mm" : value;
        }
    }
    return text;
}

std::optional<std::string> SheetCells::digits(std::string_view field, const WrittenNumber& number,
                                              const std::string& written, const std::vector<bool>& possible) {
    if (number.sure()) return number.as(DecimalSign::unknown);
    DecimalSign sign = m_sheet_sign;
    if (const auto found = m_column_sign.find(field); found != m_column_sign.end()) sign = found->second;
    if (sign != DecimalSign::unknown) return number.as(sign);
    if (possible[0] != possible[1]) return possible[0] ? number.with_point : number.with_comma;
    problem(field, inMarks(written) + " can be " + *number.with_point + " or " + *number.with_comma +
                       ": say --decimal point or --decimal comma");
    return std::nullopt;
}

std::optional<Length> SheetCells::lengthFrom(std::string_view field, const WrittenNumber& number,
                                             const std::string& written, const std::string& unit) {
    std::string in = unit;
    if (in.empty()) {
        const SheetColumn* column = m_layout.column(field);
        if (column != nullptr) in = column->unit;
    }
    if (in.empty()) in = m_layout.unit;
    if (in.empty()) in = m_answers.unit;
    if (!number.readable() || in == "piece" || in == "money") {
        problem(field, inMarks(written) +
                           " is no size: write millimetres, such as 0.15, or inches with their "
                           "mark, such as 0.006\"");
        return std::nullopt;
    }
    const auto possible = [&](const std::optional<std::string>& reading) {
        try {
            return reading && isPossible(field, lengthOf(*reading, in).length);
        } catch (const InputError&) {
            return false;
        }
    };
    const auto text =
        digits(field, number, written, {possible(number.with_point), possible(number.with_comma)});
    if (!text) return std::nullopt;
    try {
        const ReadLength read = lengthOf(*text, in);
        rounded += read.rounded ? 1 : 0;
        return read.length;
    } catch (const InputError& error) {
        // Nobody measures a tenth of a micrometre: such decimals are of inches.
        const bool fine = in.empty() && text->size() > text->find('.') + 4;
        problem(field,
                error.what() + std::string(fine ? "; if the sheet is in inches, say so: --unit in" : ""));
        return std::nullopt;
    }
}

std::optional<SheetCells::Written> SheetCells::written(std::string_view field) {
    if (raw(field).covered && filled(field)) {
        problem(field, "is merged over several lines: write it in each");
        return std::nullopt;
    }
    std::string whole = text(field);
    if (whole.empty()) return std::nullopt;
    WithUnit parts = splitUnit(whole);
    WrittenNumber number =
        raw(field).number ? WrittenNumber{parts.number, parts.number} : readWritten(parts.number);
    return Written{std::move(whole), std::move(number), std::move(parts.unit)};
}

std::optional<Length> SheetCells::length(std::string_view field) {
    const auto cell = written(field);
    if (!cell) return std::nullopt;
    return lengthFrom(field, cell->number, cell->text, cell->unit);
}

std::optional<std::string> SheetCells::decimal(std::string_view field) {
    const auto cell = written(field);
    if (!cell) return std::nullopt;
    if (raw(field).number) return cell->number.with_point;
    if (!cell->number.readable()) {
        problem(field, inMarks(cell->text) + " is no number");
        return std::nullopt;
    }
    return digits(field, cell->number, cell->text, {true, true});
}

std::optional<std::string> SheetCells::whole(std::string_view field) {
    const auto cell = written(field);
    if (!cell) return std::nullopt;
    const WrittenNumber& number = cell->number;
    const auto whole_part = [](const std::string& text) -> std::optional<std::string> {
        const std::size_t point = text.find('.');
        if (point != std::string::npos && text.find_first_not_of('0', point + 1) != std::string::npos)
            return std::nullopt;
        std::string whole = text.substr(0, point);
        // "007" is seven.
        const std::size_t sign = whole.starts_with("-") ? 1 : 0;
        while (whole.size() > sign + 1 && whole[sign] == '0') whole.erase(sign, 1);
        return whole;
    };
    const auto is_whole = [&](const std::optional<std::string>& reading) {
        return reading && whole_part(*reading).has_value();
    };
    if (number.readable() && (cell->unit.empty() || cell->unit == "piece")) {
        const auto text =
            digits(field, number, cell->text, {is_whole(number.with_point), is_whole(number.with_comma)});
        if (!text) return std::nullopt;
        if (const auto whole = whole_part(*text)) return whole;
    }
    problem(field, inMarks(cell->text) + " is no whole number: write digits, such as 12");
    return std::nullopt;
}

std::optional<std::string> SheetCells::money(std::string_view field) {
    const auto text = decimal(field);
    if (!text) return std::nullopt;
    std::string amount = *text;
    const std::size_t point = amount.find('.');
    while (point != std::string::npos && amount.size() > point + 3 && amount.back() == '0') amount.pop_back();
    return amount;
}

std::optional<bool> SheetCells::dayFirst(std::string_view field) const {
    const SheetColumn* column = m_layout.column(field);
    if (column == nullptr) return std::nullopt;
    std::optional<bool> first;
    for (std::size_t row = m_layout.first_row; row < m_sheet.rows.size(); ++row) {
        const std::vector<RawCell>& cells = m_sheet.rows[row].cells;
        if (column->place >= cells.size()) continue;
        const auto dated = datedOf(trimmed(cells[column->place].text));
        if (!dated) continue;
        if (dated->first > 12) first = true;
        if (dated->second > 12) first = false;
    }
    return first;
}

std::optional<std::string> SheetCells::date(std::string_view field) {
    const RawCell& cell = raw(field);
    if (cell.date) return cell.text.substr(0, 10);
    const std::string written = text(field);
    if (written.empty()) return std::nullopt;
    const auto dated = datedOf(written);
    if (!dated) return written; // YYYY-MM-DD, or what the ledger's own reader turns down
    if (dated->mark == '.' || dated->first == dated->second)
        return isoOf(dated->year, dated->second, dated->first);
    const std::optional<bool> day_first = dayFirst(field);
    if (!day_first) {
        problem(field, inMarks(written) + " can be two days: write it as YEAR-MONTH-DAY");
        return std::nullopt;
    }
    return *day_first ? isoOf(dated->year, dated->second, dated->first)
                      : isoOf(dated->year, dated->first, dated->second);
}

std::optional<std::string> SheetCells::condition(std::string_view field) {
    const std::string written = text(field);
    if (written.empty()) return std::nullopt;
    if (auto word = conditionOfWord(written)) return word;
    problem(field, inMarks(written) + " is no condition: write new or used");
    return std::nullopt;
}

std::optional<std::string> SheetCells::kind(std::string_view field) {
    const std::string written = text(field);
    if (written.empty()) return std::nullopt;
    if (auto word = kindOfWord(written)) return word;
    problem(field, inMarks(written) +
                       " is no kind of part: write shim, bushing, oil seal, dust seal, O-ring, "
                       "snap ring, washer, fluid or other");
    return std::nullopt;
}

std::optional<SheetCells::Size> SheetCells::size() {
    if (raw("size").covered && filled("size")) {
        problem("size", "is merged over several lines: write it in each");
        return std::nullopt;
    }
    const std::string written = text("size");
    if (written.empty()) return std::nullopt;
    const WrittenSize parts = readSize(written);
    Size size;
    if (parts.numbers.empty()) {
        problem("size", inMarks(written) + " is no size: write it as 24 x 6 x 0.10, OD x ID x thickness");
        return std::nullopt;
    }
    if (!parts.word.empty()) {
        const auto kind = kindOfWord(parts.word);
        if (!kind) {
            problem("size", inMarks(written) +
                                " begins with a word that is no kind of part: write it as shim "
                                "24 x 6 x 0.10");
            return std::nullopt;
        }
        size.kind = *kind;
    }
    for (std::size_t i = 0; i < parts.numbers.size(); ++i) {
        WrittenNumber number = parts.numbers[i];
        if (raw("size").number) number = {written, written};
        const auto length = lengthFrom("size", number, written, parts.units[i]);
        if (!length) return std::nullopt;
        size.lengths.push_back(*length);
    }
    return size;
}

std::vector<std::string> problemSentences(const std::vector<inventory::ImportProblem>& problems) {
    struct Group {
        const inventory::ImportProblem* first;
        std::vector<std::int64_t> more;
    };
    std::vector<Group> groups;
    std::map<std::string, std::size_t> place_of;
    for (const inventory::ImportProblem& problem : problems) {
        // What differs from line to line stands in quotes or is a number.
        std::string kind = problem.file + '\n' + problem.column_name + '\n';
        bool quoted = false;
        for (const char c : problem.reason) {
            if (c == '\'') quoted = !quoted;
            if (!quoted && (c < '0' || c > '9') && c != '.' && c != '-') kind += c;
        }
        const auto [found, is_new] = place_of.emplace(kind, groups.size());
        if (is_new) {
            groups.push_back({&problem, {}});
        } else {
            groups[found->second].more.push_back(problem.line);
        }
    }
    std::vector<std::string> sentences;
    constexpr std::size_t most_named = 5;
    for (const Group& group : groups) {
        std::string sentence = group.first->text();
        if (group.more.size() == 1) {
            sentence += " (so too in line " + std::to_string(group.more[0]) + ")";
        } else if (!group.more.empty()) {
            sentence += " (so too in " + std::to_string(group.more.size()) + " more lines: ";
            for (std::size_t i = 0; i < group.more.size() && i < most_named; ++i)
                sentence += (i > 0 ? ", " : "") + std::to_string(group.more[i]);
            sentence += group.more.size() > most_named ? " ...)" : ")";
        }
        sentences.push_back(std::move(sentence));
    }
    return sentences;
}

} // namespace shimledger::services
