// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/lobed_stack.h"
#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_spec.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// One stack along its round solution and, past the onset, along its warped branch, which is started a little
/// before the onset. Every warped curve is made of it.
class WarpFollower {
public:
    explicit WarpFollower(const StackSpec& stack);

    /// Solves for the round states and looks for the onset along them; call one of the two, once, first.
    void roundOverLifts(std::span<const double> lifts_mm);
    void roundOverPressures(std::span<const double> pressures_mpa);

    [[nodiscard]] const std::vector<StackState>& states() const { return m_states; } ///< as far as they go
    [[nodiscard]] const SolveReport& solve() const { return m_solve; }
    [[nodiscard]] const std::optional<WarpOnset>& onset() const { return m_found.onset; }
    [[nodiscard]] const std::string& caution() const { return m_found.caution; }

    /// Up to here the rim is round; endless without an onset.
    [[nodiscard]] double roundUpToMpa() const;
    /// Past this nothing at all is known; endless without an onset.
    [[nodiscard]] double knownUpToMpa() const;

    /// Lifts of the round solution at ascending pressures.
    [[nodiscard]] SolveReport roundLifts(std::span<const double> pressures_mpa, std::span<double> lifts_mm);
    /// Along the branch, to a pressure above the last one; false where it is lost. Only with an onset.
    [[nodiscard]] bool follow(double pressure_mpa);
    /// The same by as much as the branch is followed in one step.
    [[nodiscard]] bool followOneStep();
    /// Where the branch is. Only after it was followed.
    [[nodiscard]] double pressure() const { return m_branch->pressure(); }
    [[nodiscard]] LobedStack::Rim rim() const { return m_branch->rim(); }
    [[nodiscard]] double meanDeflection(double radius_mm) const {
        return m_branch->meanDeflection(radius_mm);
    }
    /// Why follow() said no: a part of a sentence.
    [[nodiscard]] const std::string& reason() const { return m_reason; }

private:
    bool start();
    void lookForOnset();

    const StackSpec& m_stack;
    GroupedStack m_grouped;
    LiftModel m_model;
    LiftWorkspace m_workspace;
    std::vector<StackState> m_states;
    SolveReport m_solve;
    WarpOnsetResult m_found;
    std::optional<LobedStack> m_branch;
    std::string m_reason;
};

} // namespace shimledger::planner
