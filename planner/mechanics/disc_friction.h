// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/disc_levers.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <span>
#include <vector>

namespace shimledger::planner {

/// Coefficients of friction of lubricated steel on steel: handbooks have about 0.08 to 0.16 (from memory),
/// 0.12 is a middle. Nobody measured it in a damper.
inline constexpr double least_friction_coefficient = 0.08;
inline constexpr double usual_friction_coefficient = 0.12;
inline constexpr double greatest_friction_coefficient = 0.16;

/// Half of the loop between a rising and a falling load.
struct FrictionHalfWidth {
    double lift_mm = 0;      ///< at the same pressure
    double pressure_mpa = 0; ///< at the same volume swept by the load
};

/// What a half width of lift adds to the pressure at equal lift, as a part of it.
[[nodiscard]] inline double partOfPressure(double half_width_mm, double lift_slope_mm_per_mpa,
                                           double pressure_mpa) {
    return half_width_mm / lift_slope_mm_per_mpa / pressure_mpa;
}

/// Half the loop of lift at one state, for a coefficient of 1, as a sum over the groups' levers: exact for
/// the levers that it was made with, and for others as long as the forces stay.
struct FrictionTerms {
    double constant_mm = 0;
    std::vector<DiscLevers> of_group; ///< mm of lift per mm of each lever

    [[nodiscard]] double halfWidthMm(std::span<const DiscLevers> levers) const;
};

/// Dry (Coulomb) friction between the discs of a round stack, to first order, from its frictionless states.
///
/// Discs i and j that touch slide on each other by s = (t_i w_i' + t_j w_j') / 2 + u_j - u_i (t thickness, w
/// deflection, u outward displacement of the middle plane). While the pressure rises, friction holds against
/// that with mu F at every contact of force F, which adds the forces -mu F sgn(ds/dp) ds/dw to the
/// equilibrium. To first order in mu these change the edge's lift by what they do on the deflections a that a
/// force of 1 N on the edge causes (Maxwell and Betti): half width = sum of mu F sgn(ds/dp) s(a). While the
/// pressure falls they point the other way. The same friction's work over the volume V that the load sweeps
/// gives the pressure: sum of mu F |ds/dp| / (dV/dp) at equal V, which for n equal discs of thickness t at
/// small lift is p mu t (n-1)/2 times the integral of w' r dr over that of w r dr, both over the port. (The
/// edge's lift at equal V changes too, so that in lift the loop of equal discs is 10 to 25 % wider.)
///
/// Between touching discs of one OD, which the model merges, goes what the discs beyond carry: their share of
/// sum E t^3 in the bending forces and of sum E t in the membrane's.
///
/// Limits: first order, so mu well below 1 (finite elements: doubling mu from 0.12 to 0.2 is linear to 2 %).
/// After a turn of the load discs stick at first; the loop is as wide as told once the pressure has changed
/// by about twice the half width. How friction itself stretches the discs in their plane is left out, as are
/// friction on the seat and shapes that are not round. Against finite elements (pair, six alike, taper of
/// six) the half-loop is within 5 % where it exceeds 0.5 % of lift, and 17 % high on the pair, where it is
/// 0.3 %.
class DiscFriction {
public:
    /// `model` must be of the stack's groups and outlive this.
    DiscFriction(const StackSpec& stack, const GroupedStack& grouped, const LiftModel& model);
    /// The same of groups whose discs have these levers and add up to these sums.
    DiscFriction(std::vector<DiscLevers> levers, std::span<const GroupSums> sums, const LiftModel& model);

    /// Half widths at a state that the model gave for these groups; `coefficient` is mu.
    [[nodiscard]] FrictionHalfWidth halfWidth(const StackState& state, Regime regime,
                                              double coefficient) const;

    [[nodiscard]] FrictionTerms liftTerms(const StackState& state, Regime regime) const;

private:
    struct Stiffness {
        double rigidity_n_mm = 0, membrane_n_per_mm = 0;
    };
    struct Sliding;
    /// Half the loop by what moves: the edge's lift, and the volume's work.
    struct Loop {
        FrictionTerms lift, work;
        double swept_mm3_per_mpa = 0;
    };
    void addGroup(int group, const StackState& state, Regime regime, Sliding& sliding) const;
    [[nodiscard]] Loop loopAt(const StackState& state, Regime regime) const;

    const LiftModel* m_model;
    std::vector<DiscLevers> m_levers;
    std::vector<Stiffness> m_stiffness;
};

} // namespace shimledger::planner
