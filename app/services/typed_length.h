// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What a number is in that a person types without a unit. The window asks its settings, verbs say mm.
enum class SizeUnit { millimetres, inches };

/// The one reader of sizes that people type: "0.15", "0,15", "24 mm", "0.006 in", "0.006\"". Point and comma
/// are both the decimal sign, so nobody's thousands are guessed at; a number that has two of them is refused.
/// Millimetres are exact, inches come to the nearest micrometre.
struct TypedLength {
    Length length;
    bool in_millimetres = true; ///< else what it comes to is to be shown beside it
};
/// Throws InputError with a sentence that says what would be right.
[[nodiscard]] TypedLength typedLength(std::string_view text, SizeUnit bare = SizeUnit::millimetres);

/// The text that typedLength() reads as exactly this length where `bare` is the unit: "0.10" in mm with at
/// least that many decimals, in inches the shortest of three decimals and more.
[[nodiscard]] std::string typedForm(Length length, SizeUnit bare, int decimals = 1);

/// Whether a word is meant as a number, with or without a unit behind it: not the code of a part.
[[nodiscard]] bool looksTyped(std::string_view word);

/// A line of sizes at its blanks; a unit that stands by itself ("0.006 in") stays with its number.
struct SizeWord {
    std::string text;
    bool unit_apart = false; ///< its unit stood by itself, and may have been meant of all
};
[[nodiscard]] std::vector<SizeWord> sizeWords(std::string_view line);

/// Throws InputError where one unit stands behind several sizes and it matters whether it is of all of them:
/// "0.945 0.006 in" where numbers are in mm.
void refuseSharedUnit(const std::vector<SizeWord>& words, SizeUnit bare);

/// "mm", "in"
[[nodiscard]] std::string_view unitSign(SizeUnit unit);

} // namespace shimledger::services
