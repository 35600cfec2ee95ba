// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"
#include "planner/units/length.h"

#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// A size that discs can be bought or taken in.
struct DiscSize {
    Length od, id, thickness;

    auto operator<=>(const DiscSize&) const = default;
};

/// What counts as the same stack.
struct WayRules {
    double within = 0.05; ///< most deviation from the wanted curve
    /// How far the ODs of tapers may move, one or several neighbours together in one direction; a crossover's
    /// by 1 mm at most; the face, rings and what is under the clamp stay. 0: every OD is kept.
    Length od_step = Length::fromMicrometres(2000);
    Length height_tolerance = Length::fromMicrometres(300);
    int most_discs = 60;
    double working_lift_mm = 0.30;
    Regime regime = Regime::large;
};

/// A stack that does as well.
struct StackWay {
    std::vector<std::pair<int, int>> discs; ///< size and how many one leg takes; by size
    std::vector<DiscRow> rows;              ///< piston face first
    double deviation = 0;
};

/// The stacks, of discs in these sizes, that deviate by no more than is allowed from one wanted stack's
/// curve; made as they are asked for, by what the discs cost.
///
/// Each order of ODs has a model about a stack near the target: the logarithm of the pressure at a few lifts
/// is linear in those of the groups' sums, and a beam search over the groups finds the cheapest that are near
/// enough by it; where they are not, the model is made anew about what it found. Every stack that is handed
/// out was computed and compared over the whole range (CurveJudge). Not every one is found: groups hold at
/// most three thicknesses, and the search follows so many partial stacks.
class StackWays {
public:
    /// `sizes` must outlive it.
    StackWays(const StackSpec& target, const std::vector<DiscSize>& sizes, const WayRules& rules);
    ~StackWays();
    StackWays(StackWays&&) noexcept;
    StackWays& operator=(StackWays&&) noexcept;

    /// At most `count`, the cheapest first. Prices of a disc by size; below 0: not to be had.
    [[nodiscard]] std::vector<StackWay> cheapest(std::span<const double> prices, int count);

    /// Why there can be none, a sentence; empty where that is not known.
    [[nodiscard]] const std::string& why() const;
    /// The target itself by size; empty where some size is not among the sizes.
    [[nodiscard]] const std::vector<std::pair<int, int>>& ownDiscs() const;

private:
    struct Parts;
    std::unique_ptr<Parts> m_parts;
};

} // namespace shimledger::planner
