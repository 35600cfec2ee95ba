// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/written_number.h"

#include "planner/units/input_error.h"
#include "planner/units/small_letters.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace shimledger::services {

namespace {

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

void replaceAll(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
}

/// Digits in groups of three behind the first, one and the same mark between them; "" where they are not.
std::string withoutGroups(std::string_view text) {
    std::string digits;
    char mark = 0;
    std::size_t since = 0;
    bool grouped = false;
    for (const char c : text) {
        if (isDigit(c)) {
            digits += c;
            ++since;
            continue;
        }
        if (c == '+' || c == '-' || (mark != 0 && c != mark)) return {};
        const bool first = !grouped;
        if ((first && (since < 1 || since > 3 || digits[0] == '0')) || (!first && since != 3)) return {};
        mark = c;
        grouped = true;
        since = 0;
    }
    if (grouped && since != 3) return {};
    return digits;
}

std::optional<std::string> readAs(std::string_view text, char decimal) {
    std::string sign;
    if (!text.empty() && (text.front() == '-' || text.front() == '+')) {
        if (text.front() == '-') sign = "-";
        text.remove_prefix(1);
    }
    const std::size_t point = text.find(decimal);
    const std::string_view before = text.substr(0, point);
    std::string fraction;
    if (point != std::string_view::npos) {
        fraction = text.substr(point + 1);
        if (fraction.empty() || !std::all_of(fraction.begin(), fraction.end(), isDigit)) return std::nullopt;
    }
    std::string whole = before.empty() ? (fraction.empty() ? "" : "0") : withoutGroups(before);
    if (whole.empty()) return std::nullopt;
    return sign + whole + (fraction.empty() ? "" : "." + fraction);
}

constexpr std::array<std::pair<std::string_view, std::string_view>, 34> unit_words{{
    {"mm", "mm"},
    {"millimeter", "mm"},
    {"inches", "in"},
    {"inch", "in"},
    {"in.", "in"},
    {"in", "in"},
    {"zoll", "in"},
    {"\"", "in"},
    {"''", "in"},
    {"\xe2\x80\x9d", "in"},
    {"\xe2\x80\xb3", "in"},
    {"um", "um"},
    {"\xc2\xb5m", "um"},
    {"\xce\xbcm", "um"},
    {"micron", "um"},
    {"cm", "cm"},
    {"pieces", "piece"},
    {"piece", "piece"},
    {"pcs.", "piece"},
    {"pcs", "piece"},
    {"pc", "piece"},
    {"stk.", "piece"},
    {"stk", "piece"},
    {"st\xc3\xbc"
     "ck",
     "piece"},
    {"stueck", "piece"},
    {"ea", "piece"},
    {"off", "piece"},
    {"ml", "piece"},
    {"\xe2\x82\xac", "money"},
    {"$", "money"},
    {"\xc2\xa3", "money"},
    {"eur", "money"},
    {"usd", "money"},
    {"gbp", "money"},
}};

} // namespace

std::string trimmed(std::string_view text) {
    constexpr std::array<std::string_view, 8> blanks{
        " ", "\t", "\r", "\n", "\xc2\xa0", "\xe2\x80\xaf", "\xef\xbb\xbf", "\xe2\x80\x8b"};
    bool more = true;
    while (more) {
        more = false;
        for (const std::string_view blank : blanks) {
            if (text.starts_with(blank)) {
                text.remove_prefix(blank.size());
                more = true;
            }
            if (text.ends_with(blank)) {
                text.remove_suffix(blank.size());
                more = true;
            }
        }
    }
    return std::string(text);
}

WrittenNumber readWritten(std::string_view text) {
    std::string plain = trimmed(text);
    constexpr std::size_t longest = 40;
    if (plain.empty() || plain.size() > longest) return {};
    for (const std::string_view blank : {"\xc2\xa0", "\xe2\x80\xaf"}) replaceAll(plain, blank, " ");
    replaceAll(plain, "\xe2\x80\x99", "'");
    replaceAll(plain, "\xe2\x88\x92", "-"); // the minus of typesetters
    const auto known = [](char c) {
        return isDigit(c) || std::string_view(".,' +-").find(c) != std::string_view::npos;
    };
    if (!std::all_of(plain.begin(), plain.end(), known)) return {};
    return {readAs(plain, '.'), readAs(plain, ',')};
}

WithUnit splitUnit(std::string_view text) {
    WithUnit result{trimmed(text), {}};
    for (const std::string_view sign :
         {"\xc3\x98", "\xc3\xb8", "\xe2\x8c\x80", "\xe2\x82\xac", "$", "\xc2\xa3"}) {
        if (!result.number.starts_with(sign)) continue;
        if (sign == "$" || sign == "\xe2\x82\xac" || sign == "\xc2\xa3") result.unit = "money";
        result.number = trimmed(result.number.substr(sign.size()));
    }
    const std::string small = inSmallLetters(result.number);
    for (const auto& [word, unit] : unit_words) {
        if (small.size() > word.size() && small.ends_with(word)) {
            result.number = trimmed(result.number.substr(0, small.size() - word.size()));
            result.unit = unit;
            break;
        }
    }
    return result;
}

ReadLength lengthOf(const std::string& digits, std::string_view unit) {
    if (unit.empty() || unit == "mm") return {Length::parseMillimetres(digits)};
    constexpr int places = 9;
    constexpr std::int64_t one = 1'000'000'000;
    const bool negative = digits.starts_with("-");
    std::int64_t value = 0; // in billionths of the unit
    int decimals = -1;
    for (const char c : digits) {
        if (c == '-') continue;
        if (c == '.') {
            decimals = 0;
            continue;
        }
        if (decimals >= places) continue;
        if (decimals >= 0) ++decimals;
        value = value * 10 + (c - '0');
        if (value > 10'000 * one) throw InputError("'" + digits + "' is out of range as a length");
    }
    for (int i = std::max(decimals, 0); i < places; ++i) value *= 10;
    if (value > 10'000 * one) throw InputError("'" + digits + "' is out of range as a length");
    const std::int64_t micrometres_a_unit = unit == "in" ? 25'400 : unit == "cm" ? 10'000 : 1;
    // Whole units and billionths apart, so that nothing overflows.
    const std::int64_t whole = value / one * micrometres_a_unit;
    const std::int64_t rest = value % one * micrometres_a_unit;
    ReadLength result;
    result.rounded = rest % one != 0;
    const std::int64_t micrometres = whole + (rest + one / 2) / one;
    result.length = Length::fromMicrometres(negative ? -micrometres : micrometres);
    return result;
}

WrittenSize readSize(std::string_view text) {
    WrittenSize size;
    std::string plain = inSmallLetters(trimmed(text));
    constexpr std::size_t longest = 200;
    if (plain.empty() || plain.size() > longest) return size;
    for (const std::string_view sign : {"\xc3\x97", "*", "\xe2\x9c\x95"}) replaceAll(plain, sign, "x");
    for (const std::string_view sign : {"\xc3\x98", "\xc3\xb8", "\xe2\x8c\x80"}) replaceAll(plain, sign, "");
    const std::size_t first = plain.find_first_of("0123456789");
    if (first == std::string::npos) return size;
    std::size_t start = first;
    if (start > 0 && (plain[start - 1] == '.' || plain[start - 1] == ',')) --start;
    size.word = trimmed(plain.substr(0, start));
    if (!size.word.empty() && (size.word.back() == ':' || size.word.back() == '-')) size.word.pop_back();
    plain.erase(0, start);
    char parted_by = 'x';
    if (plain.find('x') == std::string::npos) {
        const auto times = [&](char c) { return std::count(plain.begin(), plain.end(), c); };
        parted_by = times('/') == 2 ? '/' : times('-') == 2 ? '-' : 'x';
    }
    std::string rest = plain;
    while (true) {
        const std::size_t end = std::min(rest.find(parted_by), rest.size());
        const WithUnit piece = splitUnit(rest.substr(0, end));
        const WrittenNumber number = readWritten(piece.number);
        if (!number.readable() || (!piece.unit.empty() && piece.unit != "mm" && piece.unit != "in" &&
                                   piece.unit != "um" && piece.unit != "cm")) {
            return WrittenSize();
        }
        size.numbers.push_back(number);
        size.units.push_back(piece.unit);
        if (end == rest.size()) break;
        rest.erase(0, end + 1);
    }
    for (std::string& unit : size.units) {
        if (unit.empty()) unit = size.units.back(); // "24 x 0.1 mm"
    }
    if (size.numbers.size() > 3) return WrittenSize();
    return size;
}

} // namespace shimledger::services
