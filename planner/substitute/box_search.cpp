// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/box_search.h"

#include "planner/substitute/proposal_builder.h"
#include "planner/substitute/stack_descent.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

// A local model costs some ten evaluations: boxes of fewer stacks are not worth one.
constexpr std::int64_t fewest_for_model = 16;
constexpr std::int64_t fewest_for_order = 4; // a bound by order costs two to four
constexpr std::size_t most_open = 200'000;   // open boxes that are kept in order
constexpr double worth_looking = 0.95;       // of what is known: looking around is for gains that count
constexpr double rough_guess = 0.05;         // the same where closeness is not what is looked for
constexpr double fine_guess = 3e-4;          // what a guess may err by

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

std::vector<DiscLevers> leversOf(const SearchFrame& frame, const std::vector<int>& state) {
    std::vector<DiscLevers> levers;
    for (std::size_t g = 0; g < state.size(); ++g) {
        const GroupChoices& group = *frame.choices[g];
        if (!group.levers.empty()) levers.push_back(group.levers[at(state[g])]);
    }
    return levers;
}

BoxSearch::BoxSearch(const SubstituteRequest& request, const std::vector<TargetGroup>& target,
                     const SearchFrame& frame, std::size_t frame_index, CurveJudge& judge,
                     SearchRecord& record, ProofAudit& audit, const BoundWidth& width)
    : m_request(request), m_frame(frame), m_frame_index(frame_index), m_judge(judge),
      m_bounds(judge, request.target->valve(), frame.shapes, request.rules.regime, &width), m_record(record),
      m_audit(audit) {
    for (const TargetGroup& group : target) {
        if (!group.ring) m_target_height += group.thickness;
    }
    // One model serves all sets of groups to begin with: at the target.
    const GroupedStack grouped = groupStack(*request.target);
    std::vector<DiscLevers> levers;
    if (request.rules.compare_loading) levers = discLevers(*request.target, grouped);
    m_target_model = m_bounds.modelAt(grouped.sums, levers);
}

const StateTree::Node& BoxSearch::node(const Box& box, std::size_t active) const {
    return m_frame.choices[at(m_active[active])]->tree.node(box.nodes[active]);
}

bool BoxSearch::withinRules(Box& box, SearchGoal goal) const {
    Length least = m_held_height, greatest = m_held_height;
    int discs = m_held_discs, changed = m_held_changed;
    std::int64_t cost = m_held_cost;
    box.stacks = 1;
    for (std::size_t a = 0; a < m_active.size(); ++a) {
        const StateTree::Node& part = node(box, a);
        if (m_unchanged[a] && part.fewest_changed > 0) return false;
        box.stacks = box.stacks > SearchRecord::countless / part.states() ? SearchRecord::countless
                                                                          : box.stacks * part.states();
        discs += part.fewest_discs;
        changed += part.fewest_changed;
        cost += part.least_cost;
        if (m_frame.groups[at(m_active[a])].ring) continue;
        least += part.thinnest;
        greatest += part.thickest;
    }
    const std::int64_t thinner = (m_target_height - greatest).micrometres();
    const std::int64_t thicker = (least - m_target_height).micrometres();
    const std::int64_t off = std::max<std::int64_t>({0, thinner, thicker});
    box.measure = goal == SearchGoal::fewest_changes ? changed
                  : goal == SearchGoal::flattest     ? off
                  : goal == SearchGoal::cheapest     ? cost
                                                     : 0;
    const SubstituteRules& rules = m_request.rules;
    return discs <= rules.most_discs && changed <= rules.most_discs_changed.value_or(changed) &&
           off <= rules.height_tolerance.micrometres();
}

bool BoxSearch::worth(const Box& box, SearchGoal goal) const {
    return box.bound < m_record.worthBelow(goal, box.measure);
}

void BoxSearch::setSums(const Box& box) {
    for (std::size_t a = 0; a < m_active.size(); ++a) {
        const std::size_t g = at(m_active[a]);
        const StateTree::Node& part = node(box, a);
        m_sums.least[g] = part.least;
        m_sums.greatest[g] = part.greatest;
        m_sums.leg_least[g] = part.leg_least;
        m_sums.leg_greatest[g] = part.leg_greatest;
        if (!m_sums.levers.empty()) m_sums.levers[g] = m_frame.choices[g]->lever_ranges[at(box.nodes[a])];
    }
}

/// Raises the bound by what the box's model says.
void BoxSearch::estimate(Box& box) {
    setSums(box);
    if (!box.model) return;
    const CurveBounds::Estimate estimate = m_bounds.estimate(*box.model, m_sums);
    box.guess = estimate.guess;
    if (m_mode == Mode::every) return;
    if (m_mode == Mode::prove && estimate.bound > box.bound) box.by_order = false;
    // A box's own model knows better than what its parents' models only thought likely.
    box.bound = m_mode == Mode::look ? (estimate.likely_bound - fine_guess) / worth_looking
                                     : std::max(box.bound, estimate.bound);
}

/// Evaluates a few stacks to learn more of the box; false where that would not help.
bool BoxSearch::refine(Box& box, SearchGoal goal) {
    if (m_mode == Mode::every) return false;
    const double enough = m_record.worthBelow(goal, box.measure);
    setSums(box);
    if (!box.own_model && box.stacks >= fewest_for_model) {
        CurveBounds::Estimate now;
        if (box.model) now = m_bounds.estimate(*box.model, m_sums);
        const bool would_exclude = m_mode == Mode::prove && now.bound < enough && now.centred_bound >= enough;
        const double may_err =
            goal == SearchGoal::closest ? std::max(fine_guess, 0.25 * now.guess) : rough_guess;
        const bool misleads = now.error > may_err && now.error > 4 * now.centred_error;
        if (!box.model || would_exclude || (misleads && m_models_left > 0)) {
            --m_models_left;
            box.own_model = true;
            if (Model own = m_bounds.modelAt(m_sums)) box.model = std::move(own);
            estimate(box);
            return true;
        }
    }
    if (m_mode == Mode::prove && !box.ordered && box.stacks >= fewest_for_order) {
        box.ordered = true;
        const double bound = m_bounds.boundByOrder(m_sums, enough, box.model.get());
        if (bound > box.bound) {
            box.by_order = true;
            box.bound = bound;
            return true;
        }
    }
    return false;
}

void BoxSearch::excludeByBound(const Box& box, SearchGoal goal) {
    m_record.exclude(box.stacks);
    if (m_mode != Mode::prove) return;
    m_audit.offer(box.bound, m_record.worthBelow(goal, box.measure), [&] {
        return ExcludedBox{m_frame_index, m_active, box.nodes, box.model, box.by_order};
    });
}

BoundStrain BoxSearch::strainOf(const ExcludedBox& box, std::mt19937_64& random) {
    std::vector<GroupSums> sums;
    std::vector<DiscLevers> levers;
    for (const auto& group : m_frame.choices) {
        sums.push_back(group->base < 0 ? GroupSums() : group->states[at(group->base)].sums);
        if (group->levers.empty()) continue;
        levers.push_back(group->base < 0 ? DiscLevers() : group->levers[at(group->base)]);
    }
    SumsBox extremes{sums, sums, sums, sums, {}};
    for (std::size_t a = 0; a < box.active.size(); ++a) {
        const GroupChoices& group = *m_frame.choices[at(box.active[a])];
        const StateTree::Node& part = group.tree.node(box.nodes[a]);
        const auto drawn = random() % static_cast<std::uint64_t>(part.states());
        sums[at(box.active[a])] = group.states[at(part.first) + drawn].sums;
        if (!levers.empty()) levers[at(box.active[a])] = group.levers[at(part.first) + drawn];
        extremes.leg_least[at(box.active[a])] = part.leg_least;
        extremes.leg_greatest[at(box.active[a])] = part.leg_greatest;
    }
    return box.by_order || !box.model ? m_bounds.strainByOrder(extremes, {sums, levers}, box.model.get())
                                      : m_bounds.strain(*box.model, {sums, levers});
}

std::int64_t BoxSearch::stacksOf(const std::vector<int>& active, const std::vector<int>& unchanged) const {
    std::int64_t stacks = 1;
    for (const int g : active) {
        const StateTree& tree = m_frame.choices[at(g)]->tree;
        const bool own = std::find(unchanged.begin(), unchanged.end(), g) != unchanged.end();
        const int states = tree.node(own ? ownNode(at(g)) : tree.root()).states();
        stacks = stacks > SearchRecord::countless / states ? SearchRecord::countless : stacks * states;
    }
    return stacks;
}

/// Groups of one outline draw on the same discs.
bool BoxSearch::stockAllows(const std::vector<int>& state) const {
    if (!m_frame.shares_outline) return true;
    std::map<std::pair<Length, Length>, std::vector<int>> used;
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        const std::vector<int>& counts = m_frame.choices[g]->states[at(state[g])].counts;
        std::vector<int>& sum = used[{m_frame.groups[g].od, m_frame.groups[g].id}];
        sum.resize(counts.size(), 0);
        for (std::size_t k = 0; k < counts.size(); ++k) {
            sum[k] += counts[k];
            if (sum[k] > m_frame.kinds[g][k].per_stack) return false;
        }
    }
    return true;
}

void BoxSearch::evaluate(const Box& box, double limit) {
    std::vector<int> state;
    for (const auto& group : m_frame.choices) state.push_back(group->base);
    for (std::size_t a = 0; a < m_active.size(); ++a) state[at(m_active[a])] = node(box, a).first;
    (void)tryStack(std::move(state), limit);
}

std::optional<double> BoxSearch::tryStack(std::vector<int> state, double limit, double closer_below) {
    if (!stockAllows(state)) {
        m_record.exclude(1);
        return {};
    }
    EvaluatedStack stack;
    stack.frame = m_frame_index;
    stack.state = std::move(state);
    Length height;
    bool legs_alike = true;
    std::vector<std::vector<GroupSums>> legs(1);
    const std::vector<DiscLevers> levers = leversOf(m_frame, stack.state);
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        const GroupState& group = m_frame.choices[g]->states[at(stack.state[g])];
        legs_alike = legs_alike && !group.legs;
        legs.front().push_back(group.sums);
        stack.discs_changed += group.discs_changed;
        stack.cost += group.cost;
        if (!m_frame.groups[g].ring) height += group.thickness;
    }
    ++m_record.examined;
    if (!legs_alike) legs = legSums(m_request, m_frame, stack.state);
    std::vector<std::vector<double>> curves;
    for (const std::vector<GroupSums>& leg : legs) {
        CurveJudge::Verdict verdict = m_judge.weigh({leg, levers}, limit, closer_below);
        if (verdict.kind == CurveJudge::Verdict::Kind::unsolved) ++m_record.unsolved;
        if (verdict.kind != CurveJudge::Verdict::Kind::measured) return {};
        stack.deviation = std::max(stack.deviation, verdict.deviation);
        curves.push_back(std::move(verdict.pressures_mpa));
    }
    stack.leg_difference = legDifference(curves);
    stack.height_change = height - m_target_height;
    const double deviation = stack.deviation;
    if (deviation >= closer_below) return deviation; // as far as it was looked at
    m_record.take(std::move(stack));
    return deviation;
}

void BoxSearch::descend(const std::vector<int>& active, const std::vector<int>& unchanged,
                        const std::vector<int>& start, int shakes, bool closely) {
    StackDescent descent(m_request, m_frame, m_judge, m_bounds, m_target_height);
    constexpr double any_deviation = 1e300;
    descent.run(
        active, unchanged, start, shakes, closely,
        [this](const std::vector<int>& state) { return tryStack(state, any_deviation, m_record.best()); },
        [this] { return !m_record.closeEnough() && m_record.may_go_on(); });
}

/// Cuts the group whose states lie furthest apart.
void BoxSearch::split(Box box, SearchGoal goal, std::vector<Box>& open) {
    std::size_t widest = 0;
    double most = -1;
    for (std::size_t a = 0; a < m_active.size(); ++a) {
        if (node(box, a).states() < 2) continue;
        const StateTree::Node& part = node(box, a);
        double width = m_bounds.breadth(at(m_active[a]), part.least, part.greatest) + 1e-9 * part.states();
        if (!m_sums.levers.empty())
            width += CurveBounds::breadth(m_frame.choices[at(m_active[a])]->lever_ranges[at(box.nodes[a])]);
        if (width > most) {
            most = width;
            widest = a;
        }
    }
    box.own_model = box.ordered = false;
    Box lower = box, upper = std::move(box);
    lower.nodes[widest] = node(lower, widest).lower;
    upper.nodes[widest] = node(upper, widest).upper;
    for (Box* half : {&lower, &upper}) {
        const bool allowed = withinRules(*half, goal);
        if (allowed && worth(*half, goal)) estimate(*half);
        if (!allowed) {
            m_record.exclude(half->stacks);
        } else if (worth(*half, goal)) {
            push(std::move(*half), open);
        } else {
            excludeByBound(*half, goal);
        }
    }
}

/// The most promising box comes first; among too many open ones, the youngest, which soon comes to an end.
bool BoxSearch::comesLater(const Box& a, const Box& b) {
    return std::tie(a.measure, a.guess, a.bound, a.nodes) > std::tie(b.measure, b.guess, b.bound, b.nodes);
}

void BoxSearch::push(Box box, std::vector<Box>& open) {
    open.push_back(std::move(box));
    if (open.size() < most_open) std::push_heap(open.begin(), open.end(), comesLater);
}

BoxSearch::Box BoxSearch::pop(std::vector<Box>& open) {
    if (open.size() < most_open) std::pop_heap(open.begin(), open.end(), comesLater);
    Box box = std::move(open.back());
    open.pop_back();
    return box;
}

/// The smallest node of the group's tree that has all states of the target's own discs.
int BoxSearch::ownNode(std::size_t group) const {
    const StateTree& tree = m_frame.choices[group]->tree;
    const auto changes = [&](int n) { return tree.node(n).fewest_changed > 0; };
    int n = tree.root();
    while (tree.node(n).states() > 1) {
        const StateTree::Node& whole = tree.node(n);
        if (changes(whole.lower) == changes(whole.upper)) break;
        n = changes(whole.lower) ? whole.upper : whole.lower;
    }
    return n;
}

void BoxSearch::run(const std::vector<int>& active, SearchGoal goal, Mode mode, int models,
                    const std::vector<int>& unchanged) {
    m_mode = mode;
    m_models_left = models;
    if (m_record.stopped) {
        m_record.open_bound = 0; // this set is not even begun
        return;
    }
    m_active = active;
    m_unchanged.clear();
    for (auto* sums : {&m_sums.least, &m_sums.leg_least, &m_sums.leg_greatest})
        sums->assign(m_frame.groups.size(), {});
    m_held_discs = m_held_changed = 0;
    m_held_cost = 0;
    m_held_height = Length();
    m_sums.levers.assign(m_request.rules.compare_loading ? m_frame.groups.size() : 0, {});
    Box whole;
    for (std::size_t g = 0; g < m_frame.groups.size(); ++g) {
        if (std::find(active.begin(), active.end(), static_cast<int>(g)) != active.end()) {
            const bool own =
                std::find(unchanged.begin(), unchanged.end(), static_cast<int>(g)) != unchanged.end();
            m_unchanged.push_back(own);
            whole.nodes.push_back(own ? ownNode(g) : m_frame.choices[g]->tree.root());
            continue;
        }
        const GroupState& held = m_frame.choices[g]->states[at(m_frame.choices[g]->base)];
        m_sums.least[g] = held.sums;
        m_sums.leg_least[g] = held.legs ? held.legs->least : held.sums;
        m_sums.leg_greatest[g] = held.legs ? held.legs->greatest : held.sums;
        if (!m_sums.levers.empty()) {
            const DiscLevers& levers = m_frame.choices[g]->levers[at(m_frame.choices[g]->base)];
            m_sums.levers[g] = {levers, levers};
        }
        m_held_discs += held.discs;
        m_held_changed += held.discs_changed;
        m_held_cost += held.cost;
        if (!m_frame.groups[g].ring) m_held_height += held.thickness;
    }
    m_sums.greatest = m_sums.least;
    if (!withinRules(whole, goal)) {
        m_record.exclude(whole.stacks);
        return;
    }
    whole.model = m_target_model;
    estimate(whole);
    std::vector<Box> open{std::move(whole)};
    while (!open.empty()) {
        if (!m_record.may_go_on()) {
            m_record.stopped = true;
            for (const Box& box : open) m_record.open_bound = std::min(m_record.open_bound, box.bound);
            return;
        }
        Box box = pop(open);
        if (!worth(box, goal)) {
            excludeByBound(box, goal);
        } else if (box.stacks == 1) {
            evaluate(box, m_record.worthBelow(goal, box.measure));
        } else if (refine(box, goal)) {
            push(std::move(box), open);
        } else {
            split(std::move(box), goal, open);
        }
    }
}

} // namespace shimledger::planner
