// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/stack_text.h"

#include "planner/units/input_error.h"

#include <charconv>

namespace shimledger::planner {

namespace {

constexpr std::string_view multiplication_sign = "\xC3\x97"; // U+00D7 in UTF-8

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    return text;
}

/// Splits at the first 'x', 'X' or multiplication sign; the rest is left in `text`.
std::string_view takeFactor(std::string_view& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool letter = text[i] == 'x' || text[i] == 'X';
        const bool sign = text.substr(i, multiplication_sign.size()) == multiplication_sign;
        if (letter || sign) {
            const std::string_view factor = trimmed(text.substr(0, i));
            text.remove_prefix(i + (letter ? 1 : multiplication_sign.size()));
            return factor;
        }
    }
    const std::string_view factor = trimmed(text);
    text = {};
    return factor;
}

int parseCount(std::string_view text) {
    int count = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
    if (error != std::errc() || end != text.data() + text.size()) {
        throw InputError("the count must be a whole number, such as the 4 in 4 x 24.0 x 0.10");
    }
    return count;
}

/// "24,0": a comma between digits, which may be a decimal comma or the end of a row.
bool hasDecimalComma(std::string_view text) {
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    for (std::size_t i = 1; i + 1 < text.size(); ++i) {
        if (text[i] == ',' && digit(text[i - 1]) && digit(text[i + 1])) return true;
    }
    return false;
}

DiscRow parseRow(std::string_view text) {
    DiscRow row;
    const std::size_t ring = text.find("ring");
    if (ring != std::string_view::npos) {
        row.ring_id = Length::parseMillimetres(text.substr(ring + 4));
        text = trimmed(text.substr(0, ring));
    }
    std::string_view rest = text;
    const std::string_view first = takeFactor(rest);
    const bool two = !trimmed(rest).empty();
    const std::string_view second = takeFactor(rest);
    const bool three = !trimmed(rest).empty();
    const std::string_view third = trimmed(rest);
    if (!two) throw InputError("write count x OD x thickness, such as 4 x 24.0 x 0.10");
    if (three) {
        row.count = parseCount(first);
        row.od = Length::parseMillimetres(second);
        row.thickness = Length::parseMillimetres(third);
    } else {
        row.od = Length::parseMillimetres(first);
        row.thickness = Length::parseMillimetres(second);
    }
    return row;
}

} // namespace

std::vector<DiscRow> parseStackText(std::string_view text) {
    std::vector<DiscRow> rows;
    std::size_t number = 0;
    const bool decimal_comma = hasDecimalComma(text);
    while (!text.empty()) {
        const std::size_t end = text.find_first_of(",;\n");
        const std::string_view piece = trimmed(text.substr(0, end));
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        if (piece.empty()) continue;
        ++number;
        try {
            rows.push_back(parseRow(piece));
        } catch (const InputError& error) {
            throw InputError("stack row " + std::to_string(number) + ": " + error.what() +
                             (decimal_comma ? " (decimals take a point: a comma ends the row)" : ""));
        }
    }
    if (rows.empty()) throw InputError("the stack is empty: write rows such as 4 x 24.0 x 0.10");
    return rows;
}

std::string rowText(const DiscRow& row) {
    std::string text = std::to_string(row.count) + " x " + row.od.text() + " x " + row.thickness.text(2);
    if (row.ring_id) text += " ring " + row.ring_id->text();
    return text;
}

std::string stackText(const std::vector<DiscRow>& rows, std::string_view separator) {
    std::string text;
    for (const DiscRow& row : rows) {
        if (!text.empty()) text += separator;
        text += rowText(row);
    }
    return text;
}

} // namespace shimledger::planner
