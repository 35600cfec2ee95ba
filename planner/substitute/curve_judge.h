#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/substitute/substitute_request.h"

#include <optional>
#include <span>
#include <vector>

namespace shimledger::planner {

/// Measures stacks of one order of diameters against the target's curve.
class CurveJudge {
public:
    /// `target_pressures_mpa` at the comparison lifts of the rules.
    CurveJudge(const StackSpec& target, std::vector<GroupShape> shapes, const SubstituteRules& rules,
               std::vector<double> lifts_mm, std::vector<double> target_pressures_mpa);

    /// Pressures at the comparison lifts; none where the stack cannot be solved.
    [[nodiscard]] std::optional<std::vector<double>> pressures(std::span<const GroupSums> sums);
    /// Largest weighted |p / p_target - 1|.
    [[nodiscard]] double deviation(std::span<const double> pressures_mpa) const;

    /// No stack whose groups' sums lie between `softest` and `stiffest` deviates less than this.
    /// Rests on pressure at a lift growing with every group's bending and membrane sum and falling with
    /// every gap, which tests/planner/substitute_bound_test.cpp checks on random stacks; `margin` is taken
    /// off.
    /// Stops as soon as the bound is at least `enough`.
    [[nodiscard]] double lowerBound(std::span<const GroupSums> softest, std::span<const GroupSums> stiffest,
                                    double enough);
    static constexpr double margin = 2e-4;

private:
    LiftModel m_model;
    LiftWorkspace m_workspace;
    Regime m_regime;
    std::vector<double> m_lifts, m_target, m_weights;
    std::vector<std::size_t> m_few; ///< lifts at which bounds are taken, in this order
};

} // namespace shimledger::planner
