// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/stack_descent.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace shimledger::planner {

namespace {

constexpr int most_astray = 1;
constexpr int most_models = 12;        // of one descent
constexpr std::size_t most_calm = 160; // states of a group that pairs are tried of
constexpr double per_broken_rule = 10; // worse than any deviation
constexpr double least_gain = 1e-6;
constexpr std::size_t most_tries = 24; // neighbours of the best that are computed about one model
constexpr int most_polishings = 12;
constexpr int patience = 60; // starts without a gain that counts

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

StackDescent::StackDescent(const SubstituteRequest& request, const SearchFrame& frame, CurveJudge& judge,
                           CurveBounds& bounds, Length target_height)
    : m_request(request), m_frame(frame), m_judge(judge), m_bounds(bounds), m_target_height(target_height) {
    for (const std::size_t lift : bounds.fewLifts()) m_weights.push_back(judge.target().weights[lift]);
    m_lifts = m_weights.size();
}

const GroupState& StackDescent::state(const Moves& moves, std::size_t index) const {
    return m_frame.choices[at(moves.group)]->states[at(moves.states[index])];
}

std::vector<int> StackDescent::stack() const {
    std::vector<int> stack = m_base;
    for (const Moves& moves : m_moves) stack[at(moves.group)] = moves.states[moves.now];
    return stack;
}

/// Each group at the state that is nearest to the target's sums, or to what is wanted of them.
void StackDescent::begin(const std::vector<int>& active, const std::vector<int>& unchanged) {
    m_moves.clear();
    m_base.clear();
    for (const auto& group : m_frame.choices) m_base.push_back(group->base);
    for (const int g : active) {
        const bool own = std::find(unchanged.begin(), unchanged.end(), g) != unchanged.end();
        Moves moves;
        moves.group = g;
        const std::vector<GroupState>& states = m_frame.choices[at(g)]->states;
        double nearest = 1e300;
        const TargetGroup& target = m_frame.groups[at(g)];
        const WantedFactor& wanted = m_judge.target().wanted;
        const double stiffer = target.crossover ? 0 : wanted.meanLogUpTo(m_judge.target().lifts_mm.back());
        for (int s = 0; s < static_cast<int>(states.size()); ++s) {
            if (own && states[at(s)].discs_changed > 0) continue;
            const double off =
                std::abs(std::log(states[at(s)].sums.bending_n_mm / target.bending_n_mm) - stiffer) +
                std::abs(std::log(states[at(s)].thickness.millimetres() / target.thickness.millimetres()) -
                         stiffer);
            if (off < nearest) {
                nearest = off;
                moves.now = moves.states.size();
            }
            moves.states.push_back(s);
            moves.log_bending.push_back(std::log(states[at(s)].sums.bending_n_mm));
            moves.log_membrane.push_back(std::log(states[at(s)].sums.membrane_n_per_mm));
        }
        m_moves.push_back(std::move(moves));
    }
}

/// A few groups at other states near by.
void StackDescent::shake(std::mt19937& random) {
    const int times = 2 + static_cast<int>(random() % 2);
    for (int i = 0; i < times; ++i) {
        const std::size_t m = random() % m_moves.size();
        const Moves& moves = m_moves[m];
        const std::vector<int>& calm = moves.calm;
        if (calm.empty()) continue;
        set(m, at(calm[random() % calm.size()]));
    }
}

/// The model about the stack in hand; false where it has none.
bool StackDescent::linearize() {
    const std::vector<int> now = stack();
    std::vector<GroupSums> centre;
    const std::vector<DiscLevers> levers = leversOf(m_frame, now);
    m_height = -m_target_height.micrometres();
    m_discs = m_changed = 0;
    for (std::size_t g = 0; g < now.size(); ++g) {
        const GroupState& state = m_frame.choices[g]->states[at(now[g])];
        centre.push_back(state.sums);
        if (!m_frame.groups[g].ring) m_height += state.thickness.micrometres();
        m_discs += state.discs;
        m_changed += state.discs_changed;
    }
    const auto model = m_bounds.modelAt(centre, levers);
    if (!model) return false;
    m_residual.clear();
    std::vector<double> friction; // by lift, a part of the pressure
    for (std::size_t k = 0; k < m_lifts; ++k) {
        const double target = m_judge.target().pressures_mpa[m_bounds.fewLifts()[k]];
        m_residual.push_back(model->log_pressure[k] - std::log(target));
        friction.push_back(levers.empty() ? 0 : model->friction[k].halfWidthMm(levers));
        m_residual.back() += std::log1p(friction.back());
    }
    for (Moves& moves : m_moves) {
        const std::size_t bending = 2 * at(moves.group), membrane = bending + 1;
        moves.effect.resize(moves.states.size() * m_lifts);
        std::vector<std::pair<double, int>> order;
        order.reserve(moves.states.size());
        for (std::size_t s = 0; s < moves.states.size(); ++s) {
            const double x_bending = moves.log_bending[s] - moves.log_bending[moves.now];
            const double x_membrane = moves.log_membrane[s] - moves.log_membrane[moves.now];
            double most = 0;
            for (std::size_t k = 0; k < m_lifts; ++k) {
                double effect =
                    model->elasticity[bending][k] * x_bending + model->elasticity[membrane][k] * x_membrane;
                if (!levers.empty()) {
                    const DiscLevers& rubs = m_frame.choices[at(moves.group)]->levers[at(moves.states[s])];
                    const DiscLevers& terms = model->friction[k].of_group[at(moves.group)];
                    effect += (dot(terms, rubs) - dot(terms, levers[at(moves.group)])) / (1 + friction[k]);
                }
                moves.effect[s * m_lifts + k] = effect;
                most = std::max(most, std::abs(effect));
            }
            order.emplace_back(most, static_cast<int>(s));
        }
        if (order.size() > most_calm) {
            std::nth_element(order.begin(), order.begin() + most_calm, order.end());
            order.resize(most_calm);
        }
        moves.calm.clear();
        for (const auto& [most, s] : order) moves.calm.push_back(s);
        std::sort(moves.calm.begin(), moves.calm.end(), [&](int a, int b) {
            return std::pair(lastEffect(moves, at(a)), a) < std::pair(lastEffect(moves, at(b)), b);
        });
    }
    m_worth = worthOf(m_residual.data(), m_height, m_discs, m_changed);
    return true;
}

double StackDescent::worthOf(const double* residual, std::int64_t height, int discs, int changed) const {
    double worst = 0;
    for (std::size_t k = 0; k < m_lifts; ++k) worst = std::max(worst, m_weights[k] * std::abs(residual[k]));
    const SubstituteRules& rules = m_request.rules;
    const std::int64_t beyond = std::abs(height) - rules.height_tolerance.micrometres();
    if (beyond > 0) worst += per_broken_rule + static_cast<double>(beyond) / 1000;
    if (discs > rules.most_discs) worst += per_broken_rule + discs - rules.most_discs;
    const int most_changed = rules.most_discs_changed.value_or(changed);
    if (changed > most_changed) worst += per_broken_rule + changed - most_changed;
    return worst;
}

void StackDescent::set(std::size_t m, std::size_t index) {
    Moves& moves = m_moves[m];
    const GroupState &from = state(moves, moves.now), &to = state(moves, index);
    for (std::size_t k = 0; k < m_lifts; ++k)
        m_residual[k] += moves.effect[index * m_lifts + k] - moves.effect[moves.now * m_lifts + k];
    if (!m_frame.groups[at(moves.group)].ring) m_height += (to.thickness - from.thickness).micrometres();
    m_discs += to.discs - from.discs;
    m_changed += to.discs_changed - from.discs_changed;
    moves.now = index;
    m_worth = worthOf(m_residual.data(), m_height, m_discs, m_changed);
}

double StackDescent::lastEffect(const Moves& moves, std::size_t index) const {
    return moves.effect[(index + 1) * m_lifts - 1];
}

/// Those calm states of a group with which the last lift, `without` them at this residual, stays below the
/// limit.
std::span<const int> StackDescent::within(const Moves& moves, double without, double limit) const {
    const double most = limit / std::max(m_weights.back(), 1e-9);
    const auto below = [&](int s, double effect) { return lastEffect(moves, at(s)) < effect; };
    const auto above = [&](double effect, int s) { return effect < lastEffect(moves, at(s)); };
    const auto first = std::lower_bound(moves.calm.begin(), moves.calm.end(), -most - without, below);
    const auto end = std::upper_bound(first, moves.calm.end(), most - without, above);
    return {first, end};
}

bool StackDescent::improveOne(std::size_t m) {
    const Moves& moves = m_moves[m];
    const GroupState& from = state(moves, moves.now);
    const bool ring = m_frame.groups[at(moves.group)].ring;
    std::size_t best = moves.now;
    double least = m_worth - least_gain;
    std::vector<double> residual(m_lifts);
    for (std::size_t s = 0; s < moves.states.size(); ++s) {
        double worst = 0;
        for (std::size_t k = 0; k < m_lifts && worst < least; ++k) {
            residual[k] =
                m_residual[k] + moves.effect[s * m_lifts + k] - moves.effect[moves.now * m_lifts + k];
            worst = std::max(worst, m_weights[k] * std::abs(residual[k]));
        }
        if (worst >= least) continue;
        const GroupState& to = state(moves, s);
        const std::int64_t thicker = ring ? 0 : (to.thickness - from.thickness).micrometres();
        const double worth = worthOf(residual.data(), m_height + thicker, m_discs + to.discs - from.discs,
                                     m_changed + to.discs_changed - from.discs_changed);
        if (worth < least) {
            least = worth;
            best = s;
        }
    }
    if (best == moves.now) return false;
    set(m, best);
    return true;
}

bool StackDescent::improvePair(std::size_t a, std::size_t b) {
    const Moves &one = m_moves[a], &other = m_moves[b];
    const GroupState &from_one = state(one, one.now), &from_other = state(other, other.now);
    const bool ring_one = m_frame.groups[at(one.group)].ring,
               ring_other = m_frame.groups[at(other.group)].ring;
    std::pair<std::size_t, std::size_t> best{one.now, other.now};
    double least = m_worth - least_gain;
    std::vector<double> part(m_lifts), residual(m_lifts);
    for (const int s : one.calm) {
        const GroupState& to_one = state(one, at(s));
        for (std::size_t k = 0; k < m_lifts; ++k)
            part[k] = m_residual[k] + one.effect[at(s) * m_lifts + k] - one.effect[one.now * m_lifts + k] -
                      other.effect[other.now * m_lifts + k];
        const std::int64_t height =
            m_height + (ring_one ? 0 : (to_one.thickness - from_one.thickness).micrometres());
        for (const int t : within(other, part.back(), least)) {
            double worst = 0;
            for (std::size_t k = 0; k < m_lifts && worst < least; ++k) {
                residual[k] = part[k] + other.effect[at(t) * m_lifts + k];
                worst = std::max(worst, m_weights[k] * std::abs(residual[k]));
            }
            if (worst >= least) continue;
            const GroupState& to_other = state(other, at(t));
            const double worth =
                worthOf(residual.data(),
                        height + (ring_other ? 0 : (to_other.thickness - from_other.thickness).micrometres()),
                        m_discs + to_one.discs - from_one.discs + to_other.discs - from_other.discs,
                        m_changed + to_one.discs_changed - from_one.discs_changed + to_other.discs_changed -
                            from_other.discs_changed);
            if (worth < least) {
                least = worth;
                best = {at(s), at(t)};
            }
        }
    }
    if (best == std::pair(one.now, other.now)) return false;
    set(a, best.first);
    set(b, best.second);
    return true;
}

/// Those neighbours of the stack in hand, one group or two at other states, that the model finds best.
std::vector<StackDescent::Neighbour> StackDescent::bestNeighbours() const {
    const auto closer = [](const Neighbour& a, const Neighbour& b) { return a.worth < b.worth; };
    std::vector<Neighbour> best; // a heap, the worst in front
    std::vector<double> part(m_lifts), residual(m_lifts);
    const auto heightOf = [&](const Moves& moves, const GroupState& state) {
        return m_frame.groups[at(moves.group)].ring ? 0 : state.thickness.micrometres();
    };
    for (std::size_t a = 0; a < m_moves.size(); ++a) {
        const Moves& one = m_moves[a];
        const GroupState& from_one = state(one, one.now);
        for (const int s : one.calm) {
            const GroupState& to_one = state(one, at(s));
            for (std::size_t k = 0; k < m_lifts; ++k)
                part[k] = m_residual[k] + one.effect[at(s) * m_lifts + k] - one.effect[one.now * m_lifts + k];
            const std::int64_t height = m_height + heightOf(one, to_one) - heightOf(one, from_one);
            for (std::size_t b = a; b < m_moves.size(); ++b) {
                const Moves& other = m_moves[b];
                const GroupState& from_other = state(other, other.now);
                const auto consider = [&](std::size_t t) { // b == a: this group alone
                    const double limit = best.size() < most_tries ? per_broken_rule : best.front().worth;
                    double worst = 0;
                    for (std::size_t k = 0; k < m_lifts && worst < limit; ++k) {
                        residual[k] = part[k];
                        if (b > a) {
                            residual[k] +=
                                other.effect[t * m_lifts + k] - other.effect[other.now * m_lifts + k];
                        }
                        worst = std::max(worst, m_weights[k] * std::abs(residual[k]));
                    }
                    if (worst >= limit) return;
                    const GroupState& to_other = state(other, t);
                    std::int64_t higher = height;
                    int discs = m_discs + to_one.discs - from_one.discs;
                    int changed = m_changed + to_one.discs_changed - from_one.discs_changed;
                    if (b > a) {
                        higher += heightOf(other, to_other) - heightOf(other, from_other);
                        discs += to_other.discs - from_other.discs;
                        changed += to_other.discs_changed - from_other.discs_changed;
                    }
                    const double worth = worthOf(residual.data(), higher, discs, changed);
                    if (worth >= limit) return;
                    if (best.size() == most_tries) {
                        std::pop_heap(best.begin(), best.end(), closer);
                        best.pop_back();
                    }
                    best.push_back({worth, a, at(s), b, t});
                    std::push_heap(best.begin(), best.end(), closer);
                };
                if (b == a) {
                    if (at(s) != one.now) consider(one.now);
                    continue;
                }
                if (at(s) == one.now) continue; // the other one alone has its own turn
                const double limit = best.size() < most_tries ? per_broken_rule : best.front().worth;
                const double without = part.back() - lastEffect(other, other.now);
                for (const int t : within(other, without, limit)) {
                    if (at(t) != other.now) consider(at(t));
                }
            }
        }
    }
    std::sort_heap(best.begin(), best.end(), closer);
    return best;
}

/// Computes the neighbours that the model finds best, not the very best alone: so near the target it errs by
/// more than they differ. Goes on from what is closer, as long as there is any.
void StackDescent::polish(double& least, const Evaluate& evaluate, const std::function<bool()>& go_on) {
    std::set<std::vector<int>> tried;
    for (int round = 0; round < most_polishings && go_on() && linearize(); ++round) {
        std::vector<std::size_t> start, best;
        for (const Moves& moves : m_moves) start.push_back(moves.now);
        for (const Neighbour& neighbour : bestNeighbours()) {
            m_moves[neighbour.a].now = neighbour.s;
            if (neighbour.b != neighbour.a) m_moves[neighbour.b].now = neighbour.t;
            const bool fresh = tried.insert(stack()).second;
            const std::optional<double> found = fresh && go_on() ? evaluate(stack()) : std::nullopt;
            if (found && *found < least) {
                least = *found;
                best.clear();
                for (const Moves& moves : m_moves) best.push_back(moves.now);
            }
            for (std::size_t m = 0; m < m_moves.size(); ++m) m_moves[m].now = start[m];
        }
        if (best.empty()) return;
        for (std::size_t m = 0; m < m_moves.size(); ++m) m_moves[m].now = best[m];
    }
}

/// To where neither one group nor two can do better by the model.
bool StackDescent::improve() {
    bool any = false;
    for (bool again = true; again;) {
        again = false;
        for (std::size_t m = 0; m < m_moves.size(); ++m) again = improveOne(m) || again;
        any = any || again;
        if (again) continue;
        for (std::size_t a = 0; a < m_moves.size() && !again; ++a) {
            for (std::size_t b = a + 1; b < m_moves.size() && !again; ++b) again = improvePair(a, b);
        }
        any = any || again;
    }
    return any;
}

void StackDescent::run(const std::vector<int>& active, const std::vector<int>& unchanged,
                       const std::vector<int>& start_at, int shakes, bool closely, const Evaluate& evaluate,
                       const std::function<bool()>& go_on) {
    begin(active, unchanged);
    const bool fillable =
        std::all_of(m_moves.begin(), m_moves.end(), [](const Moves& moves) { return !moves.states.empty(); });
    if (m_moves.empty() || !fillable) return;
    for (Moves& moves : m_moves) {
        if (start_at.empty()) break;
        const auto place = std::find(moves.states.begin(), moves.states.end(), start_at[at(moves.group)]);
        if (place != moves.states.end()) moves.now = static_cast<std::size_t>(place - moves.states.begin());
    }
    // A fixed seed: the same request, the same stacks. From another start, other shakes.
    std::mt19937 random(start_at.empty() ? 1 : 2);
    std::vector<std::size_t> best;
    double least = 1e300, polished = 1e300;
    const auto remember = [&] {
        best.clear();
        for (const Moves& moves : m_moves) best.push_back(moves.now);
    };
    remember();
    int gained = 0; // by which start
    double known = 1e300;
    for (int start = 0; start <= shakes && start - gained <= patience && go_on(); ++start) {
        if (least < known - m_request.limits.gap) {
            known = least;
            gained = start;
        }
        if (start > 0) {
            for (std::size_t m = 0; m < m_moves.size(); ++m) m_moves[m].now = best[m];
            if (!linearize()) return;
            shake(random);
        }
        double here = 1e300;
        int astray = 0;
        for (int model = 0; model < most_models && go_on(); ++model) {
            if (!linearize()) break;
            const bool moved = improve();
            if (!moved && model > 0) break;
            if (m_worth >= per_broken_rule) continue; // no stack within the rules yet
            const std::optional<double> found = evaluate(stack());
            if (found && *found < least) {
                least = *found;
                remember();
            }
            if (!moved) break;
            // Models made where they led astray still correct each other for a while.
            astray = found && *found < here ? 0 : astray + 1;
            if (found) here = std::min(here, *found);
            if (astray == most_astray) break;
        }
        // Once, and of another start's best again.
        if (closely && least < polished && (start == 0 || start == shakes)) {
            for (std::size_t m = 0; m < m_moves.size(); ++m) m_moves[m].now = best[m];
            polish(least, evaluate, go_on);
            polished = least;
            remember();
        }
    }
}

} // namespace shimledger::planner
