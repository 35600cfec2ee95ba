// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

enum class DecimalSign { unknown, point, comma };

/// A number as people write it: "1,500" is one and a half to one and fifteen hundred to another. Each reading
/// is in plain digits with a decimal point, none where the text cannot be read so.
struct WrittenNumber {
    std::optional<std::string> with_point; ///< where the point is the decimal sign
    std::optional<std::string> with_comma; ///< where the comma is

    [[nodiscard]] bool readable() const { return with_point || with_comma; }
    [[nodiscard]] bool sure() const { return !with_point || !with_comma || with_point == with_comma; }
    /// The sign that the text itself proves; unknown where it would read the same either way, or both ways.
    [[nodiscard]] DecimalSign proves() const {
        if (with_point && !with_comma) return DecimalSign::point;
        if (with_comma && !with_point) return DecimalSign::comma;
        return DecimalSign::unknown;
    }
    /// Of a readable number: as the sign says, or as the only way.
    [[nodiscard]] const std::string& as(DecimalSign sign) const {
        return (sign == DecimalSign::comma && with_comma) || !with_point ? *with_comma : *with_point;
    }
};

/// Digits with signs of decimals and thousands: "12", "0,15", "1.234,5", "1 500". Nothing else.
[[nodiscard]] WrittenNumber readWritten(std::string_view text);

/// A number and the unit behind it: `0.004"`, "24 mm", "8 pcs", "Ø 24". Units are "mm", "in", "um", "cm",
/// "piece", "money" or "".
struct WithUnit {
    std::string number;
    std::string unit;
};
[[nodiscard]] WithUnit splitUnit(std::string_view text);

/// The length that plain digits in a unit come to. Inches are 25.4 mm and rounded to the micrometre, which
/// `rounded` tells; throws InputError for millimetres finer than that.
struct ReadLength {
    Length length;
    bool rounded = false;
};
[[nodiscard]] ReadLength lengthOf(const std::string& digits, std::string_view unit);

/// The numbers of a size in one cell: "24 x 6 x 0.10", "24,0x0,1 mm", `0.945" x 0.004"`, with the word before
/// them, if any. No numbers: the text is no size.
struct WrittenSize {
    std::string word; ///< "shim"
    std::vector<WrittenNumber> numbers;
    std::vector<std::string> units; ///< of each number
};
[[nodiscard]] WrittenSize readSize(std::string_view text);

/// Without blanks at either end, also those that do not break.
[[nodiscard]] std::string trimmed(std::string_view text);

} // namespace shimledger::services
