// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lobed_element.h"

#include <array>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// What the membrane of one group adds to its second variation about a round state w0(r), for disturbances
/// W(r) cos(n theta). It comes from its dual, stress functions f(r) cos(n theta) with f = f' = 0 at free
/// edges (S. Timoshenko, J. Goodier, Theory of Elasticity, 3rd ed., art. 43), which need no in-plane
/// unknowns:
///     sum_k (b_k' W)^2 E S1,   b_k' W = integral of (N_r W' - n N_rt W / r) w0' r dr,
/// with the functions made orthonormal in their energy.
class LobedMembrane {
public:
    static constexpr int modes = 8; ///< stress functions; the tests hold them against in-plane displacements

    LobedMembrane(const std::vector<LobedElement>& elements, const GroupShape& shape, int freedoms);

    /// Takes the slopes w0' of the round state: those of the points of an element, element after element.
    void setSlopes(const std::vector<std::array<double, lobed_points>>& slopes);
    /// The b_k, one row of all freedoms after the other.
    [[nodiscard]] const double* rows(const std::vector<LobedElement>& elements, int lobes);

private:
    struct Functions {
        std::array<double, modes> slope{}, by_r{}, shear{}; ///< f', f / r, f' / r - f / r^2
    };

    void makeCoupling(const std::vector<LobedElement>& elements);

    int m_freedoms = 0;
    std::vector<std::array<Functions, lobed_points>> m_functions; ///< by element and point
    std::vector<std::array<double, lobed_points>> m_slopes;
    /// By number of lobes: L^-1 of the functions' energy L L', row by row.
    std::array<std::array<double, static_cast<std::size_t>(modes) * modes>, most_lobes + 1> m_to_modes{};
    std::vector<double> m_coupling, m_coupling_lobed; ///< of the plain functions: first + n^2 second
    bool m_coupling_current = false;                  ///< made when it is first asked for
    std::vector<double> m_rows;
};

} // namespace shimledger::planner
