#include "planner/substitute/box_search.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

constexpr std::int64_t countless = 1'000'000'000'000'000'000;

std::int64_t magnitude(Length length) {
    return std::abs(length.micrometres());
}

/// True where `a` is at least as good as `b` in every respect.
bool covers(const EvaluatedStack& a, const EvaluatedStack& b) {
    return a.deviation <= b.deviation && a.discs_changed <= b.discs_changed &&
           magnitude(a.height_change) <= magnitude(b.height_change) && a.cost <= b.cost;
}

} // namespace

void SearchRecord::take(EvaluatedStack stack) {
    best = std::min(best, stack.deviation);
    for (const EvaluatedStack& known : choices) {
        if (covers(known, stack)) return;
    }
    std::erase_if(choices, [&](const EvaluatedStack& known) { return covers(stack, known); });
    choices.push_back(std::move(stack));
}

BoxSearch::BoxSearch(const SubstituteRequest& request, const std::vector<TargetGroup>& target,
                     const SearchFrame& frame, std::size_t frame_index, CurveJudge& judge,
                     SearchRecord& record)
    : m_request(request), m_target(target), m_frame(frame), m_frame_index(frame_index), m_judge(judge),
      m_record(record) {
    for (const TargetGroup& group : target) {
        if (!group.ring) m_target_height += group.thickness;
    }
}

/// How many stacks a box holds; stops counting at `countless`.
std::int64_t BoxSearch::stacksIn(const Box& box) {
    std::int64_t size = 1;
    for (const Range& range : box.ranges) {
        const std::int64_t count = range.high - range.low;
        size = size > countless / count ? countless : size * count;
    }
    return size;
}

/// False where no stack of the box can keep the rules on height, number and changes.
bool BoxSearch::rulesAllow(const Box& box) const {
    Length least, greatest;
    int fewest_discs = 0, fewest_changed = 0;
    std::size_t active = 0;
    for (int g = 0; g < static_cast<int>(m_frame.groups.size()); ++g) {
        const std::vector<GroupState>& states = m_frame.states[at(g)];
        Range range{m_frame.base[at(g)], m_frame.base[at(g)] + 1};
        if (active < m_active.size() && m_active[active] == g) range = box.ranges[active++];
        Length low = states[at(range.low)].thickness, high = low;
        int discs = states[at(range.low)].discs, changed = states[at(range.low)].discs_changed;
        for (int s = range.low + 1; s < range.high; ++s) {
            low = std::min(low, states[at(s)].thickness);
            high = std::max(high, states[at(s)].thickness);
            discs = std::min(discs, states[at(s)].discs);
            changed = std::min(changed, states[at(s)].discs_changed);
        }
        fewest_discs += discs;
        fewest_changed += changed;
        if (m_frame.groups[at(g)].ring) continue;
        least += low;
        greatest += high;
    }
    const SubstituteRules& rules = m_request.rules;
    if (fewest_discs > rules.most_discs) return false;
    if (rules.most_discs_changed && fewest_changed > *rules.most_discs_changed) return false;
    return least <= m_target_height + rules.height_tolerance &&
           greatest >= m_target_height - rules.height_tolerance;
}

double BoxSearch::boundOf(const Box& box, double enough) {
    if (m_frame.has_ring) return 0; // a thicker ring preloads, so the order of stiffness does not hold
    for (std::size_t a = 0; a < m_active.size(); ++a) {
        const std::vector<GroupState>& states = m_frame.states[at(m_active[a])];
        GroupSums& soft = m_soft[at(m_active[a])];
        GroupSums& stiff = m_stiff[at(m_active[a])];
        soft = stiff = states[at(box.ranges[a].low)].sums;
        for (int s = box.ranges[a].low + 1; s < box.ranges[a].high; ++s) {
            const GroupSums& sums = states[at(s)].sums;
            soft.bending_n_mm = std::min(soft.bending_n_mm, sums.bending_n_mm);
            soft.membrane_n_per_mm = std::min(soft.membrane_n_per_mm, sums.membrane_n_per_mm);
            soft.thickness_mm = std::max(soft.thickness_mm, sums.thickness_mm); // as a gap
            stiff.bending_n_mm = std::max(stiff.bending_n_mm, sums.bending_n_mm);
            stiff.membrane_n_per_mm = std::max(stiff.membrane_n_per_mm, sums.membrane_n_per_mm);
            stiff.thickness_mm = std::min(stiff.thickness_mm, sums.thickness_mm);
        }
    }
    return m_judge.lowerBound(m_soft, m_stiff, enough);
}

/// Groups of one outline draw on the same discs.
bool BoxSearch::stockAllows(const std::vector<int>& state) const {
    std::map<std::pair<Length, Length>, std::vector<int>> used;
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        const std::vector<int>& counts = m_frame.states[g][at(state[g])].counts;
        std::vector<int>& sum = used[{m_frame.groups[g].od, m_frame.groups[g].id}];
        sum.resize(counts.size(), 0);
        for (std::size_t k = 0; k < counts.size(); ++k) {
            sum[k] += counts[k];
            if (sum[k] > m_frame.kinds[g][k].per_stack) return false;
        }
    }
    return true;
}

void BoxSearch::evaluate(const Box& box) {
    EvaluatedStack stack;
    stack.frame = m_frame_index;
    stack.state = m_frame.base;
    for (std::size_t a = 0; a < m_active.size(); ++a) stack.state[at(m_active[a])] = box.ranges[a].low;
    std::vector<GroupSums> sums;
    Length height;
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        const GroupState& state = m_frame.states[g][at(stack.state[g])];
        sums.push_back(state.sums);
        stack.discs_changed += state.discs_changed;
        stack.cost += state.cost;
        if (!m_frame.groups[g].ring) height += state.thickness;
    }
    if (!stockAllows(stack.state)) {
        ++m_record.excluded;
        return;
    }
    ++m_record.examined;
    std::optional<std::vector<double>> pressures = m_judge.pressures(sums);
    if (!pressures) {
        ++m_record.unsolved;
        m_record.open_bound = 0;
        return;
    }
    stack.height_change = height - m_target_height;
    stack.deviation = m_judge.deviation(*pressures);
    stack.pressures_mpa = std::move(*pressures);
    m_record.take(std::move(stack));
}

BoxSearch::Box BoxSearch::wholeBox(const std::vector<int>& active) {
    m_active = active;
    m_soft.assign(m_frame.groups.size(), {});
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        if (m_frame.base[g] >= 0) m_soft[g] = m_frame.states[g][at(m_frame.base[g])].sums;
    }
    m_stiff = m_soft;
    Box whole{{}, 0};
    for (const int group : active)
        whole.ranges.push_back({0, static_cast<int>(m_frame.states[at(group)].size())});
    whole.bound = boundOf(whole, 1e300);
    return whole;
}

void BoxSearch::run(const std::vector<int>& active, double wide) {
    Box whole = wholeBox(active);
    std::vector<Box> open{std::move(whole)};
    while (!open.empty()) {
        if (m_record.stopped || !m_record.may_go_on()) {
            m_record.stopped = true;
            for (const Box& box : open) m_record.open_bound = std::min(m_record.open_bound, box.bound);
            return;
        }
        Box box = std::move(open.back());
        open.pop_back();
        const std::int64_t size = stacksIn(box);
        if (box.bound >= std::max(m_record.best, wide) || !rulesAllow(box)) {
            m_record.excluded = std::min(countless - size, m_record.excluded) + size;
            continue;
        }
        if (size == 1) {
            evaluate(box);
            continue;
        }
        // Halve the group whose states lie furthest apart in stiffness.
        std::size_t widest = 0;
        double most = -1;
        for (std::size_t a = 0; a < active.size(); ++a) {
            const Range& range = box.ranges[a];
            if (range.high - range.low < 2) continue;
            const std::vector<GroupState>& states = m_frame.states[at(active[a])];
            const double spread = std::log(states[at(range.high - 1)].sums.bending_n_mm /
                                           states[at(range.low)].sums.bending_n_mm) +
                                  1e-9 * (range.high - range.low);
            if (spread > most) {
                most = spread;
                widest = a;
            }
        }
        const int middle = (box.ranges[widest].low + box.ranges[widest].high) / 2;
        Box lower = box, upper = std::move(box);
        lower.ranges[widest].high = middle;
        upper.ranges[widest].low = middle;
        for (Box* half : {&lower, &upper}) {
            // A single stack costs no more to evaluate than to bound.
            if (stacksIn(*half) > 1)
                half->bound = std::max(half->bound, boundOf(*half, std::max(m_record.best, wide)));
        }
        if (lower.bound < upper.bound) std::swap(lower, upper);
        open.push_back(std::move(lower)); // the more promising half is looked at first
        open.push_back(std::move(upper));
    }
}

} // namespace shimledger::planner
