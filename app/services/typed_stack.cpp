// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/typed_stack.h"

#include "app/services/sheet_import/written_number.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <charconv>
#include <optional>
#include <vector>

namespace shimledger::services {

namespace {

using Rows = std::vector<planner::DiscRow>;

bool isDigitAt(std::string_view text, std::size_t place) {
    return place < text.size() && text[place] >= '0' && text[place] <= '9';
}

/// "4 x 24,0 x 0,10" at its crosses, or at the tabs between cells.
std::vector<std::string> factorsOf(std::string_view row) {
    constexpr std::string_view sign = "\xc3\x97"; // U+00D7
    const bool crosses =
        row.find_first_of("xX") != std::string_view::npos || row.find(sign) != std::string_view::npos;
    std::vector<std::string> factors(1);
    for (std::size_t i = 0; i < row.size(); ++i) {
        const bool is_sign = row.substr(i, sign.size()) == sign;
        if (crosses ? row[i] == 'x' || row[i] == 'X' || is_sign : row[i] == '\t') {
            factors.emplace_back();
            if (is_sign) i += sign.size() - 1;
        } else {
            factors.back() += row[i];
        }
    }
    return factors;
}

Length sizeOf(const std::string& text, SizeUnit bare) {
    const Length length = typedLength(text, bare).length;
    if (length <= Length()) throw InputError("'" + trimmed(text) + "' is no size of a disc");
    return length;
}

planner::DiscRow rowOf(std::string_view text, SizeUnit bare) {
    planner::DiscRow row;
    const std::size_t ring = text.find("ring");
    if (ring != std::string_view::npos) {
        row.ring_id = sizeOf(std::string(text.substr(ring + 4)), bare);
        text = text.substr(0, ring);
    }
    const std::vector<std::string> factors = factorsOf(text);
    if (factors.size() < 2 || factors.size() > 3)
        throw InputError("'" + trimmed(text.substr(0, 60)) +
                         "': write count x OD x thickness, such as 4 x 24.0 x 0.10");
    if (factors.size() == 3) {
        const std::string count = trimmed(factors[0]);
        const auto [end, error] = std::from_chars(count.data(), count.data() + count.size(), row.count);
        if (error != std::errc() || end != count.data() + count.size() || row.count < 1)
            throw InputError(
                "'" + count.substr(0, 40) +
                "' is no count of discs: write a whole number, such as the 4 in 4 x 24.0 x 0.10");
    }
    std::vector<SizeWord> words;
    for (std::size_t i = factors.size() - 2; i < factors.size(); ++i) {
        for (SizeWord& word : sizeWords(factors[i])) words.push_back(std::move(word));
    }
    refuseSharedUnit(words, bare);
    row.od = sizeOf(factors[factors.size() - 2], bare);
    row.thickness = sizeOf(factors.back(), bare);
    return row;
}

/// At its commas; those between two digits only where `all` of them part rows.
Rows rowsOf(std::string_view line, bool all, SizeUnit bare) {
    Rows rows;
    std::size_t from = 0;
    for (std::size_t i = 0; i <= line.size(); ++i) {
        const bool between_digits = i > 0 && isDigitAt(line, i - 1) && isDigitAt(line, i + 1);
        if (i < line.size() && (line[i] != ',' || (between_digits && !all))) continue;
        const std::string_view row = line.substr(from, i - from);
        if (!trimmed(row).empty()) rows.push_back(rowOf(row, bare));
        from = i + 1;
    }
    return rows;
}

} // namespace

std::string stackInMillimetres(std::string_view text, SizeUnit bare) {
    Rows rows;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(";\n"), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        std::optional<Rows> parted, decimal;
        std::string why;
        try {
            decimal = rowsOf(line, false, bare);
        } catch (const InputError& error) {
            why = error.what();
        }
        try {
            parted = rowsOf(line, true, bare);
        } catch (const InputError& error) {
            if (why.empty()) why = error.what();
        }
        if (!parted && !decimal)
            throw InputError("stack row " + std::to_string(rows.size() + 1) + ": " + why);
        if (parted && decimal && *parted != *decimal)
            throw InputError("'" + trimmed(line.substr(0, 60)) +
                             "' can be read in two ways: write decimals with a point, or part the rows by ;");
        for (const planner::DiscRow& row : decimal ? *decimal : *parted) rows.push_back(row);
    }
    if (rows.empty()) throw InputError("the stack is empty: write rows such as 4 x 24.0 x 0.10");
    return planner::stackText(rows, "; ");
}

} // namespace shimledger::services
