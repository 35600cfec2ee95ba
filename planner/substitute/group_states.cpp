// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/group_states.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <unordered_map>
#include <utility>

namespace shimledger::planner {

namespace {

/// Sums to a millionth of a micrometre: equal for every purpose.
struct SumsKey {
    std::int64_t nominal = 0, thickness = 0, cube = 0;
    bool operator==(const SumsKey&) const = default;
};

struct SumsKeyHash {
    std::size_t operator()(const SumsKey& key) const {
        // Unsigned: what does not fit wraps around.
        const auto part = [](std::int64_t sum) { return static_cast<std::uint64_t>(sum); };
        constexpr std::uint64_t prime = 1'000'003;
        return std::hash<std::uint64_t>()((part(key.cube) * prime + part(key.thickness)) * prime +
                                          part(key.nominal));
    }
};

/// What has been counted out so far.
struct Partial {
    Length thickness;
    double thickness_mm = 0, cube_mm3 = 0;
    int discs = 0;
    int of_size = 0; ///< of the size in hand
    int missing = 0; ///< discs of the target that can no longer be in it
    std::int64_t cost = 0;
};

/// Walks all counts of the kinds within the limits, thinnest kind first.
class StateWalk {
public:
    StateWalk(const StackSpec& target, const TargetGroup& group, const std::vector<DiscKind>& kinds,
              const StateLimits& limits)
        : m_group(group), m_kinds(kinds), m_limits(limits), m_counts(kinds.size(), 0) {
        const bool moved = group.od != target.rows()[static_cast<std::size_t>(group.first_row)].od;
        std::map<Length, int> wanted;
        for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
            const DiscRow& discs = target.rows()[static_cast<std::size_t>(row)];
            (moved ? m_never : wanted[discs.thickness]) += discs.count; // moved: no disc of the target stays
        }
        for (std::size_t k = 0; k < kinds.size(); ++k) {
            m_ends_size.push_back(k + 1 == kinds.size() || kinds[k + 1].thickness != kinds[k].thickness);
            m_wanted.push_back(std::exchange(wanted[kinds[k].thickness], 0));
            if (k > 0 && !m_ends_size[k - 1]) m_wanted.back() = m_wanted[k - 1];
        }
        for (const auto& [size, count] : wanted) m_never += count;
        m_still.resize(kinds.size() + 1);
        for (std::size_t k = kinds.size(); k-- > 0;)
            m_still[k] = m_still[k + 1] + kinds[k].per_stack * kinds[k].thickness;
    }

    GroupStateList run() {
        Partial nothing;
        nothing.missing = m_never;
        if (nothing.missing > m_limits.most_changed) {
            m_list.more_with_changes = true;
        } else {
            walk(0, nothing);
        }
        return std::move(m_list);
    }

private:
    void walk(std::size_t kind, const Partial& before) {
        if (m_list.states.size() >= m_limits.most_states || ++m_visits > m_limits.most_visits)
            m_list.cut_short = true;
        if (m_visits % 1024 == 0 && m_limits.may_go_on && !m_limits.may_go_on()) m_list.cut_short = true;
        if (m_list.cut_short || before.thickness + m_still[kind] < m_limits.least_thickness) return;
        if (kind == m_kinds.size()) {
            if (before.discs > 0) keep(before);
            return;
        }
        const DiscKind& disc = m_kinds[kind];
        Partial now = before;
        for (int count = 0; count <= disc.per_stack; ++count) {
            if (now.thickness > m_limits.greatest_thickness || now.discs > m_limits.most_discs) break;
            if (now.discs - m_group.discs > m_limits.most_changed) {
                m_list.more_with_changes = true;
                break;
            }
            m_counts[kind] = count;
            Partial next = now;
            if (m_ends_size[kind]) {
                next.missing += std::max(0, m_wanted[kind] - next.of_size);
                next.of_size = 0;
            }
            if (next.missing > m_limits.most_changed) {
                m_list.more_with_changes = true; // another disc of this size will change that
            } else {
                walk(kind + 1, next);
            }
            now.thickness += disc.thickness;
            now.thickness_mm += disc.effective_mm;
            now.cube_mm3 += disc.effective_cube_mm3;
            now.cost += disc.unit_cost;
            ++now.discs;
            ++now.of_size;
        }
        m_counts[kind] = 0;
    }

    /// Adds what a leg gets of one size: `least` and `most` of its readings, against the mean.
    struct Reach {
        double thickness_mm = 0, cube_mm3 = 0;
        void add(double reading_mm, double pieces) {
            thickness_mm += pieces * reading_mm;
            cube_mm3 += pieces * reading_mm * reading_mm * reading_mm;
        }
    };

    /// Between what the sums of any leg lie; none where all legs get the same.
    [[nodiscard]] std::shared_ptr<const LegRange> legRange(const GroupSums& mean) const {
        Reach least, most, middle;
        bool differ = false;
        for (std::size_t first = 0, past = 0; first < m_kinds.size(); first = past) {
            std::vector<double> readings; // that the legs may get one or another of
            int each = 0;                 // how many of them every leg gets
            for (past = first; past < m_kinds.size() && m_kinds[past].thickness == m_kinds[first].thickness;
                 ++past) {
                const DiscKind& kind = m_kinds[past];
                const int count = m_counts[past];
                // Groups of one outline: which of them gets which lot is not told by what is pulled.
                if (!m_limits.collapse) {
                    each += count;
                    if (kind.mixed)
                        readings.insert(readings.end(), kind.pieces_mm.begin(), kind.pieces_mm.end());
                    else
                        readings.push_back(kind.effective_mm);
                } else if (kind.mixed && count > 0) {
                    each += count;
                    readings.insert(readings.end(), kind.pieces_mm.begin(), kind.pieces_mm.end());
                }
                if (kind.mixed || !m_limits.collapse) {
                    middle.thickness_mm += count * kind.effective_mm;
                    middle.cube_mm3 += count * kind.effective_cube_mm3;
                }
            }
            std::sort(readings.begin(), readings.end());
            differ = differ || (each > 0 && readings.front() != readings.back());
            for (int piece = 0; piece < each; ++piece) {
                const std::size_t place = m_limits.collapse ? static_cast<std::size_t>(piece) : 0;
                least.add(readings[place], 1);
                most.add(readings[readings.size() - 1 - place], 1);
            }
        }
        if (!differ) return nullptr;
        const double modulus = m_group.elastic_modulus_mpa;
        const auto moved = [&](const Reach& reach) {
            const double thickness = reach.thickness_mm - middle.thickness_mm;
            return GroupSums{mean.thickness_mm + thickness,
                             mean.bending_n_mm + modulus * (reach.cube_mm3 - middle.cube_mm3),
                             mean.membrane_n_per_mm + modulus * thickness};
        };
        return std::make_shared<const LegRange>(LegRange{moved(least), moved(most)});
    }

    /// Of states of equal sums: one is at least as good as the other in all that the rules and choices ask.
    static bool covers(const GroupState& a, const GroupState& b) {
        return a.discs <= b.discs && a.discs_changed <= b.discs_changed && a.cost <= b.cost;
    }

    /// Where how the discs rub counts, a state stands for another only if it has as many of every size.
    [[nodiscard]] bool standsFor(const GroupState& a, const GroupState& b) const {
        if (!m_limits.sizes_apart || m_group.under_clamp) return true;
        int more = 0; // of the size in hand
        for (std::size_t k = 0; k < m_kinds.size(); ++k) {
            more += a.counts[k] - b.counts[k];
            if (m_ends_size[k] && std::exchange(more, 0) != 0) return false;
        }
        return true;
    }

    void keep(const Partial& sums) {
        GroupState state{m_counts, sums.thickness, {}, sums.discs, 0, sums.cost, {}};
        state.sums = {sums.thickness_mm, sums.cube_mm3 * m_group.elastic_modulus_mpa,
                      sums.thickness_mm * m_group.elastic_modulus_mpa};
        state.discs_changed = std::max(sums.missing, sums.discs - m_group.discs);
        state.legs = legRange(state.sums);
        if (!m_limits.collapse || state.legs) {
            m_list.states.push_back(std::move(state));
            return;
        }
        SumsKey key{sums.thickness.micrometres(), std::llround(sums.thickness_mm * 1e9),
                    std::llround(sums.cube_mm3 * 1e12)};
        if (m_group.under_clamp) { // the curve does not ask how stiff it is: only thickness tells them apart
            key.cube = 0;
            state.sums.bending_n_mm = state.sums.membrane_n_per_mm;
        }
        const int none = -1;
        const auto head = m_head.try_emplace(key, none).first;
        for (int i = head->second; i != none; i = m_next[static_cast<std::size_t>(i)]) {
            const GroupState& other = m_list.states[static_cast<std::size_t>(i)];
            if (covers(other, state) && standsFor(other, state)) return;
        }
        for (int i = head->second; i != none; i = m_next[static_cast<std::size_t>(i)]) {
            GroupState& other = m_list.states[static_cast<std::size_t>(i)];
            if (!covers(state, other) || !standsFor(state, other)) continue;
            other = std::move(state);
            return;
        }
        m_next.resize(m_list.states.size(), -1); // those that are in no chain
        m_next.push_back(head->second);
        head->second = static_cast<int>(m_list.states.size());
        m_list.states.push_back(std::move(state));
    }

    const TargetGroup& m_group;
    const std::vector<DiscKind>& m_kinds;
    const StateLimits& m_limits;
    std::vector<int> m_counts;
    std::vector<bool> m_ends_size; ///< by kind: the last of its size
    std::vector<int> m_wanted;     ///< by kind: discs of its size in the target's group
    std::vector<Length> m_still;   ///< by kind: thickness that it and those after it can add
    int m_never = 0;               ///< discs of the target that no kind can give
    std::int64_t m_visits = 0;
    GroupStateList m_list;
    std::unordered_map<SumsKey, int, SumsKeyHash> m_head; ///< newest state of these sums ...
    std::vector<int> m_next;                              ///< ... and the one before it
};

} // namespace

GroupStateList groupStates(const StackSpec& target, const TargetGroup& group,
                           const std::vector<DiscKind>& kinds, const StateLimits& limits) {
    return StateWalk(target, group, kinds, limits).run();
}

} // namespace shimledger::planner
