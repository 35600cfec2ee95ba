// SPDX-License-Identifier: GPL-3.0-or-later
// One line is one lot: what it is, where it lies, how many there are, and perhaps from whom it comes.
#include "app/services/sheet_import/condition_columns.h"
#include "app/services/sheet_import/part_code.h"
#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/understood_sheet.h"

#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/supplier.h"
#include "planner/units/input_error.h"
#include "planner/units/small_letters.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

using inventory::Part;
using inventory::PartKind;
using inventory::TableInput;

std::string inMarks(const std::string& text) {
    constexpr std::size_t most = 60;
    return "'" + text.substr(0, most) + (text.size() > most ? "..." : "") + "'";
}

/// Letters and numbers apart, so that A2 comes before A10.
bool comesBefore(const std::string& a, const std::string& b) {
    std::size_t i = 0, k = 0;
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    while (i < a.size() && k < b.size()) {
        if (digit(a[i]) && digit(b[k])) {
            std::size_t i_end = i, k_end = k;
            while (i_end < a.size() && digit(a[i_end])) ++i_end;
            while (k_end < b.size() && digit(b[k_end])) ++k_end;
            std::string one = a.substr(i, i_end - i), other = b.substr(k, k_end - k);
            one.erase(0, std::min(one.find_first_not_of('0'), one.size()));
            other.erase(0, std::min(other.find_first_not_of('0'), other.size()));
            if (one.size() != other.size()) return one.size() < other.size();
            if (one != other) return one < other;
            i = i_end;
            k = k_end;
        } else {
            if (a[i] != b[k]) return a[i] < b[k];
            ++i;
            ++k;
        }
    }
    return a.size() - i < b.size() - k || (a.size() - i == b.size() - k && a < b);
}

/// "a shim", "an oil seal"
std::string aKind(PartKind kind) {
    const std::string noun(inventory::partKindRule(kind).noun);
    return (std::string("aeioO").find(noun[0]) == std::string::npos ? "a " : "an ") + noun;
}

/// A size of the part that nobody would have in a drawer.
struct Span {
    Length least, greatest;
};
constexpr Span shim_od{Length::fromMicrometres(3'000), Length::fromMicrometres(150'000)};
constexpr Span shim_id{Length::fromMicrometres(1'000), Length::fromMicrometres(100'000)};
constexpr Span shim_thickness{Length::fromMicrometres(20), Length::fromMicrometres(4'000)};
constexpr Span any_size{Length::fromMicrometres(20), Length::fromMicrometres(900'000)};
constexpr std::int64_t most_pieces = 100'000;

bool within(const Span& span, Length length) {
    return span.least <= length && length <= span.greatest;
}

class FlatSheet {
public:
    FlatSheet(inventory::ShopFile& shop, const RawSheet& sheet, const std::string& name,
              const SheetAnswers& answers, SheetLayout layout)
        : m_shop(shop), m_sheet(sheet), m_answers(answers),
          m_catalogue(shop), m_result{name, "a sheet of parts, drawers and counts", std::move(layout)},
          m_cells(sheet, m_result.layout, answers, name) {
        for (const inventory::Bin& bin : inventory::BinList(shop).list()) {
            m_bins.insert(bin.code);
            m_cabinets[bin.code] = bin.cabinet;
            m_bins_small[inSmallLetters(bin.code)].push_back(bin.code);
            m_last_walk = std::max(m_last_walk, bin.walking_order);
        }
        for (const Part& part : m_catalogue.list()) m_parts.push_back(part);
        for (std::size_t i = 0; i < m_parts.size(); ++i) m_part_of_code[m_parts[i].code] = i;
        m_known_parts = m_parts.size();
    }

    UnderstoodSheet read() {
        for (std::size_t place = m_result.layout.first_row; place < m_sheet.rows.size(); ++place)
            readLine(m_sheet.rows[place]);
        addTables();
        addNotes();
        m_result.problems = std::move(m_cells.problems);
        return std::move(m_result);
    }

private:
    void readLine(const RawRow& row) {
        m_cells.at(row);
        m_cells.begin();
        m_line = row.line;
        switch (lineKind(m_sheet, m_result.layout, row)) {
        case LineKind::blank:
        case LineKind::headings_again:
            return;
        case LineKind::total:
        case LineKind::other:
            passOver(row);
            return;
        default:
            break;
        }
        if (!row.cells[0].fault.empty() && row.cells.size() == 1) {
            m_cells.problem({}, row.cells[0].fault);
            return;
        }
        if (tooWide(m_sheet, m_result.layout, row)) {
            m_cells.problem({}, too_wide_text);
            return;
        }
        if (isHeadingOfGroup(row)) return;
        if (isTotalWithoutWord(row)) return;
        readLot();
    }

    void passOver(const RawRow& row) {
        m_result.lines.emplace_back(row.line, "passed over: " + lineText(row));
    }

    [[nodiscard]] bool describesParts() const {
        const SheetLayout& layout = m_result.layout;
        return layout.has("size") || layout.has("od_mm") || layout.has("thickness_mm") ||
               layout.has("part") || layout.has("description");
    }

    [[nodiscard]] bool saysPart() const {
        static constexpr const char* fields[] = {"size",       "od_mm",     "id_mm", "thickness_mm",
                                                 "section_mm", "length_mm", "part",  "description"};
        return std::any_of(std::begin(fields), std::end(fields),
                           [&](const char* f) { return m_cells.filled(f); });
    }

    /// One text alone in its line stands above a group, or below the table. It is passed over, but where it
    /// may say what the columns do not, it is a question.
    bool isHeadingOfGroup(const RawRow& row) {
        if (!describesParts()) return false;
        const RawCell* only = nullptr;
        for (const RawCell& cell : row.cells) {
            if (trimmed(cell.text).empty()) continue;
            if (only != nullptr) return false;
            only = &cell;
        }
        if (only == nullptr || only->number || !readSize(only->text).numbers.empty()) return false;
        if (m_cells.filled("part") && m_result.layout.columns.size() < 3) return false;
        const std::string text = trimmed(only->text);
        std::string words = " " + headingWords(text + " x").words + " ";
        bool says = false;
        for (std::size_t at = 1; at < words.size(); at = words.find(' ', at) + 1) {
            const std::string word = words.substr(at, words.find(' ', at) - at);
            says = says || conditionOfWord(word) || word == "bore" || word == "id" || word == "bohrung" ||
                   (kindOfWord(word) && *kindOfWord(word) != "shim" && !m_cells.filled("kind") &&
                    !m_result.layout.has("kind"));
            if (words.find(' ', at) == std::string::npos) break;
        }
        if (says) {
            m_cells.problem({}, inMarks(text) +
                                    " stands alone in its line: if it is about the lines below, give "
                                    "them a column that says it; else take it away");
            return true;
        }
        passOver(row);
        return true;
    }

    /// A number of pieces alone, as great as all above it.
    bool isTotalWithoutWord(const RawRow& row) {
        if (!describesParts() || saysPart() || m_cells.filled("bin") || !m_cells.filled("quantity"))
            return false;
        const auto quantity = m_cells.whole("quantity");
        if (!quantity) return true;
        if (*quantity == std::to_string(m_pieces)) {
            passOver(row);
        } else {
            m_cells.problem("quantity", "the line says a number of pieces, but not of what");
        }
        return true;
    }

    void readLot() {
        std::optional<std::size_t> part;
        if (saysPart() || m_cells.filled("kind")) {
            part = partOfLine();
            if (!m_cells.good()) return;
        }
        const std::string bin = binOfLine();
        const auto quantity = m_cells.whole("quantity");
        const auto condition = m_cells.condition("condition");
        const auto measured = m_cells.length("measured_mm");
        const auto counted_on = m_cells.date("counted_on");
        if (!m_cells.good()) return;
        std::string sentence;
        if (quantity || measured) {
            if (!part) {
                m_cells.problem("quantity", "the line does not say what it counts: give it a size or a part");
                return;
            }
            if (bin.empty()) {
                if (m_result.layout.has("bin")) {
                    m_cells.problem("bin", "is empty: in which drawer do they lie?");
                } else {
                    m_cells.problem(
                        {}, "no column says the drawer: say --column \"HEADING=bin\", or --set bin=A1 "
                            "if all lie in one");
                }
                return;
            }
            sentence = takeStock(*part, bin, quantity.value_or("0"), condition.value_or("new"), measured,
                                 counted_on);
            if (!m_cells.good()) return;
        } else if (part) {
            sentence = inventory::partText(m_parts[*part]) + " is known, nothing is counted";
            ++m_not_counted;
        } else if (!bin.empty()) {
            sentence = "bin " + bin;
        }
        if (part) takeOffer(*part);
        if (!m_new_words.empty()) sentence += " (" + m_new_words + ")";
        m_new_words.clear();
        if (!sentence.empty()) m_result.lines.emplace_back(m_line, sentence);
    }

    void nowNew(const std::string& words) { m_new_words += (m_new_words.empty() ? "" : "; ") + words; }

    std::string takeStock(std::size_t place, const std::string& bin, const std::string& quantity,
                          const std::string& condition, std::optional<Length> measured,
                          const std::optional<std::string>& counted_on) {
        const Part& part = m_parts[place];
        std::int64_t pieces = 0;
        std::from_chars(quantity.data(), quantity.data() + quantity.size(), pieces);
        if (pieces > most_pieces && part.unit == inventory::QuantityUnit::piece &&
            !m_answers.sizes_are_meant) {
            m_cells.problem("quantity",
                            quantity + " pieces in one drawer: if that is meant, say --as-written");
            return {};
        }
        if (measured && part.thickness && !m_answers.sizes_are_meant) {
            const Length off =
                *measured > *part.thickness ? *measured - *part.thickness : *part.thickness - *measured;
            // A reading more than a fifth off is of another shim, or a slip.
            if (5 * off > *part.thickness && off > Length::fromMicrometres(20)) {
                m_cells.problem("measured_mm", inMarks(measured->text(2)) + " mm is far from the nominal " +
                                                   part.thickness->text(2) +
                                                   " mm: if that is meant, say --as-written");
                return {};
            }
        }
        const std::string lot = part.code + '\n' + bin + '\n' + condition;
        if (const auto [before, is_new] = m_lots.emplace(lot, m_line); !is_new) {
            m_cells.problem("bin", "part " + inMarks(part.code) + " (" + condition + ") is counted in bin " +
                                       inMarks(bin) + " in line " + std::to_string(before->second) +
                                       " already: make it one line, or two drawers");
            return {};
        }
        m_pieces += pieces;
        inventory::CsvRecord record;
        record.line = m_line;
        const auto size = [](const std::optional<Length>& length) {
            return length ? length->text(1) : std::string();
        };
        record.cells = {std::string(inventory::partKindName(part.kind)),
                        size(part.od),
                        size(part.id),
                        size(part.thickness),
                        size(measured),
                        condition,
                        bin,
                        quantity,
                        part.code,
                        counted_on.value_or("")};
        m_stock.push_back(std::move(record));
        return quantity + " " + condition + " of " + inventory::partText(part) + " in " + bin;
    }

    // Part

    std::optional<std::size_t> partOfLine() {
        Part part;
        std::string kind = m_cells.kind("kind").value_or("");
        part.code = m_cells.text("part");
        part.size_code = m_cells.text("size_code");
        const auto size = m_cells.filled("size") ? m_cells.size() : std::nullopt;
        if (!m_cells.good()) return std::nullopt;
        if (size && !size->kind.empty()) {
            if (!kind.empty() && kind != size->kind) {
                m_cells.problem("size", "says " + size->kind + ", but the kind is " + kind);
                return std::nullopt;
            }
            kind = size->kind;
        }
        const auto known = m_part_of_code.find(part.code);
        if (kind.empty() && known != m_part_of_code.end() && !part.code.empty())
            kind = inventory::partKindName(m_parts[known->second].kind);
        if (kind.empty()) {
            if (m_result.layout.has("kind") && m_cells.raw("kind").text.empty()) {
                m_cells.problem("kind", "is empty: what kind of part is it?");
                return std::nullopt;
            }
            if (m_result.layout.has("section_mm") || m_result.layout.has("length_mm")) {
                m_cells.problem({},
                                "no column says the kind of part: say --column \"HEADING=kind\", or --set "
                                "kind=shim if all are of one");
                return std::nullopt;
            }
            kind = "shim";
            m_kind_assumed = true;
        }
        part.kind = inventory::parsePartKind(kind);
        for (const inventory::SizeField& field : inventory::allSizeFields())
            part.*field.member = m_cells.length(field.column);
        if (size) spread(*size, part);
        if (!m_cells.good()) return std::nullopt;
        return known != m_part_of_code.end() && !part.code.empty() ? knownPart(known->second, part)
                                                                   : namedOrNew(part);
    }

    void spread(const SheetCells::Size& size, Part& part) {
        const std::vector<Length>& given = size.lengths;
        const auto put = [&](std::string_view column, Length length) { place(part, column, length); };
        const auto unclear = [&](const std::string& right) {
            m_cells.problem("size", inMarks(trimmed(m_cells.raw("size").text)) + " is no size of " +
                                        aKind(part.kind) + ": write " + right);
        };
        if (part.kind == PartKind::shim) {
            const bool falls = std::is_sorted(given.rbegin(), given.rend()) &&
                               std::adjacent_find(given.begin(), given.end()) == given.end();
            if (given.size() == 1) {
                put("od_mm", given[0]);
            } else if (!falls) {
                unclear("OD x ID x thickness, such as 24 x 6 x 0.10");
            } else if (given.size() == 3) {
                put("od_mm", given[0]);
                put("id_mm", given[1]);
                put("thickness_mm", given[2]);
            } else if (part.thickness && *part.thickness != given[1]) {
                put("od_mm", given[0]);
                put("id_mm", given[1]);
            } else {
                put("od_mm", given[0]);
                put("thickness_mm", given[1]);
            }
            return;
        }
        const inventory::PartKindRule& rule = inventory::partKindRule(part.kind);
        if (rule.needs_od_or_id || given.size() != rule.needs.size()) {
            std::string right;
            for (const inventory::SizeField* field : rule.needs)
                right += (right.empty() ? "" : " x ") + std::string(field->noun);
            unclear(rule.needs_od_or_id || right.empty() ? "its sizes in columns of their own" : right);
            return;
        }
        std::vector<Length> ordered = given;
        // Inner before outer diameter, whichever way it was written.
        if (rule.needs.size() == 3 && ordered[0] > ordered[1]) std::swap(ordered[0], ordered[1]);
        for (std::size_t i = 0; i < ordered.size(); ++i) put(rule.needs[i]->column, ordered[i]);
    }

    void place(Part& part, std::string_view column, Length length) {
        for (const inventory::SizeField& field : inventory::allSizeFields()) {
            if (field.column != column) continue;
            std::optional<Length>& held = part.*field.member;
            if (held && *held != length) {
                m_cells.problem("size", "says " + length.text(2) + " mm for the " + std::string(field.noun) +
                                            ", another column " + held->text(2) + " mm");
                return;
            }
            held = length;
        }
    }

    std::optional<std::size_t> knownPart(std::size_t place, const Part& said) {
        const Part& part = m_parts[place];
        if (part.kind != said.kind) {
            m_cells.problem("kind", "part " + inMarks(part.code) + " is of kind " +
                                        std::string(inventory::partKindName(part.kind)) + ", not " +
                                        std::string(inventory::partKindName(said.kind)));
            return std::nullopt;
        }
        for (const inventory::SizeField& field : inventory::allSizeFields()) {
            const std::optional<Length>& length = said.*field.member;
            if (!length || length == part.*field.member) continue;
            m_cells.problem(m_result.layout.has(field.column) ? field.column : "size",
                            inMarks(length->text(2)) + " mm does not fit part " + inMarks(part.code) +
                                ", which is " + inMarks(inventory::partText(part)));
            return std::nullopt;
        }
        if (place < m_known_parts) m_parts_told.insert(place);
        return place;
    }

    [[nodiscard]] std::vector<std::size_t> partsAlike(const Part& said) const {
        std::vector<std::size_t> alike;
        for (std::size_t i = 0; i < m_parts.size(); ++i) {
            if (m_parts[i].kind != said.kind) continue;
            bool fits = true, any = false;
            for (const inventory::SizeField& field : inventory::allSizeFields()) {
                const std::optional<Length>& length = said.*field.member;
                fits = fits && (!length || length == m_parts[i].*field.member);
                any = any || length.has_value();
            }
            if (!any && !said.description.empty()) fits = m_parts[i].description == said.description;
            if (fits && (any || !said.description.empty())) alike.push_back(i);
        }
        return alike;
    }

    std::optional<std::size_t> namedOrNew(Part part) {
        part.description = m_cells.text("description");
        if (part.kind == PartKind::shim && (!part.od || !part.thickness)) {
            missing(part, !part.od ? "od_mm" : "thickness_mm", !part.od ? "outer diameter" : "thickness");
            return std::nullopt;
        }
        if (!isPlausible(part)) return std::nullopt;
        if (part.code.empty()) {
            const std::vector<std::size_t> alike = partsAlike(part);
            if (alike.size() == 1) {
                if (alike[0] < m_known_parts) m_parts_told.insert(alike[0]);
                return alike[0];
            }
            if (alike.size() > 1) {
                m_cells.problem({}, "is it part " + inMarks(m_parts[alike[0]].code) + " or " +
                                        inMarks(m_parts[alike[1]].code) +
                                        "? Give the sheet a column that names "
                                        "the part, or all sizes");
                return std::nullopt;
            }
        }
        const inventory::PartKindRule& rule = inventory::partKindRule(part.kind);
        for (const inventory::SizeField* field : rule.needs) {
            if (part.*(field->member)) continue;
            missing(part, std::string(field->column), std::string(field->noun));
            return std::nullopt;
        }
        fillIn(part);
        if (!m_cells.good()) return std::nullopt;
        if (part.code.empty()) part.code = suggestedCode(part);
        if (part.code.empty()) part.code = part.description.substr(0, 100);
        if (part.code.empty()) {
            m_cells.problem({}, "the part has neither code, size nor description");
            return std::nullopt;
        }
        if (m_part_of_code.contains(part.code)) {
            m_cells.problem({}, "the code " + inMarks(part.code) +
                                    " is taken by another part: give the sheet a "
                                    "column that names the part");
            return std::nullopt;
        }
        if (part.description.empty()) part.description = inventory::partText(part);
        try {
            inventory::checkPart(part);
        } catch (const InputError& error) {
            m_cells.problem({}, error.what());
            return std::nullopt;
        }
        nowNew("new part " + part.code);
        m_part_of_code[part.code] = m_parts.size();
        m_parts.push_back(part);
        m_part_lines.push_back(m_line);
        return m_parts.size() - 1;
    }

    void missing(const Part& part, const std::string& column, const std::string& noun) {
        const std::string article = aKind(part.kind);
        if (m_result.layout.has(column)) {
            m_cells.problem(column, "is empty: " + article + " has " + noun);
        } else if (column == "id_mm") {
            m_cells.problem(
                {}, "no column says the bore (inner diameter) of the shims: say --set id_mm=6 if it is "
                    "one, or give the sheet a column");
        } else {
            m_cells.problem({}, "no column says the " + noun + " of " + article +
                                    ": say --column \"HEADING=" + column + "\"");
        }
    }

    bool isPlausible(const Part& part) {
        if (m_answers.sizes_are_meant) return true;
        const bool shim = part.kind == PartKind::shim;
        for (const inventory::SizeField& field : inventory::allSizeFields()) {
            const std::optional<Length>& length = part.*field.member;
            if (!length) continue;
            const Span& span = !shim                            ? any_size
                               : field.column == "od_mm"        ? shim_od
                               : field.column == "id_mm"        ? shim_id
                               : field.column == "thickness_mm" ? shim_thickness
                                                                : any_size;
            if (within(span, *length)) continue;
            const bool small = *length < span.least && m_answers.unit.empty() && m_result.layout.unit.empty();
            m_cells.problem(m_result.layout.has(field.column) ? field.column : "size",
                            inMarks(length->text(1)) + " mm is no likely " + std::string(field.noun) +
                                " of " + aKind(part.kind) + ": " +
                                (small && *length > Length()
                                     ? "are the sizes inches? Say --unit in; if it is meant, say --as-written"
                                     : "if it is meant, say --as-written"));
            return false;
        }
        return true;
    }

    void fillIn(Part& part) {
        part.material = m_cells.text("material");
        part.hardness = m_cells.text("hardness");
        part.coating = m_cells.text("coating");
        part.part_class = m_cells.text("class");
        part.note = describesParts() ? m_cells.text("note") : std::string();
        if (const auto point = m_cells.whole("reorder_point")) part.reorder_point = wholeOf(*point);
        if (const auto months = m_cells.whole("shelf_life_months"))
            part.shelf_life_months = static_cast<int>(wholeOf(*months));
        const std::string unit = inSmallLetters(m_cells.text("unit"));
        if (part.kind == PartKind::fluid) {
            part.unit = inventory::QuantityUnit::millilitre;
            if (!unit.empty() && unit != "ml") {
                m_cells.problem("unit", "a fluid is counted in ml, not in " + inMarks(unit));
            }
        } else if (unit == "mm") {
            part.unit = inventory::QuantityUnit::millimetre;
        } else if (!unit.empty() && unit != "piece" && splitUnit("1 " + unit).unit != "piece") {
            m_cells.problem("unit", inMarks(unit) + " is no unit: write piece, mm or ml");
        }
    }

    static std::int64_t wholeOf(const std::string& text) {
        std::int64_t value = 0;
        std::from_chars(text.data(), text.data() + text.size(), value);
        return value;
    }

    // Bin

    std::string binOfLine() {
        const std::string code = m_cells.text("bin");
        const std::string cabinet = m_cells.text("cabinet");
        if (const auto held = m_cabinets.find(code);
            !code.empty() && held != m_cabinets.end() && !cabinet.empty() && held->second != cabinet) {
            m_cells.problem("bin", "drawer " + inMarks(code) + " is in cabinet " + inMarks(held->second) +
                                       ", here it is in " + inMarks(cabinet) +
                                       ": a drawer's code is one in the whole shop, such as " +
                                       inMarks(cabinet + code));
            return {};
        }
        if (code.empty() || m_bins.contains(code)) return code;
        m_cabinets[code] = cabinet;
        const std::string small = inSmallLetters(code);
        std::vector<std::string>& alike = m_bins_small[small];
        if (alike.size() == 1 && m_new_bins.find(alike[0]) == m_new_bins.end()) return alike[0];
        if (!alike.empty()) {
            m_cells.problem("bin", "the drawers " + inMarks(code) + " and " + inMarks(alike[0]) +
                                       " differ in capitals only: write them alike");
            return {};
        }
        if (code.find_first_of(",;+&") != std::string::npos) {
            m_cells.problem("bin",
                            inMarks(code) + " looks like several drawers: give each its line with its count");
            return {};
        }
        m_bins.insert(code);
        alike.push_back(code);
        NewBin bin;
        bin.line = m_line;
        bin.cabinet = cabinet;
        bin.note = describesParts() ? std::string() : m_cells.text("note");
        bin.walking_order = m_cells.whole("walking_order").value_or("");
        m_new_bins.emplace(code, bin);
        nowNew("new bin " + code);
        return code;
    }

    // Supplier

    void takeOffer(std::size_t place) {
        const std::string supplier = m_cells.text("supplier");
        const auto piece_price = m_cells.money("piece_price");
        auto price = m_cells.money("pack_price");
        if (supplier.empty()) {
            m_prices_without_supplier = m_prices_without_supplier || price || piece_price;
            return;
        }
        if (!m_suppliers.contains(supplier) && !inventory::SupplierList(m_shop).find(supplier)) {
            const auto days = m_cells.whole("lead_time_days");
            const std::string currency = m_cells.text("currency");
            if (!m_cells.good()) return;
            if (!days || currency.empty()) {
                m_cells.problem("supplier",
                                inMarks(supplier) +
                                    " is new to the shop: say in how many days it "
                                    "delivers and its currency: --set lead_time_days=7 --set currency=EUR");
                return;
            }
            m_suppliers.emplace(supplier, std::make_pair(*days, currency));
            m_supplier_lines[supplier] = m_line;
            nowNew("new supplier " + supplier);
        }
        if (!price && !piece_price) return;
        const auto pack = m_cells.whole("pack_size");
        if (!pack && price) {
            m_cells.problem("pack_price",
                            "is the price of a pack of how many? Say --set pack_size=10, or give the "
                            "sheet a column");
            return;
        }
        const std::string size = pack.value_or("1");
        if (!price) {
            if (size != "1") {
                m_cells.problem("piece_price",
                                "is it the price of one piece or of the pack of " + size +
                                    "? Say --column \"HEADING=pack_price\", or leave the pack out");
                return;
            }
            price = piece_price;
        }
        inventory::CsvRecord record;
        record.line = m_line;
        record.cells = {supplier, m_parts[place].code, size, *price, m_cells.text("supplier_code")};
        const auto same = std::find_if(m_offers.begin(), m_offers.end(),
                                       [&](const auto& offer) { return offer.cells == record.cells; });
        if (same == m_offers.end()) m_offers.push_back(std::move(record));
    }

    // Results

    void addTables() {
        const std::string& name = m_result.name;
        if (!m_suppliers.empty()) {
            TableInput table{"suppliers.csv", {}, name, {"supplier", "lead_time_days", "currency"}, {}};
            for (const auto& [supplier, terms] : m_suppliers)
                add(table, m_supplier_lines[supplier], {supplier, terms.first, terms.second});
            m_result.tables.push_back(std::move(table));
        }
        if (!m_new_bins.empty()) {
            TableInput table{"bins.csv", {}, name, {"bin", "cabinet", "walking_order", "note"}, {}};
            std::vector<std::string> codes;
            for (const auto& [code, bin] : m_new_bins) codes.push_back(code);
            std::sort(codes.begin(), codes.end(), comesBefore);
            constexpr std::int64_t step = 10;
            for (const std::string& code : codes) {
                const NewBin& bin = m_new_bins[code];
                m_last_walk += step;
                add(table, bin.line,
                    {code, bin.cabinet,
                     bin.walking_order.empty() ? std::to_string(m_last_walk) : bin.walking_order, bin.note});
            }
            m_result.tables.push_back(std::move(table));
        }
        if (m_parts.size() > m_known_parts) m_result.tables.push_back(partsTable());
        if (!m_offers.empty()) {
            TableInput table{"supplier_parts.csv",
                             {},
                             name,
                             {"supplier", "part", "pack_size", "pack_price", "supplier_code"},
                             std::move(m_offers)};
            m_result.tables.push_back(std::move(table));
        }
        if (!m_stock.empty()) {
            TableInput table{"stock.csv",
                             {},
                             name,
                             {"kind", "od_mm", "id_mm", "thickness_mm", "measured_mm", "condition", "bin",
                              "quantity", "part", "counted_on"},
                             std::move(m_stock)};
            m_result.tables.push_back(std::move(table));
        }
    }

    static void add(TableInput& table, std::int64_t line, std::vector<std::string> cells) {
        inventory::CsvRecord record;
        record.line = line;
        record.cells = std::move(cells);
        table.rows.push_back(std::move(record));
    }

    TableInput partsTable() const {
        TableInput table{"parts.csv",
                         {},
                         m_result.name,
                         {"part", "kind", "description", "od_mm", "id_mm", "thickness_mm", "section_mm",
                          "length_mm", "size_code", "material", "hardness", "coating", "unit", "class",
                          "reorder_point", "shelf_life_months", "note"},
                         {}};
        const auto size = [](const std::optional<Length>& length) {
            return length ? length->text(1) : std::string();
        };
        for (std::size_t i = m_known_parts; i < m_parts.size(); ++i) {
            const Part& part = m_parts[i];
            add(table, m_part_lines[i - m_known_parts],
                {part.code, std::string(inventory::partKindName(part.kind)), part.description, size(part.od),
                 size(part.id), size(part.thickness), size(part.section), size(part.length), part.size_code,
                 part.material, part.hardness, part.coating,
                 std::string(inventory::quantityUnitName(part.unit)), part.part_class,
                 part.reorder_point ? std::to_string(*part.reorder_point) : std::string(),
                 part.shelf_life_months ? std::to_string(*part.shelf_life_months) : std::string(),
                 part.note});
        }
        return table;
    }

    void addNotes() {
        std::vector<std::string>& notes = m_result.notes;
        const SheetLayout& layout = m_result.layout;
        if (m_kind_assumed) notes.emplace_back("No column says the kind: all lines are shims.");
        if (!m_result.tables.empty() && layout.has("quantity") && !layout.has("condition"))
            notes.emplace_back("No column says the condition: all are new.");
        if (!layout.has("quantity"))
            notes.emplace_back("No column says how many there are: nothing is counted.");
        if (layout.has("quantity") && m_not_counted > 0)
            notes.push_back(m_not_counted == 1
                                ? std::string("1 line says no quantity: nothing of it is counted.")
                                : std::to_string(m_not_counted) +
                                      " lines say no quantity: nothing of them is counted.");
        if (m_prices_without_supplier)
            notes.emplace_back("Prices are not read: no column says the supplier (--set supplier=NAME).");
        if (m_cells.rounded > 0)
            notes.push_back(std::to_string(m_cells.rounded) +
                            " sizes in inches were rounded to the micrometre.");
        if (m_cells.sign() == DecimalSign::comma) notes.emplace_back("The comma is the sign of decimals.");
        static constexpr const char* of_parts[] = {"reorder_point", "class", "material", "coating",
                                                   "hardness"};
        const bool says_more = std::any_of(std::begin(of_parts), std::end(of_parts),
                                           [&](const char* field) { return layout.has(field); });
        if (says_more && !m_parts_told.empty())
            notes.push_back(std::to_string(m_parts_told.size()) +
                            " parts are there already and are left as they are.");
    }

    struct NewBin {
        std::int64_t line = 0;
        std::string cabinet, walking_order, note;
    };

    inventory::ShopFile& m_shop;
    const RawSheet& m_sheet;
    const SheetAnswers& m_answers;
    inventory::PartCatalogue m_catalogue;
    UnderstoodSheet m_result;
    SheetCells m_cells;
    std::int64_t m_line = 0, m_last_walk = 0, m_pieces = 0, m_not_counted = 0;
    std::set<std::string> m_bins;
    std::map<std::string, std::string> m_cabinets; ///< by bin
    std::map<std::string, std::vector<std::string>> m_bins_small;
    std::map<std::string, NewBin> m_new_bins;
    std::vector<Part> m_parts; ///< of the shop, then those of the sheet
    std::vector<std::int64_t> m_part_lines;
    std::size_t m_known_parts = 0;
    std::map<std::string, std::size_t> m_part_of_code;
    std::set<std::size_t> m_parts_told;
    std::map<std::string, std::int64_t> m_lots;
    std::map<std::string, std::pair<std::string, std::string>> m_suppliers; ///< new ones: days, currency
    std::map<std::string, std::int64_t> m_supplier_lines;
    std::vector<inventory::CsvRecord> m_stock, m_offers;
    std::string m_new_words;
    bool m_kind_assumed = false, m_prices_without_supplier = false;
};

/// The heading of a column that is not read and holds whole numbers, as counts do; "" where there is none.
std::string columnOfNumbers(const RawSheet& sheet, const SheetLayout& layout) {
    for (const SheetColumn& column : layout.columns) {
        if (column.field != nullptr || !column.how.empty()) continue;
        int whole = 0, filled = 0;
        for (std::size_t row = layout.first_row; row < sheet.rows.size(); ++row) {
            const std::vector<RawCell>& cells = sheet.rows[row].cells;
            if (column.place >= cells.size() || trimmed(cells[column.place].text).empty()) continue;
            ++filled;
            whole += readWritten(splitUnit(cells[column.place].text).number).readable() ? 1 : 0;
        }
        if (filled > 0 && 2 * whole > filled) return column.heading;
    }
    return {};
}

} // namespace

UnderstoodSheet understandFlatSheet(inventory::ShopFile& shop, const RawSheet& read, const std::string& name,
                                    const SheetAnswers& answers) {
    std::optional<SheetLayout> layout = layoutOf(read, name, answers);
    if (!layout) {
        throw InputError(
            name +
            ": no line names the columns: write headings such as OD, ID, thickness, bin, quantity "
            "above them, or say which is which, such as --column \"#1=od_mm\" --column \"#5=quantity\"");
    }
    const std::optional<RawSheet> parted = lineForEachCondition(read, *layout);
    const RawSheet& sheet = parted ? *parted : read;
    const bool names_things = layout->has("size") || layout->has("od_mm") || layout->has("part") ||
                              layout->has("bin") || layout->has("description") || layout->has("id_mm");
    if (!names_things) {
        throw InputError(name +
                         ": no column says a size, a part or a drawer: say which does, such as --column "
                         "\"HEADING=size\"");
    }
    if (const std::string column = columnOfNumbers(sheet, *layout);
        layout->has("bin") && !layout->has("quantity") && !column.empty()) {
        throw InputError(name + ": no column says how many there are: is it " + inMarks(column) +
                         "? Say --column \"" + column + "=quantity\", or \"" + column + "=ignore\"");
    }
    UnderstoodSheet result = FlatSheet(shop, sheet, name, answers, std::move(*layout)).read();
    if (result.tables.empty() && result.lines.empty() && result.problems.empty())
        throw InputError(name +
                         " has headings, but no line below them: write one for each part in each drawer");
    return result;
}

} // namespace shimledger::services
