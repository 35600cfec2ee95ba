// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/curve_bounds.h"
#include "planner/substitute/proof_audit.h"
#include "planner/substitute/search_record.h"
#include "planner/substitute/state_tree.h"

#include <memory>
#include <optional>
#include <vector>

namespace shimledger::planner {

/// All that one group can be made of. Frames share it.
struct GroupChoices {
    std::vector<GroupState> states; ///< in the order of the tree
    StateTree tree;
    std::vector<DiscLevers> levers;       ///< by state; empty where friction is left out, as is ...
    std::vector<LeverRange> lever_ranges; ///< ... between what they lie, by node of the tree
    int base = -1;                        ///< state that is the target's own; -1 where it cannot be built
    /// Planning several jobs: ways to have the target's own discs if no other job took any; more than one
    /// where lots of a size were read apart.
    int own_states_alone = 1;
    int own_states = 0; ///< states of just the target's discs: several where lots of a size were read apart
};

/// One order of diameters with all that its groups can be made of.
struct SearchFrame {
    std::vector<TargetGroup> groups; ///< with this frame's ODs
    std::vector<GroupShape> shapes;
    std::vector<std::vector<DiscKind>> kinds;                 ///< by group
    std::vector<std::shared_ptr<const GroupChoices>> choices; ///< by group
    bool shares_outline = false;                              ///< two groups draw on the same discs
    int moved_groups = 0;                                     ///< groups whose OD is not the target's
    std::optional<bool> used;                                 ///< of which stock, see UsableStock
    std::vector<bool> free; ///< by group, planning several jobs: may change whatever others do
};

/// How the discs of a stack of the frame rub, by group; empty where friction is left out. `state` by group.
[[nodiscard]] std::vector<DiscLevers> leversOf(const SearchFrame& frame, const std::vector<int>& state);

/// Branch and bound over the states of some groups, the others held at their base. Boxes of
/// states are cut along the groups' trees; a box in which nothing is worth finding is excluded as a whole.
class BoxSearch {
public:
    BoxSearch(const SubstituteRequest& request, const std::vector<TargetGroup>& target,
              const SearchFrame& frame, std::size_t frame_index, CurveJudge& judge, SearchRecord& record,
              ProofAudit& audit, const BoundWidth& width);

    /// How sure to be of what is left out: `look` goes by what the local models say, as if they were exact,
    /// and finds good stacks soon; only `prove` keeps to bounds; `every` evaluates all that the rules allow.
    enum class Mode { look, prove, every };

    /// Searches for the best stack that changes just the groups `active`, with at most so many local models
    /// only to guess better. Those of them in `unchanged` keep the target's discs, whatever these were read
    /// to measure.
    void run(const std::vector<int>& active, SearchGoal goal, Mode mode, int models,
             const std::vector<int>& unchanged = {});

    /// Looks for good stacks, see StackDescent.
    void descend(const std::vector<int>& active, const std::vector<int>& unchanged,
                 const std::vector<int>& start, int shakes, bool closely);

    /// How many stacks such a run would have before it, rules on the whole stack left aside.
    [[nodiscard]] std::int64_t stacksOf(const std::vector<int>& active,
                                        const std::vector<int>& unchanged) const;

    /// How far the bound that excluded the box was strained by one of its stacks, drawn at random.
    [[nodiscard]] BoundStrain strainOf(const ExcludedBox& box, std::mt19937_64& random);

private:
    using Model = std::shared_ptr<const CurveBounds::LocalModel>;
    struct Box {
        std::vector<int> nodes; ///< of the trees, by active group
        std::int64_t stacks = 1;
        std::int64_t measure = 0; ///< no stack of the box has less of what the goal counts
        double bound = 0, guess = 0;
        Model model;
        bool own_model = false; ///< made for this very box
        bool ordered = false;   ///< the bound by order was tried ...
        bool by_order = false;  ///< ... and is the one that counts
    };

    [[nodiscard]] const StateTree::Node& node(const Box& box, std::size_t active) const;
    /// False where no stack of the box can keep the rules on height, number and changes. Sets the measure.
    [[nodiscard]] bool withinRules(Box& box, SearchGoal goal) const;
    [[nodiscard]] bool worth(const Box& box, SearchGoal goal) const;
    void setSums(const Box& box);
    void estimate(Box& box);
    [[nodiscard]] bool refine(Box& box, SearchGoal goal);
    void excludeByBound(const Box& box, SearchGoal goal);
    void evaluate(const Box& box, double limit);
    /// Computes a stack that keeps the rules, and has the record take it if it deviates less than
    /// `closer_below`; none where the drawers do not hold it or a lift alone deviates by `limit` or more.
    [[nodiscard]] std::optional<double> tryStack(std::vector<int> state, double limit,
                                                 double closer_below = 1e300);
    void split(Box box, SearchGoal goal, std::vector<Box>& open);
    [[nodiscard]] static bool comesLater(const Box& a, const Box& b);
    static void push(Box box, std::vector<Box>& open);
    [[nodiscard]] static Box pop(std::vector<Box>& open);
    [[nodiscard]] int ownNode(std::size_t group) const;
    [[nodiscard]] bool stockAllows(const std::vector<int>& state) const;

    const SubstituteRequest& m_request;
    const SearchFrame& m_frame;
    std::size_t m_frame_index;
    CurveJudge& m_judge;
    CurveBounds m_bounds;
    SearchRecord& m_record;
    ProofAudit& m_audit;
    Model m_target_model;
    int m_models_left = 0; ///< that the run in hand may make to guess better
    Mode m_mode = Mode::prove;
    std::vector<int> m_active;
    std::vector<bool> m_unchanged; ///< by active group
    SumsBox m_sums;                ///< of the box in hand
    // What the groups that do not change add up to.
    int m_held_discs = 0, m_held_changed = 0;
    std::int64_t m_held_cost = 0;
    Length m_held_height, m_target_height;
};

} // namespace shimledger::planner
