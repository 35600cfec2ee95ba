// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/warp_follower.h"

#include "planner/mechanics/pressure_text.h"

#include <algorithm>
#include <limits>

namespace shimledger::planner {

namespace {

constexpr double branch_start = 0.8;    // of the onset pressure: below it the rim is round
constexpr double largest_step = 0.08;   // of the onset pressure
constexpr double smallest_step = 0.002; // of the onset pressure: the branch is lost
constexpr double most_onset_loads = 20; // far past all that was checked
constexpr double endless = std::numeric_limits<double>::infinity();

} // namespace

WarpFollower::WarpFollower(const StackSpec& stack)
    : m_stack(stack), m_grouped(groupStack(stack)), m_model(stack.valve(), m_grouped.shapes),
      m_workspace(m_model.makeWorkspace()) {}

void WarpFollower::roundOverLifts(std::span<const double> lifts_mm) {
    m_solve = m_model.statesAtLifts(m_grouped.sums, lifts_mm, Regime::large, m_workspace, m_states);
    lookForOnset();
}

void WarpFollower::roundOverPressures(std::span<const double> pressures_mpa) {
    m_solve = m_model.statesAtPressures(m_grouped.sums, pressures_mpa, Regime::large, m_workspace, m_states);
    lookForOnset();
}

void WarpFollower::lookForOnset() {
    m_found = findWarpOnset(m_stack, m_grouped, m_model, m_workspace, m_states);
}

double WarpFollower::roundUpToMpa() const {
    return onset() ? branch_start * onset()->pressure_mpa : endless;
}

double WarpFollower::knownUpToMpa() const {
    return onset() ? most_onset_loads * onset()->pressure_mpa : endless;
}

SolveReport WarpFollower::roundLifts(std::span<const double> pressures_mpa, std::span<double> lifts_mm) {
    return m_model.liftsAtPressures(m_grouped.sums, pressures_mpa, Regime::large, m_workspace, lifts_mm);
}

bool WarpFollower::start() {
    if (!m_branch) m_branch.emplace(m_stack, m_grouped, onset()->lobes, roundUpToMpa());
    if (!m_branch->started()) m_reason = "the warped branch could not be started";
    return m_branch->started();
}

bool WarpFollower::follow(double pressure_mpa) {
    if (pressure_mpa > knownUpToMpa()) {
        m_reason = "nothing is known past " + pressureText(knownUpToMpa()) +
                   " MPa, 20 times the load at which warping begins";
        return false;
    }
    if (!start()) return false;
    const double onset_pressure = onset()->pressure_mpa;
    double step = largest_step * onset_pressure;
    while (m_branch->pressure() < pressure_mpa) { // in steps that shrink where Newton fails
        if (m_branch->toPressure(std::min(pressure_mpa, m_branch->pressure() + step))) {
            step = std::min(2 * step, largest_step * onset_pressure);
        } else {
            step /= 2;
            if (step < smallest_step * onset_pressure) {
                m_reason = "the warped branch was lost before " + pressureText(pressure_mpa) + " MPa";
                return false;
            }
        }
    }
    return true;
}

bool WarpFollower::followOneStep() {
    return start() && follow(m_branch->pressure() + largest_step * onset()->pressure_mpa);
}

} // namespace shimledger::planner
