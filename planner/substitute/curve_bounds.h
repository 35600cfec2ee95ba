// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/curve_judge.h"

#include <memory>
#include <span>
#include <vector>

namespace shimledger::planner {

/// Between what each lever of a group lies.
struct LeverRange {
    DiscLevers least, greatest;
    /// Widens it by another.
    void take(const LeverRange& other);
};

/// Stacks whose groups' sums lie between two extremes, each sum by itself: the means of the legs, and what
/// any single leg may get, where lots of one size were read apart.
struct SumsBox {
    std::vector<GroupSums> least, greatest;         ///< by group
    std::vector<GroupSums> leg_least, leg_greatest; ///< by group
    std::vector<LeverRange> levers{};               ///< by group; empty where friction is left out
};

/// How many times wider than found the constants of the bounds are taken: an audit of a proof may ask for it.
struct BoundWidth {
    double curvature = 1, fall = 1, friction = 1;
};

/// What part of what the bounds allow for one stack uses up: 1 where the bound just holds. 0 where there is
/// no curve or the bound says nothing.
struct BoundStrain {
    double curvature = 0, fall = 0, friction = 0;
};

/// Lower bounds of the deviation of all stacks of a box, without looking at them one by one.
///
/// Pressure at a lift is a function of every group's bending and membrane sum. Where plates only bend and
/// touch (the smallest lift of any stack without a seat or a ring), springs in a row and side by side are its
/// extremes: between stack 0 and stack S, with elasticities e_i = d log p / d log S_i at 0, and
/// x_i = log(S_i / S_i0), log p changes by sum e_i x_i, to within the order of V = sum |e_i| x_i^2 (harmonic
/// and arithmetic mean differ by V). The same holds at larger lifts of stacks without gaps, where each sum's
/// own part of V is a little larger. Where a gap closes or a seat lets go, the slope of the curve jumps;
/// there only order is used: pressure rises with every membrane sum, falls with every gap, and rises with
/// bending sums up to an elasticity that may be negative for discs in front of a gap (a stiffer face leans
/// less on the second stage).
///
/// A stack whose legs get different lots deviates as its worse leg does. The pressures of the legs have a
/// geometric mean, and one leg is at least as far off as that: so the model is asked about the means of the
/// legs, and V and what the mean of logarithms is less than the logarithm of the mean (W. Hoeffding's lemma:
/// an eighth of the squared range) go by what any leg may get.
///
/// Where curves are compared while the pressure rises, friction adds a part f to each pressure. At one
/// equilibrium f is a sum over the levers of the groups' discs (FrictionTerms); at another the forces are
/// shared out otherwise, which changes f by a part of itself that grows with sum |e_i x_i|, and where gaps
/// close by a part of its own.
///
/// None of these constants is a theorem. Each is about twice the worst that was found on thousands of random
/// stacks; every proof draws stacks that it excluded and holds the constants against them (strain), and
/// tests/planner/substitute_bound_test.cpp compares them afresh with each run.
class CurveBounds {
public:
    /// `judge` and what it refers to must outlive the bounds.
    CurveBounds(CurveJudge& judge, const ValveGeometry& valve, std::vector<GroupShape> shapes, Regime regime,
                const BoundWidth* width = nullptr);

    /// What one stack tells of those near it.
    struct LocalModel {
        std::vector<GroupSums> centre;
        std::vector<double> log_pressure;            ///< at the few lifts
        std::vector<std::vector<double>> elasticity; ///< by sum (bending, membrane of each group), few lift
        std::vector<FrictionTerms> friction;         ///< by few lift, of f; empty where friction is left out
    };
    /// Exact at the middle of the box. None where there is no equilibrium.
    [[nodiscard]] std::shared_ptr<const LocalModel> modelAt(const SumsBox& box);
    /// The same about any stack; `levers` by group, where friction is compared.
    [[nodiscard]] std::shared_ptr<const LocalModel> modelAt(std::vector<GroupSums> centre,
                                                            std::span<const DiscLevers> levers = {});

    /// Of the target's lifts, those that models and bounds are taken at.
    [[nodiscard]] const std::vector<std::size_t>& fewLifts() const { return m_few; }

    struct Estimate {
        double bound = 0;         ///< no stack of the box deviates less
        double likely_bound = 0;  ///< the same if the model were exact: proves nothing
        double guess = 0;         ///< what a stack in the middle may deviate; a hint only
        double centred_bound = 0; ///< what a model from the box's own middle could bound
        double error = 0;         ///< what the model's distance costs the bound, as a part of the pressure
        double centred_error = 0; ///< the same for a model from the box's own middle
    };
    [[nodiscard]] Estimate estimate(const LocalModel& model, const SumsBox& box) const;

    /// The bound by order, two to four evaluations: for stacks with gaps or a seat, at larger lifts. 0 where
    /// it has nothing to say. Stops as soon as the bound is at least `enough`.
    /// `model`, where there is one, tells at which lifts it is worth a try; and what friction adds, so
    /// without one nothing is said where that is compared.
    [[nodiscard]] double boundByOrder(const SumsBox& box, double enough, const LocalModel* model = nullptr);

    [[nodiscard]] BoundStrain strain(const LocalModel& model, const ComparedStack& stack);
    /// The same of the bound by order on a box that holds the stack.
    [[nodiscard]] BoundStrain strainByOrder(const SumsBox& box, const ComparedStack& stack,
                                            const LocalModel* model = nullptr);

    /// How much a group's extremes loosen the bounds: where to cut first.
    [[nodiscard]] double breadth(std::size_t group, const GroupSums& least, const GroupSums& greatest) const;
    /// The same of its levers.
    [[nodiscard]] static double breadth(const LeverRange& levers);

    /// Least elasticity of a group's bending sum, with its sign turned: 0 where more never means softer.
    [[nodiscard]] double fall(std::size_t group) const;

private:
    /// Most of log p - sum e x, as a multiple of V.
    struct Curvature {
        double above = 0, below = 0;
    };
    enum class Trust { bending, stretching, kinks }; ///< how a lift behaves, see above
    /// log p by the model alone, and V of its distance.
    struct Range {
        double low = 0, high = 0, middle = 0, v = 0, centred_v = 0;
        double friction_low = 0, friction_high = 0; ///< f by the model alone
        double far = 0, centred_far = 0;            ///< how far off it is, for f
        [[nodiscard]] double frictionMiddle() const { return (friction_low + friction_high) / 2; }
    };
    /// The range of log(1 + f) that is sure, where each f may be off by this part of itself.
    struct Added {
        double low = 0, high = 0;
    };
    [[nodiscard]] Added addedWithin(const Range& range, double part) const;
    [[nodiscard]] Added addedAtKink(const Range& range) const;
    [[nodiscard]] double drift() const;

    [[nodiscard]] Range rangeAt(const LocalModel& model, const SumsBox& box, std::size_t few) const;
    [[nodiscard]] Curvature curvatureAt(std::size_t few) const;
    [[nodiscard]] double slack(const SumsBox& box) const;

    CurveJudge* m_judge;
    const BoundWidth* m_width;       ///< none: as found
    std::vector<bool> m_under_clamp; ///< by group: its stiffness has no part in the curve
    std::vector<bool> m_before_gap;  ///< by group: nearer the face than some gap
    std::vector<bool> m_in_gap;      ///< by group: its thickness holds a gap open
    bool m_has_gap = false, m_has_seat = false, m_has_ring = false;
    bool m_friction = false;        ///< it is compared
    std::vector<std::size_t> m_few; ///< indices of the lifts that bounds are taken at
    std::vector<double> m_few_mm;
    std::vector<std::size_t> m_by_order; ///< few lifts for bounds by order, the most telling first
    std::vector<Trust> m_trust;          ///< by few lift
};

} // namespace shimledger::planner
