// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <string_view>

namespace shimledger::services {

/// What a cell of a sheet is given. Only a formula of ours is ever a formula: text stays text, whatever it
/// begins with, so that a part called "=1+1" is no threat to whoever opens the file.
struct Cell {
    enum class Kind { blank, text, number, formula };
    Kind kind = Kind::blank;
    std::string text;  ///< of a text, or the formula with its "="
    double number = 0; ///< of a number, or what the formula comes to
};

[[nodiscard]] Cell blankCell();
[[nodiscard]] Cell textCell(std::string_view text); ///< "" gives a blank
[[nodiscard]] Cell numberCell(std::int64_t number);
[[nodiscard]] Cell moneyCell(std::int64_t hundredths);
/// `value` is what viewers show that do not compute.
[[nodiscard]] Cell formulaCell(std::string_view formula, double value);

/// A name that a sheet may have and that no sheet in `taken` has: at most 31 letters, none of []:*?/\, no
/// apostrophe at either end. Adds it to `taken`.
[[nodiscard]] std::string sheetName(std::string_view wish, std::set<std::string>& taken);

/// A sheet's name as it stands in a formula: 'Name'!, apostrophes doubled.
[[nodiscard]] std::string sheetReference(std::string_view name);

/// Text for a header or footer, where "&" begins a control code: doubled, and cut to `most_bytes` at a
/// letter's end.
[[nodiscard]] std::string headerText(std::string_view text, std::size_t most_bytes = 100);

} // namespace shimledger::services
