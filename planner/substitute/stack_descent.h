// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/box_search.h"

#include <functional>
#include <optional>
#include <random>
#include <span>
#include <vector>

namespace shimledger::planner {

/// Finds good stacks soon, and proves nothing. About a stack the logarithm of the pressure at every lift is
/// taken to be a sum over the groups (CurveBounds::LocalModel); on that sum, single groups and then pairs of
/// them are given other states as long as the deviation falls, discs exchanged between two groups included;
/// what comes out is computed, and the next model made there. Then the best so far is shaken and it begins
/// again.
class StackDescent {
public:
    /// Computes the deviation of a stack (by group, its state) and keeps it if it is good; none where the
    /// rules or the drawers do not allow it, or it is worse than what is known.
    using Evaluate = std::function<std::optional<double>(const std::vector<int>&)>;

    StackDescent(const SubstituteRequest& request, const SearchFrame& frame, CurveJudge& judge,
                 CurveBounds& bounds, Length target_height);

    /// Descends from `start` (by group; empty: the states nearest to the target), and from as many more
    /// starts as there are `shakes`, while `go_on` says so. Groups in `active` vary; those in `unchanged`
    /// keep the target's discs. `closely`: also computes many neighbours of the best.
    void run(const std::vector<int>& active, const std::vector<int>& unchanged, const std::vector<int>& start,
             int shakes, bool closely, const Evaluate& evaluate, const std::function<bool()>& go_on);

private:
    /// What the states of one group would do to the pressure.
    struct Moves {
        int group = 0;
        std::vector<int> states;
        std::vector<double> log_bending, log_membrane; ///< by state
        std::vector<double> effect; ///< by state, then lift: of log p, against the model's centre
        std::vector<int>
            calm; ///< indices of the states that do least, for pairs, by what they do at the last lift
        std::size_t now = 0; ///< index of the state in hand
    };

    /// A stack near that in hand: two groups (or one, a == b) at other states, by their indices.
    struct Neighbour {
        double worth = 0;
        std::size_t a = 0, s = 0, b = 0, t = 0;
    };

    void begin(const std::vector<int>& active, const std::vector<int>& unchanged);
    void shake(std::mt19937& random);
    [[nodiscard]] bool linearize();
    [[nodiscard]] bool improve();
    [[nodiscard]] bool improveOne(std::size_t m);
    [[nodiscard]] bool improvePair(std::size_t a, std::size_t b);
    [[nodiscard]] double lastEffect(const Moves& moves, std::size_t index) const;
    [[nodiscard]] std::span<const int> within(const Moves& moves, double without, double limit) const;
    [[nodiscard]] std::vector<Neighbour> bestNeighbours() const;
    void polish(double& least, const Evaluate& evaluate, const std::function<bool()>& go_on);
    [[nodiscard]] double worthOf(const double* residual, std::int64_t height, int discs, int changed) const;
    [[nodiscard]] const GroupState& state(const Moves& moves, std::size_t index) const;
    void set(std::size_t m, std::size_t index);
    [[nodiscard]] std::vector<int> stack() const;

    const SubstituteRequest& m_request;
    const SearchFrame& m_frame;
    CurveJudge& m_judge;
    CurveBounds& m_bounds;
    Length m_target_height;
    std::vector<int> m_base; ///< by group
    std::vector<Moves> m_moves;
    std::size_t m_lifts = 0;
    std::vector<double> m_weights,
        m_residual;            ///< by lift of the model; log p - log p_target of the stack in hand
    std::int64_t m_height = 0; ///< of the stack in hand, micrometres beyond the target's
    int m_discs = 0, m_changed = 0;
    double m_worth = 0; ///< of the stack in hand, by the model; less is better
};

} // namespace shimledger::planner
