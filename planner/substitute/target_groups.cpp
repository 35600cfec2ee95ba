#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace shimledger::planner {

std::vector<TargetGroup> targetGroups(const StackSpec& target) {
    const GroupedStack grouped = groupStack(target);
    std::vector<TargetGroup> groups(grouped.shapes.size());
    for (std::size_t row = 0; row < target.rows().size(); ++row) {
        const DiscRow& discs = target.rows()[row];
        TargetGroup& group = groups[static_cast<std::size_t>(grouped.group_of_row[row])];
        if (group.row_count == 0) group.first_row = static_cast<int>(row);
        ++group.row_count;
        group.od = discs.od;
        group.ring = isRing(target.valve(), discs);
        group.id = group.ring ? *discs.ring_id : target.valve().shim_id;
        group.thickness += discs.count * discs.thickness;
        group.discs += discs.count;
        group.elastic_modulus_mpa = discs.material.elastic_modulus_mpa;
    }
    for (std::size_t g = 1; g + 1 < groups.size(); ++g) {
        groups[g].crossover =
            !groups[g].ring && groups[g].od < groups[g - 1].od && groups[g].od < groups[g + 1].od;
    }
    return groups;
}

namespace {

/// Walks all counts of the kinds within the limits, thinnest kind first.
class StateWalk {
public:
    StateWalk(const StackSpec& target, const TargetGroup& group, const std::vector<DiscKind>& kinds,
              const StateLimits& limits)
        : m_group(group), m_kinds(kinds), m_limits(limits), m_counts(kinds.size(), 0),
          m_moved(group.od != target.rows()[static_cast<std::size_t>(group.first_row)].od) {
        for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
            const DiscRow& discs = target.rows()[static_cast<std::size_t>(row)];
            m_wanted[discs.thickness] += discs.count;
        }
    }

    std::vector<GroupState> run(bool& cut_short) {
        walk(0, Length(), 0);
        cut_short = cut_short || m_cut_short;
        return std::move(m_states);
    }

private:
    void walk(std::size_t kind, Length thickness, int discs) {
        m_cut_short =
            m_cut_short || m_states.size() > m_limits.most_states || ++m_visits > m_limits.most_visits;
        if (m_cut_short) return;
        if (kind == m_kinds.size()) {
            if (discs > 0 && thickness >= m_limits.least_thickness) keep(thickness, discs);
            return;
        }
        const std::int64_t most = m_kinds[kind].per_stack;
        for (int count = 0; count <= most; ++count) {
            const Length sum = thickness + count * m_kinds[kind].thickness;
            if (sum > m_limits.greatest_thickness || discs + count > m_limits.most_discs) break;
            m_counts[kind] = count;
            walk(kind + 1, sum, discs + count);
        }
        m_counts[kind] = 0;
    }

    void keep(Length thickness, int discs) {
        GroupState state{m_counts, thickness, {}, discs, 0, 0};
        std::map<Length, int> used;
        for (std::size_t k = 0; k < m_kinds.size(); ++k) {
            const DiscKind& kind = m_kinds[k];
            used[kind.thickness] += m_counts[k];
            state.sums.thickness_mm += m_counts[k] * kind.effective_mm;
            state.sums.bending_n_mm += m_counts[k] * kind.effective_cube_mm3 * m_group.elastic_modulus_mpa;
            state.sums.membrane_n_per_mm += m_counts[k] * kind.effective_mm * m_group.elastic_modulus_mpa;
            state.cost += m_counts[k] * kind.unit_cost;
        }
        for (const auto& [size, count] : m_wanted) {
            state.discs_changed += m_moved ? count : std::max(0, count - used[size]);
        }
        // Added discs change the stack as well, even where none is taken out.
        state.discs_changed = std::max(state.discs_changed, discs - m_group.discs);
        if (state.discs_changed > m_limits.most_changed) return;
        if (!m_limits.collapse) {
            m_states.push_back(std::move(state));
            return;
        }
        // Sums to a thousandth of a micrometre (cubed): equal for every purpose.
        const auto key =
            std::tuple(std::llround(state.sums.thickness_mm * 1e6),
                       std::llround(state.sums.bending_n_mm * 1e6 / m_group.elastic_modulus_mpa * 1e3));
        const auto known = m_index.find(key);
        if (known == m_index.end()) {
            m_index.emplace(key, m_states.size());
            m_states.push_back(std::move(state));
            return;
        }
        GroupState& other = m_states[known->second];
        if (std::tie(state.discs_changed, state.cost, state.discs) <
            std::tie(other.discs_changed, other.cost, other.discs)) {
            other = std::move(state);
        }
    }

    const TargetGroup& m_group;
    const std::vector<DiscKind>& m_kinds;
    const StateLimits& m_limits;
    std::vector<int> m_counts;
    bool m_moved; ///< to another OD: no disc of the target stays
    std::int64_t m_visits = 0;
    bool m_cut_short = false;
    std::map<Length, int> m_wanted;
    std::map<std::tuple<long long, long long>, std::size_t> m_index;
    std::vector<GroupState> m_states;
};

} // namespace

std::vector<GroupState> groupStates(const StackSpec& target, const TargetGroup& group,
                                    const std::vector<DiscKind>& kinds, const StateLimits& limits,
                                    bool& cut_short) {
    return StateWalk(target, group, kinds, limits).run(cut_short);
}

} // namespace shimledger::planner
