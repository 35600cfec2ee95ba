// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/plate_tables.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::planner {

/// Checks proposals against their request without any code of the search: pulls against stock, bins and
/// reserves, pulls against rows, every rule, and the whole curve of every leg, solved from nothing on the
/// search's own grid. The target's curves and the plates' tables are made once for all proposals.
class ProposalRecheck {
public:
    /// The request must have a target, and outlive this.
    explicit ProposalRecheck(const SubstituteRequest& request,
                             const GridOptions& grid = GridOptions::searchGrid());
    ~ProposalRecheck();
    ProposalRecheck(const ProposalRecheck&) = delete;
    ProposalRecheck& operator=(const ProposalRecheck&) = delete;

    /// What is wrong, one sentence each; empty when all is well.
    [[nodiscard]] std::vector<std::string> faultsOf(const SubstituteProposal& proposal);
    /// The one fault that is the stack's and not the search's: at some lift within the range it has no curve,
    /// as its edge sinks there while the pressure rises.
    static constexpr std::string_view no_curve = "a fresh solution finds no curve";

    /// The deviation on the fine grid, at the lifts of the proposal; none where there is no curve. No fault
    /// where it is another one: the search's grid is then not good enough for this stack.
    [[nodiscard]] std::optional<double> fineDeviation(const SubstituteProposal& proposal);

private:
    using Curve = std::optional<std::vector<double>>; ///< none where there is no equilibrium
    class Grid;
    void checkCurve(const SubstituteProposal& proposal, const StackSpec& built,
                    std::vector<std::string>& faults);
    struct Worst {
        double deviation = 0, lift_mm = 0;
    };
    static std::optional<Worst> worstLeg(Grid& grid, const SubstituteProposal& proposal,
                                         const StackSpec& built, const std::vector<double>& lifts_mm);
    [[nodiscard]] StackSpec builtStack(const SubstituteProposal& proposal) const;

    const SubstituteRequest& m_request;
    std::unique_ptr<Grid> m_own, m_fine;
};

} // namespace shimledger::planner
