// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// A measured number that is no length (a pressure, a viscosity), held as a whole number of thousandths of
/// its unit; nothing is ever rounded silently. At most a million either way.
class Decimal {
public:
    constexpr Decimal() = default;
    [[nodiscard]] static constexpr Decimal fromThousandths(std::int64_t thousandths) {
        return Decimal(thousandths);
    }

    /// Reads "850", "0.62", "-5"; throws InputError on anything else, and on a fourth decimal that is not
    /// zero.
    [[nodiscard]] static Decimal parse(std::string_view text);

    [[nodiscard]] constexpr std::int64_t thousandths() const { return m_thousandths; }
    [[nodiscard]] constexpr double number() const { return static_cast<double>(m_thousandths) / 1000.0; }
    [[nodiscard]] std::string text() const; ///< with as many decimals as it needs: "850", "0.62"

    constexpr auto operator<=>(const Decimal&) const = default;

private:
    explicit constexpr Decimal(std::int64_t thousandths) : m_thousandths(thousandths) {}
    std::int64_t m_thousandths = 0;
};

} // namespace shimledger::inventory
