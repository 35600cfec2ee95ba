// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/loading_curve.h"
#include "planner/substitute/target_curve.h"

#include <map>
#include <span>
#include <vector>

namespace shimledger::planner {

/// Measures stacks of one order of diameters against the target's curve.
class CurveJudge {
public:
    /// `target` must outlive the judge.
    CurveJudge(const ValveGeometry& valve, std::vector<GroupShape> shapes, Regime regime,
               const TargetCurve& target);

    struct Verdict {
        enum class Kind { measured, worse, unsolved } kind = Kind::unsolved;
        double at_lift_mm = 0; ///< where it deviates most
        double deviation =
            0; ///< weighted, the largest over the range, between the lifts too; of `measured` only
        std::vector<double> pressures_mpa; ///< at the lifts; of `measured` only
    };
    /// Weighs a stack; `worse` as soon as one lift alone deviates by `limit` or more.
    /// Peaks between the lifts are looked for only where what is found before is below `closer_below`.
    [[nodiscard]] Verdict weigh(const ComparedStack& stack, double limit, double closer_below = 1e300);

    /// Pressures at some of the lifts (ascending), as they are compared; false where there is no equilibrium.
    [[nodiscard]] bool pressures(const ComparedStack& stack, std::span<const double> lifts_mm,
                                 std::span<double> pressures_mpa);
    /// Without friction, whatever is compared.
    [[nodiscard]] bool smoothPressures(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                       std::span<double> pressures_mpa);
    /// The same, and d log p / d log sum at each lift, see LiftModel::elasticitiesAtLifts.
    [[nodiscard]] bool elasticities(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                    std::span<double> pressures_mpa, std::span<double> elasticities);
    [[nodiscard]] double deviationAt(std::size_t lift, double pressure_mpa) const;
    /// What friction adds to the pressure at each lift, as a part of it and as a sum over the groups' levers,
    /// see FrictionTerms; false where that is not known.
    [[nodiscard]] bool frictionParts(const ComparedStack& stack, std::span<const double> lifts_mm,
                                     std::vector<FrictionTerms>& parts);
    [[nodiscard]] const TargetCurve& target() const { return *m_target; }

private:
    [[nodiscard]] const AddedFriction* frictionOf(const ComparedStack& stack);
    [[nodiscard]] bool pressureAt(const ComparedStack& stack, std::size_t lift, double& pressure_mpa);
    struct Point {
        double target = 0, stack = 0; ///< pressures; the target's own, whatever is wanted of it
        double factor = 1;            ///< that is wanted
    };
    using Points = std::map<double, Point>; ///< by lift
    [[nodiscard]] std::vector<double> possiblePeaks(const Points& points, double most) const;

    LiftModel m_model;
    LiftWorkspace m_workspace;
    Regime m_regime;
    const TargetCurve* m_target;
    // What friction adds to the stack that was looked at last.
    std::vector<GroupSums> m_known_sums;
    std::vector<DiscLevers> m_known_levers;
    std::optional<AddedFriction> m_known;
};

} // namespace shimledger::planner
