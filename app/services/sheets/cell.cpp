// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/cell.h"

#include <algorithm>

namespace shimledger::services {

namespace {

bool beginsLetter(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; // not a UTF-8 continuation
}

/// The first letters of a text, never half of one.
std::string firstLetters(std::string_view text, std::size_t most) {
    std::size_t letters = 0;
    std::size_t end = 0;
    while (end < text.size()) {
        if (beginsLetter(text[end]) && ++letters > most) break;
        ++end;
    }
    return std::string(text.substr(0, end));
}

std::string lowerCase(std::string text) { // Excel takes "Old Mill" and "old mill" for the same sheet
    std::transform(text.begin(), text.end(), text.begin(), [](char letter) {
        return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
    });
    return text;
}

/// What a cell may hold: so many units of UTF-16, of which a letter beyond the first plane takes two.
constexpr std::size_t most_units_of_cell = 32'767;

std::string cutToCell(std::string_view text) {
    const auto units = [](char byte) -> std::size_t {
        if (!beginsLetter(byte)) return 0;
        return static_cast<unsigned char>(byte) >= 0xF0U ? 2 : 1;
    };
    std::size_t used = 0;
    std::size_t end = 0; // of what fits with the mark of the cut behind it
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (beginsLetter(text[at]) && used < most_units_of_cell) end = at;
        used += units(text[at]);
        if (used > most_units_of_cell) return std::string(text.substr(0, end)) + "\xE2\x80\xA6";
    }
    return std::string(text);
}

} // namespace

Cell blankCell() {
    return {};
}

Cell textCell(std::string_view text) {
    if (text.empty()) return blankCell();
    return {Cell::Kind::text, cutToCell(text), 0};
}

Cell numberCell(std::int64_t number) {
    return {Cell::Kind::number, {}, static_cast<double>(number)};
}

Cell moneyCell(std::int64_t hundredths) {
    return {Cell::Kind::number, {}, static_cast<double>(hundredths) / 100.0};
}

Cell formulaCell(std::string_view formula, double value) {
    return {Cell::Kind::formula, std::string(formula), value};
}

std::string sheetName(std::string_view wish, std::set<std::string>& taken) {
    constexpr std::size_t most_letters = 31;
    std::string name(wish);
    for (char& letter : name) {
        if (std::string_view("[]:*?/\\").find(letter) != std::string_view::npos ||
            static_cast<unsigned char>(letter) < 0x20) {
            letter = '-';
        }
    }
    name = firstLetters(name, most_letters);
    if (name.empty()) name = "Sheet";
    if (name.front() == '\'') name.front() = '-';
    if (name.back() == '\'') name.back() = '-';
    std::string unique = name;
    for (int number = 2; !taken.insert(lowerCase(unique)).second; ++number) {
        const std::string ending = " " + std::to_string(number);
        unique = firstLetters(name, most_letters - ending.size()) + ending;
    }
    return unique;
}

std::string sheetReference(std::string_view name) {
    std::string reference = "'";
    for (const char letter : name) {
        reference += letter;
        if (letter == '\'') reference += letter;
    }
    return reference + "'!";
}

std::string headerText(std::string_view text, std::size_t most_bytes) {
    std::size_t end = std::min(text.size(), most_bytes);
    while (end > 0 && end < text.size() && !beginsLetter(text[end])) --end;
    std::string escaped;
    for (const char letter : text.substr(0, end)) {
        escaped += letter;
        if (letter == '&') escaped += letter;
    }
    return escaped;
}

} // namespace shimledger::services
