// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/quoted.h"

#include "inventory/storage/field_error.h"

#include <algorithm>
#include <cstdint>

namespace shimledger::inventory {

namespace {

constexpr std::size_t longest_code = 100;
constexpr std::size_t longest_text = std::size_t{4} << 20;

bool isControl(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte == 0x7f;
}

bool continues(char c) {
    return (static_cast<unsigned char>(c) & 0xc0U) == 0x80U;
}

// Length of the sequence that starts here, 0 if it is malformed: overlong, a surrogate, beyond U+10FFFF.
std::size_t sequenceLength(std::string_view rest) {
    const auto first = static_cast<unsigned char>(rest[0]);
    if (first < 0x80) return 1;
    const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
    if (first < 0xc2 || first > 0xf4 || rest.size() < length) return 0;
    for (std::size_t i = 1; i < length; ++i) {
        if (!continues(rest[i])) return 0;
    }
    const auto second = static_cast<unsigned char>(rest[1]);
    if ((first == 0xe0 && second < 0xa0) || (first == 0xed && second > 0x9f) ||
        (first == 0xf0 && second < 0x90) || (first == 0xf4 && second > 0x8f)) {
        return 0;
    }
    return length;
}

} // namespace

std::string inQuotes(std::string_view text) {
    constexpr std::size_t most = 60;
    std::size_t end = std::min(text.size(), most);
    while (end < text.size() && end > 0 && continues(text[end])) --end;
    std::string shown(text.substr(0, end));
    std::replace_if(shown.begin(), shown.end(), isControl, ' ');
    return "'" + shown + (end < text.size() ? "...'" : "'");
}

std::string withArticle(std::string_view noun) {
    const bool vowel = std::string_view("aeioO").find(noun.front()) != std::string_view::npos;
    std::string text = vowel ? "an " : "a ";
    return text.append(noun);
}

bool isUtf8(std::string_view text) {
    while (!text.empty()) {
        const std::size_t length = sequenceLength(text);
        if (length == 0) return false;
        text.remove_prefix(length);
    }
    return true;
}

void checkCode(std::string_view text, std::string_view noun, std::string_view column) {
    const std::string what(noun);
    if (text.empty()) throw FieldError(column, "the " + what + " is empty: give one");
    if (text.size() > longest_code) {
        throw FieldError(column, "the " + what + " " + inQuotes(text) + " is longer than 100 bytes");
    }
    if (text.front() == ' ' || text.back() == ' ') {
        throw FieldError(column, "the " + what + " " + inQuotes(text) + " begins or ends with a blank");
    }
    if (std::any_of(text.begin(), text.end(), isControl)) {
        throw FieldError(column, "the " + what + " " + inQuotes(text) + " holds a control character");
    }
    if (!isUtf8(text)) throw FieldError(column, "the " + what + " is not UTF-8 text");
}

void checkFreeText(std::string_view text, std::string_view noun, std::string_view column) {
    if (text.size() > longest_text) {
        throw FieldError(column, "the " + std::string(noun) + " is longer than 4 MiB");
    }
    if (!isUtf8(text)) throw FieldError(column, "the " + std::string(noun) + " is not UTF-8 text");
}

} // namespace shimledger::inventory
