// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace shimledger {

/// A length, held as a whole number of micrometres; nothing is ever rounded silently.
/// Range: +-1 000 000 mm. Text is in millimetres with a decimal point, whatever the locale.
class Length {
public:
    constexpr Length() = default;

    [[nodiscard]] static constexpr Length fromMicrometres(std::int64_t micrometres) {
        return Length(micrometres);
    }

    /// Reads millimetres: "24", "24.0", "0.150", optional sign and surrounding blanks.
    /// Throws InputError on anything else, and on a digit finer than 1 um that is not zero.
    [[nodiscard]] static Length parseMillimetres(std::string_view text);

    /// Takes millimetres as a number that lies on the micrometre grid (JSON numbers do);
    /// throws InputError where it does not.
    [[nodiscard]] static Length fromMillimetres(double millimetres);

    [[nodiscard]] constexpr std::int64_t micrometres() const { return m_micrometres; }
    [[nodiscard]] constexpr double millimetres() const { return static_cast<double>(m_micrometres) / 1000.0; }

    /// Millimetres with at least `decimals` places and as many more (up to 3) as the value needs:
    /// 24 mm -> "24.0" with 1, 0.1 mm -> "0.10" with 2, 0.148 mm -> "0.148" with 2.
    [[nodiscard]] std::string text(int decimals = 1) const;

    constexpr auto operator<=>(const Length&) const = default;
    constexpr Length& operator+=(Length other) {
        m_micrometres += other.m_micrometres;
        return *this;
    }
    friend constexpr Length operator+(Length a, Length b) { return a += b; }
    friend constexpr Length operator-(Length a, Length b) {
        return Length(a.m_micrometres - b.m_micrometres);
    }
    friend constexpr Length operator*(std::int64_t factor, Length a) {
        return Length(factor * a.m_micrometres);
    }

private:
    explicit constexpr Length(std::int64_t micrometres) : m_micrometres(micrometres) {}
    std::int64_t m_micrometres = 0;
};

namespace length_literals {
/// 24_mm, 0.15_mm in tests and tables; off-grid values throw InputError.
[[nodiscard]] inline Length operator""_mm(long double v) {
    return Length::fromMillimetres(static_cast<double>(v));
}
[[nodiscard]] constexpr Length operator""_mm(unsigned long long v) {
    return Length::fromMicrometres(static_cast<std::int64_t>(v) * 1000);
}
} // namespace length_literals

} // namespace shimledger
