#pragma once

#include "planner/substitute/curve_judge.h"
#include "planner/substitute/target_groups.h"

#include <chrono>
#include <cstdint>
#include <functional>
#include <vector>

namespace shimledger::planner {

/// One order of diameters with all that its groups can be made of.
struct SearchFrame {
    std::vector<TargetGroup> groups; ///< with this frame's ODs
    std::vector<GroupShape> shapes;
    std::vector<std::vector<DiscKind>> kinds;    ///< by group
    std::vector<std::vector<GroupState>> states; ///< by group, softest first
    std::vector<int> base; ///< state that is the target's own, -1 where it cannot be built
    bool has_ring = false;
    int moved_groups = 0; ///< groups whose OD is not the target's
};

/// A stack that was evaluated.
struct EvaluatedStack {
    std::size_t frame = 0;
    std::vector<int> state; ///< by group
    double deviation = 0;   ///< weighted
    std::vector<double> pressures_mpa;
    int discs_changed = 0;
    Length height_change;
    std::int64_t cost = 0; ///< one stack
};

/// What the whole search shares: limits, counters, and the best so far in each respect.
struct SearchRecord {
    std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();
    std::vector<EvaluatedStack> choices; ///< none is beaten by another in every respect
    double best = 1e300;
    std::int64_t examined = 0, excluded = 0;
    std::int64_t unsolved = 0; ///< examined, but no curve was found: nothing is known of them
    bool stopped = false;
    double open_bound = 1e300; ///< least bound of what was left open when it stopped
    std::function<bool()> may_go_on;

    void take(EvaluatedStack stack);
};

/// Branch and bound over the states of some groups, the others held at their base. Boxes of states are cut
/// in halves; a box whose bound is not below the best so far is excluded as a whole.
class BoxSearch {
public:
    BoxSearch(const SubstituteRequest& request, const std::vector<TargetGroup>& target,
              const SearchFrame& frame, std::size_t frame_index, CurveJudge& judge, SearchRecord& record);

    /// `wide`: keep looking at what is closer than this even when something better is known.
    void run(const std::vector<int>& active, double wide);

private:
    struct Range {
        int low, high; ///< states [low, high)
    };
    struct Box {
        std::vector<Range> ranges; ///< by active group
        double bound;
    };

    [[nodiscard]] static std::int64_t stacksIn(const Box& box);
    Box wholeBox(const std::vector<int>& active);
    [[nodiscard]] bool rulesAllow(const Box& box) const;
    [[nodiscard]] double boundOf(const Box& box, double enough);
    void evaluate(const Box& box);
    [[nodiscard]] bool stockAllows(const std::vector<int>& state) const;

    const SubstituteRequest& m_request;
    const std::vector<TargetGroup>& m_target;
    const SearchFrame& m_frame;
    std::size_t m_frame_index;
    CurveJudge& m_judge;
    SearchRecord& m_record;
    std::vector<int> m_active;
    std::vector<GroupSums> m_soft, m_stiff;
    Length m_target_height;
};

} // namespace shimledger::planner
