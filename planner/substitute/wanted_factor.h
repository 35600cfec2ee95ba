// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

namespace shimledger::planner {

struct WantedPoint {
    double lift_mm = 0, factor = 1;
    bool operator==(const WantedPoint&) const = default;
};

/// What a tuner wishes of a curve: that of the target times a factor over lift, linear between the points and
/// constant outside them. A substitute is the wish for 1 everywhere.
///
/// Example: WantedFactor::read("0.12:0.90,0.20:1") is "10 % softer up to 0.12 mm, the same from 0.20 mm".
class WantedFactor {
public:
    WantedFactor() = default; ///< 1 everywhere

    /// Throws InputError, one sentence, where the text is no such list: lifts in mm from 0 that ascend by 1
    /// um or more, factors from 0.1 to 10, a colon between the two and commas between points.
    [[nodiscard]] static WantedFactor read(const std::string& text);
    [[nodiscard]] static WantedFactor of(const std::vector<WantedPoint>& points); ///< throws as read()

    [[nodiscard]] double at(double lift_mm) const;
    [[nodiscard]] bool changesNothing() const; ///< 1 everywhere
    [[nodiscard]] const std::vector<WantedPoint>& points() const { return m_points; }
    /// The same over [0, lift_mm], without points beyond.
    [[nodiscard]] WantedFactor upTo(double lift_mm) const;
    /// Mean of the factor's logarithm over [0, lift_mm]: how much stiffer, all in all.
    [[nodiscard]] double meanLogUpTo(double lift_mm) const;

    [[nodiscard]] std::string text() const; ///< as it is read
    /// "10 % softer up to 0.12 mm, the same from 0.20 mm"
    [[nodiscard]] std::string words() const;

    bool operator==(const WantedFactor&) const = default;

private:
    std::vector<WantedPoint> m_points{{0, 1}}; ///< never none
};

/// "0.12 mm": hundredths, more where they are needed.
[[nodiscard]] std::string liftText(double lift_mm);

} // namespace shimledger::planner
