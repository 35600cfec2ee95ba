// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/typed_length.h"

#include "app/services/sheet_import/written_number.h"
#include "planner/units/input_error.h"
#include "planner/units/small_letters.h"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace shimledger::services {

namespace {

constexpr std::string_view digits_and_signs = "0123456789.,";
constexpr std::int64_t most_micrometres = 1'000'000'000; // what a Length holds

bool isLengthUnit(std::string_view unit) {
    return unit == "mm" || unit == "in" || unit == "um" || unit == "cm";
}

std::string quoted(std::string_view text) {
    constexpr std::size_t most = 40;
    return "'" + std::string(text.substr(0, most)) + (text.size() > most ? "...'" : "'");
}

std::string rightForm(std::string_view unit) {
    return unit == "in" ? "write inches such as 0.006 in"
                        : "write millimetres such as 0.15, or inches as 0.006 in";
}

} // namespace

std::string_view unitSign(SizeUnit unit) {
    return unit == SizeUnit::inches ? "in" : "mm";
}

TypedLength typedLength(std::string_view text, SizeUnit bare) {
    const WithUnit typed = splitUnit(text);
    const std::string unit = typed.unit.empty() ? std::string(unitSign(bare)) : typed.unit;
    std::string digits = typed.number;
    std::replace(digits.begin(), digits.end(), ',', '.');
    const std::size_t sign = !digits.empty() && (digits.front() == '-' || digits.front() == '+') ? 1 : 0;
    const auto refuse = [&](const std::string& why) {
        throw InputError(quoted(trimmed(text)) + why + rightForm(unit));
    };
    if (std::count(digits.begin(), digits.end(), '.') > 1) refuse(" has more than one decimal sign: ");
    constexpr std::size_t longest = 40;
    if (!isLengthUnit(unit) || digits.size() > longest ||
        digits.find_first_of("0123456789") == std::string::npos ||
        digits.find_first_not_of("0123456789.", sign) != std::string::npos)
        refuse(" is not a length: ");
    if (unit == "mm") return {Length::parseMillimetres(digits), true};
    if (digits.front() == '+') digits.erase(0, 1);
    const Length length = lengthOf(digits, unit).length;
    if (std::abs(length.micrometres()) > most_micrometres)
        throw InputError(quoted(trimmed(text)) + " is out of range: a length is at most 1000000 mm");
    return {length, false};
}

std::string typedForm(Length length, SizeUnit bare, int decimals) {
    if (bare == SizeUnit::millimetres) return length.text(decimals);
    // In hundred-thousandths of an inch, each of which is less than half a micrometre; then what is needless
    // is left out from behind.
    constexpr std::int64_t um_an_inch = 25'400;
    const std::int64_t size = std::abs(length.micrometres());
    for (std::int64_t places = 3, steps = 1'000;; ++places, steps *= 10) {
        const std::int64_t count = (size * steps + um_an_inch / 2) / um_an_inch;
        std::string fraction = std::to_string(steps + count % steps).substr(1);
        std::string text =
            (length < Length() ? "-" : "") + std::to_string(count / steps) + "." + std::move(fraction);
        if (places == 6 || typedLength(text, bare).length == length) return text;
    }
}

bool looksTyped(std::string_view word) {
    const WithUnit typed = splitUnit(word);
    return (typed.unit.empty() || isLengthUnit(typed.unit)) && !typed.number.empty() &&
           typed.number.find_first_not_of(digits_and_signs) == std::string::npos;
}

std::vector<SizeWord> sizeWords(std::string_view line) {
    std::vector<SizeWord> words;
    std::size_t at = 0;
    constexpr std::string_view blanks = " \t\r\n";
    while ((at = line.find_first_not_of(blanks, at)) != std::string_view::npos) {
        const std::size_t end = std::min(line.find_first_of(blanks, at), line.size());
        const std::string_view word = line.substr(at, end - at);
        at = end;
        const bool is_unit = isLengthUnit(splitUnit("1" + std::string(word)).unit) && !looksTyped(word);
        const auto ends_in_digit = [](const std::string& text) {
            return text.back() >= '0' && text.back() <= '9' && text.find_first_of("0123456789.,") == 0;
        };
        if (is_unit && !words.empty() && ends_in_digit(words.back().text)) {
            words.back().text.append(word);
            words.back().unit_apart = true;
        } else {
            words.push_back({std::string(word)});
        }
    }
    return words;
}

void refuseSharedUnit(const std::vector<SizeWord>& words, SizeUnit bare) {
    const auto apart = std::find_if(words.begin(), words.end(), [&](const SizeWord& word) {
        return word.unit_apart && splitUnit(word.text).unit != unitSign(bare);
    });
    const auto without = std::find_if(words.begin(), words.end(), [](const SizeWord& word) {
        return looksTyped(word.text) && splitUnit(word.text).unit.empty();
    });
    if (apart == words.end() || without == words.end()) return;
    const std::string unit = splitUnit(apart->text).unit;
    const auto name = [](std::string_view of) {
        return of == "in"   ? "inches"
               : of == "mm" ? "millimetres"
               : of == "um" ? "micrometres"
                            : "centimetres";
    };
    throw InputError("is " + without->text + " in " + name(unitSign(bare)) + " or in " + name(unit) +
                     "? Write the unit behind each size, such as " + without->text + unit);
}

} // namespace shimledger::services
