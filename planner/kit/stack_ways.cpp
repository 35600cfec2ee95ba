// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/stack_ways.h"

#include "planner/stack/stack_text.h"
#include "planner/substitute/curve_judge.h"
#include "planner/substitute/target_curve.h"
#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <unordered_map>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

constexpr std::size_t few = 5; // lifts that the models know
using Few = std::array<double, few>;
constexpr int most_thicknesses = 3;                  // in one group
constexpr std::size_t most_states = 900;             // of a group at one OD
constexpr std::size_t beam_bins = 8, beam_each = 10; // partial stacks that are followed
constexpr std::size_t frames_followed = 3;           // whose stacks are computed
constexpr int most_rounds = 3;                       // of a model made anew where it led
constexpr double model_margin = 0.95;                // of the deviation allowed: models err
constexpr double peak_margin = 0.04;  // of the deviation allowed: between the lifts that are compared
constexpr double greatest_effect = 5; // of one group on the pressure, of the deviation allowed
constexpr double greatest_log = 2.5;  // how far a group's stiffness may change, as a logarithm

/// One way to fill a group.
struct State {
    std::vector<std::pair<int, int>> discs; ///< size, count; thinnest first
    Length thickness;
    int count = 0;
    double log_bending = 0, log_membrane = 0;
    GroupSums sums;
};

struct Frame {
    std::vector<Length> ods; ///< by group
    std::vector<GroupShape> shapes;
    bool ready = false, useless = false;
    Few ratio{};                                   ///< log of pressure over the wanted one, at the centre
    std::vector<std::pair<double, double>> centre; ///< by group: logs of the sums
    std::vector<std::array<Few, 2>> elasticity;    ///< by group: of bending and membrane
};

/// A stack of a frame: a state of each group.
struct Choice {
    std::size_t frame = 0;
    std::vector<int> states;
    double cost = 0;
};

} // namespace

struct StackWays::Parts {
    Parts(const StackSpec& wanted, const std::vector<DiscSize>& of_sizes, const WayRules& by_rules)
        : target(wanted), sizes(&of_sizes), rules(by_rules), groups(targetGroups(target)) {
        SubstituteRequest request;
        request.target = target;
        request.rules.working_lift_mm = rules.working_lift_mm;
        request.rules.regime = rules.regime;
        TargetCurveOrReason computed = computeTargetCurve(request);
        if (!computed.curve) {
            why = "its curve cannot be computed: " + computed.reason;
            return;
        }
        curve = std::move(*computed.curve);
        thinOut(*curve);
        const std::size_t last = curve->lifts_mm.size() - 1;
        for (std::size_t i = 0; i < few; ++i) few_at.push_back(i * last / (few - 1));
        findOwn();
        for (std::size_t g = 0; g < groups.size(); ++g) {
            if (statesOf(g, groups[g].od).empty() && odsOf(g).empty()) {
                why = "nothing that can be had in " + groups[g].od.text() +
                      " mm comes near the discs that it wants there";
                return;
            }
        }
        makeFrames();
    }

    /// One more lift between each two, and no search for peaks beyond those: what they could add is less than
    /// the margin (peak_margin), and it is three times as fast.
    static void thinOut(TargetCurve& curve) {
        TargetCurve thin = curve;
        thin.pressures_at = {};
        thin.between_mm.clear();
        thin.between_mpa.clear();
        thin.between_weights.clear();
        for (std::size_t i = 1; i < curve.between_mm.size(); i += 3) { // the middle one of three
            thin.between_mm.push_back(curve.between_mm[i]);
            thin.between_mpa.push_back(curve.between_mpa[i]);
            thin.between_weights.push_back(curve.between_weights[i]);
        }
        curve = std::move(thin);
    }

    void findOwn() {
        std::map<int, int> discs;
        for (std::size_t g = 0; g < groups.size(); ++g) {
            for (int row = groups[g].first_row; row < groups[g].first_row + groups[g].row_count; ++row) {
                const DiscRow& disc = target.rows()[at(row)];
                const auto found =
                    std::find(sizes->begin(), sizes->end(), DiscSize{disc.od, groups[g].id, disc.thickness});
                if (found == sizes->end()) return;
                discs[static_cast<int>(found - sizes->begin())] += disc.count;
            }
        }
        own.assign(discs.begin(), discs.end());
    }

    /// Other ODs that a group may stand at.
    [[nodiscard]] std::vector<Length> odsOf(std::size_t g) const {
        const TargetGroup& group = groups[g];
        std::set<Length> ods;
        if (group.ring || group.under_clamp || group.first_row == 0) return {};
        const Length reach =
            group.crossover ? std::min(rules.od_step, Length::fromMicrometres(1000)) : rules.od_step;
        for (const DiscSize& size : *sizes) {
            const Length distance = size.od > group.od ? size.od - group.od : group.od - size.od;
            if (size.id == group.id && size.od != group.od && distance <= reach &&
                size.od > target.valve().clamp_od)
                ods.insert(size.od);
        }
        return {ods.begin(), ods.end()};
    }

    const std::vector<State>& statesOf(std::size_t g, Length od) {
        const auto [place, is_new] = states.try_emplace({g, od});
        if (is_new) place->second = makeStates(groups[g], od);
        return place->second;
    }

    [[nodiscard]] std::vector<State> makeStates(const TargetGroup& group, Length od) const {
        std::vector<int> kinds;
        for (std::size_t i = 0; i < sizes->size(); ++i) {
            if ((*sizes)[i].od == od && (*sizes)[i].id == group.id) kinds.push_back(static_cast<int>(i));
        }
        std::sort(kinds.begin(), kinds.end(),
                  [&](int a, int b) { return (*sizes)[at(a)].thickness < (*sizes)[at(b)].thickness; });
        std::vector<State> made;
        State now;
        const Length least = group.crossover ? group.thickness : group.thickness - 2 * rules.height_tolerance;
        const Length most = group.crossover ? group.thickness : group.thickness + 2 * rules.height_tolerance;
        const int most_count = std::min(rules.most_discs, std::max(4, group.discs * 2 + 2));
        const double bending = group.bending_n_mm;
        const double membrane = group.elastic_modulus_mpa * group.thickness.millimetres();
        const auto fill = [&](auto&& self, std::size_t kind, int thicknesses) -> void {
            constexpr std::size_t enough = 40'000;
            if (made.size() >= enough) return;
            if (now.count > 0 && now.thickness >= least) {
                State state = now;
                state.log_bending = std::log(state.sums.bending_n_mm / bending);
                state.log_membrane = std::log(state.sums.membrane_n_per_mm / membrane);
                const bool near =
                    group.under_clamp || group.crossover || std::abs(state.log_bending) <= greatest_log;
                if (near) made.push_back(std::move(state));
            }
            if (thicknesses == most_thicknesses) return;
            for (std::size_t k = kind; k < kinds.size(); ++k) {
                const Length thickness = (*sizes)[at(kinds[k])].thickness;
                const State before = now;
                now.discs.emplace_back(kinds[k], 0);
                while (now.thickness + thickness <= most && now.count < most_count) {
                    now.thickness += thickness;
                    ++now.count;
                    ++now.discs.back().second;
                    const GroupSums one = sumsOf(1, thickness.millimetres(), group.elastic_modulus_mpa);
                    now.sums.thickness_mm += one.thickness_mm;
                    now.sums.bending_n_mm += one.bending_n_mm;
                    now.sums.membrane_n_per_mm += one.membrane_n_per_mm;
                    self(self, k + 1, thicknesses + 1);
                }
                now = before;
            }
        };
        fill(fill, 0, 0);
        if (made.size() > most_states) {
            // Of each stiffness the same share, fewest thicknesses and least change of thickness first.
            std::map<int, std::vector<std::size_t>> bins;
            constexpr double bin_width = 0.03;
            for (std::size_t i = 0; i < made.size(); ++i)
                bins[static_cast<int>(std::floor(made[i].log_bending / bin_width))].push_back(i);
            std::vector<State> kept;
            for (auto& [bin, members] : bins) {
                std::stable_sort(members.begin(), members.end(), [&](std::size_t a, std::size_t b) {
                    const auto rank = [&](const State& state) {
                        return std::tuple(state.discs.size(), std::abs(state.log_membrane), state.discs);
                    };
                    return rank(made[a]) < rank(made[b]);
                });
                constexpr int near_bins = 12; // most of what is looked for
                const std::size_t each = bin >= -near_bins && bin < near_bins ? 28 : 4;
                for (std::size_t i = 0; i < members.size() && i < each; ++i)
                    kept.push_back(std::move(made[members[i]]));
            }
            made = std::move(kept);
        }
        return made;
    }

    /// The target's order; and runs of neighbours that move in one direction together.
    void makeFrames() {
        std::vector<Length> own_ods;
        for (const TargetGroup& group : groups) own_ods.push_back(group.od);
        addFrame(own_ods);
        for (std::size_t first = 1; first < groups.size(); ++first) {
            for (const bool wider : {true, false}) {
                std::vector<std::vector<Length>> moved{own_ods};
                for (std::size_t g = first; g < groups.size(); ++g) {
                    std::vector<std::vector<Length>> next;
                    for (const Length od : odsOf(g)) {
                        if ((od > groups[g].od) != wider) continue;
                        for (std::vector<Length> ods : moved) {
                            ods[g] = od;
                            next.push_back(std::move(ods));
                        }
                    }
                    constexpr std::size_t most_of_one_run = 8;
                    if (next.empty() || next.size() > most_of_one_run) break;
                    for (const std::vector<Length>& ods : next) addFrame(ods);
                    moved = std::move(next);
                }
            }
        }
    }

    void addFrame(const std::vector<Length>& ods) {
        constexpr std::size_t most_frames = 60;
        if (frames.size() >= most_frames || !sameOrder(ods)) return;
        Frame frame;
        frame.ods = ods;
        frame.shapes = groupStack(target).shapes;
        for (std::size_t g = 0; g < ods.size(); ++g) {
            frame.shapes[g].outer_radius_mm = ods[g].millimetres() / 2;
            if (statesOf(g, ods[g]).empty()) return;
        }
        frames.push_back(std::move(frame));
    }

    /// Neighbours stay wider or narrower than each other, and no two become one group.
    [[nodiscard]] bool sameOrder(const std::vector<Length>& ods) const {
        for (std::size_t g = 1; g < ods.size(); ++g) {
            if (groups[g - 1].od == groups[g].od && ods[g - 1] == ods[g]) continue; // a ring on a disc
            if (ods[g - 1] == ods[g] || (groups[g - 1].od < groups[g].od) != (ods[g - 1] < ods[g]))
                return false;
        }
        return true;
    }

    /// The model of a frame about a stack as near to the curve as models find.
    void prepare(std::size_t f) {
        Frame& frame = frames[f];
        frame.ready = true;
        frame.useless = true;
        CurveJudge judge(target.valve(), frame.shapes, rules.regime, *curve);
        std::vector<GroupSums> sums;
        for (std::size_t g = 0; g < groups.size(); ++g) {
            const State* nearest = nullptr;
            double least = 0;
            for (const State& state : statesOf(g, frame.ods[g])) {
                const double off = std::abs(state.log_bending) + 0.3 * std::abs(state.log_membrane);
                if (nearest != nullptr && off >= least) continue;
                nearest = &state;
                least = off;
            }
            sums.push_back(nearest->sums);
        }
        constexpr int rounds = 3;
        double worst = std::numeric_limits<double>::infinity();
        Frame tried = frame;
        for (int round = 0; round < rounds; ++round) {
            if (!linearize(tried, judge, sums)) break;
            double off = 0;
            for (const double ratio : tried.ratio) off = std::max(off, std::abs(ratio));
            if (off >= worst) break;
            worst = off;
            frame.ratio = tried.ratio;
            frame.centre = tried.centre;
            frame.elasticity = tried.elasticity;
            if (off == 0 || round + 1 == rounds) break;
            const std::vector<GroupSums> next = nearestByModel(tried, off);
            if (next == sums) break;
            sums = next;
        }
        constexpr double hopeless = 4;
        frame.useless = !(worst <= hopeless * rules.within);
    }

    bool linearize(Frame& frame, CurveJudge& judge, const std::vector<GroupSums>& sums) const {
        std::vector<double> lifts, pressures(few);
        for (const std::size_t i : few_at) lifts.push_back(curve->lifts_mm[i]);
        std::vector<double> elasticities(few * 2 * groups.size());
        if (!judge.elasticities(sums, lifts, pressures, elasticities)) return false;
        frame.centre.assign(groups.size(), {});
        frame.elasticity.assign(groups.size(), {});
        for (std::size_t i = 0; i < few; ++i) {
            if (!(pressures[i] > 0)) return false;
            frame.ratio[i] = std::log(pressures[i] / curve->pressures_mpa[few_at[i]]);
            for (std::size_t g = 0; g < groups.size(); ++g) {
                for (std::size_t sum = 0; sum < 2; ++sum)
                    frame.elasticity[g][sum][i] = elasticities[i * 2 * groups.size() + 2 * g + sum];
            }
        }
        for (std::size_t g = 0; g < groups.size(); ++g) {
            const double membrane = groups[g].elastic_modulus_mpa * groups[g].thickness.millimetres();
            frame.centre[g] = {std::log(sums[g].bending_n_mm / groups[g].bending_n_mm),
                               std::log(sums[g].membrane_n_per_mm / membrane)};
        }
        return true;
    }

    /// What a state adds to the logarithm of the pressure, by the model.
    [[nodiscard]] static Few effect(const Frame& frame, std::size_t g, const State& state) {
        Few effect{};
        const double bending = state.log_bending - frame.centre[g].first;
        const double membrane = state.log_membrane - frame.centre[g].second;
        for (std::size_t i = 0; i < few; ++i)
            effect[i] = frame.elasticity[g][0][i] * bending + frame.elasticity[g][1][i] * membrane;
        return effect;
    }

    /// One group after the other goes to the state that brings the model nearest, twice round.
    std::vector<GroupSums> nearestByModel(const Frame& frame, double off) {
        std::vector<const State*> chosen(groups.size(), nullptr);
        Few total = frame.ratio;
        std::vector<Few> now(groups.size());
        for (int round = 0; round < 3; ++round) {
            for (std::size_t g = 0; g < groups.size(); ++g) {
                Few without = total;
                for (std::size_t i = 0; i < few; ++i) without[i] -= now[g][i];
                double least = std::numeric_limits<double>::infinity();
                for (const State& state : statesOf(g, frame.ods[g])) {
                    const Few add = effect(frame, g, state);
                    const bool far = std::any_of(add.begin(), add.end(), [&](double one) {
                        return std::abs(one) > std::max(greatest_effect * rules.within, 1.5 * off);
                    });
                    if (far && chosen[g] != nullptr) continue;
                    double worst = 0;
                    for (std::size_t i = 0; i < few; ++i)
                        worst = std::max(worst, std::abs(without[i] + add[i]));
                    // Of equals the one that changes least.
                    worst += 5e-3 * (std::abs(state.log_bending - frame.centre[g].first) +
                                     std::abs(state.log_membrane - frame.centre[g].second));
                    if (worst >= least) continue;
                    least = worst;
                    chosen[g] = &state;
                    now[g] = add;
                }
                for (std::size_t i = 0; i < few; ++i) total[i] = without[i] + now[g][i];
            }
        }
        std::vector<GroupSums> sums;
        for (const State* state : chosen) sums.push_back(state->sums);
        return sums;
    }

    /// The cheapest of a frame by its model, the cheapest first; at most `room` of them. No group may add
    /// more than `reach` to the logarithm of the pressure: models are good near their centre.
    ///
    /// Group by group, those with most effect first. Of partial stacks with much the same effect the cheapest
    /// is kept, and of all those some at every level of stiffness, as the cheapest tend to be those that no
    /// further group can make good.
    std::vector<Choice> searchFrame(std::size_t f, const Frame& frame, std::span<const double> prices,
                                    double reach, double margin, std::size_t room) {
        struct Option {
            int state = 0;
            double cost = 0;
            Few add{};
            std::int64_t thickness = 0;
            int count = 0;
        };
        struct Group {
            std::size_t group = 0;
            std::vector<Option> options; ///< cheapest first
            double least_cost = 0, breadth = 0;
            Few least{}, most{};
            std::int64_t thinnest = 0, thickest = 0;
        };
        std::vector<Group> order;
        for (std::size_t g = 0; g < groups.size(); ++g) {
            Group group;
            group.group = g;
            const std::vector<State>& all = statesOf(g, frame.ods[g]);
            for (std::size_t s = 0; s < all.size(); ++s) {
                Option option{static_cast<int>(s), 0, {}, 0, all[s].count};
                for (const auto& [size, count] : all[s].discs) {
                    if (prices[at(size)] < 0) option.cost = std::numeric_limits<double>::infinity();
                    option.cost += count * prices[at(size)];
                }
                if (!std::isfinite(option.cost)) continue;
                option.add = effect(frame, g, all[s]);
                const bool far = std::any_of(option.add.begin(), option.add.end(),
                                             [&](double add) { return std::abs(add) > reach; });
                if (far) continue; // others would have to make good too much
                if (!groups[g].ring)
                    option.thickness = (all[s].thickness - groups[g].thickness).micrometres();
                group.options.push_back(option);
            }
            if (group.options.empty()) return {};
            std::stable_sort(group.options.begin(), group.options.end(),
                             [](const Option& a, const Option& b) { return a.cost < b.cost; });
            order.push_back(std::move(group));
        }
        const double high = std::log1p(rules.within * margin), low = std::log1p(-rules.within * margin);
        const auto measure = [&] {
            for (Group& group : order) {
                group.least_cost = group.options.front().cost;
                group.least = group.most = group.options.front().add;
                group.thinnest = group.thickest = group.options.front().thickness;
                for (const Option& option : group.options) {
                    for (std::size_t i = 0; i < few; ++i) {
                        group.least[i] = std::min(group.least[i], option.add[i]);
                        group.most[i] = std::max(group.most[i], option.add[i]);
                    }
                    group.thinnest = std::min(group.thinnest, option.thickness);
                    group.thickest = std::max(group.thickest, option.thickness);
                }
                group.breadth = 0;
                for (std::size_t i = 0; i < few; ++i)
                    group.breadth = std::max(group.breadth, group.most[i] - group.least[i]);
            }
        };
        // States that the other groups cannot make up for go first.
        for (int round = 0; round < 2; ++round) {
            measure();
            for (Group& group : order) {
                std::erase_if(group.options, [&](const Option& option) {
                    for (std::size_t i = 0; i < few; ++i) {
                        double least = frame.ratio[i] + option.add[i], most = least;
                        for (const Group& other : order) {
                            if (&other == &group) continue;
                            least += other.least[i];
                            most += other.most[i];
                        }
                        if (least > high || most < low) return true;
                    }
                    return false;
                });
                if (group.options.empty()) return {};
            }
        }
        // Of states with the same effect the cheapest, of two that are as cheap the thinner.
        const double grain = rules.within / 5;
        const auto keyOf = [&](const Few& sum, std::int64_t thickness) {
            const auto cell = [&](double value) {
                return static_cast<std::int64_t>(std::floor(value / grain));
            };
            std::int64_t key = thickness / 100; // one number: cells are few, so none meet
            for (const std::size_t i : {std::size_t{0}, few / 2, few - 1}) key = key * 4099 + cell(sum[i]);
            return key;
        };
        for (Group& group : order) {
            std::set<std::int64_t> seen;
            std::erase_if(group.options, [&](const Option& option) {
                return !seen.insert(keyOf(option.add, option.thickness)).second;
            });
            constexpr std::size_t most_options = 100;
            if (group.options.size() > most_options) {
                // The cheapest, and of the rest some at all levels.
                std::vector<Option> kept(group.options.begin(), group.options.begin() + most_options / 2);
                const std::size_t rest = group.options.size() - most_options / 2;
                for (std::size_t i = 0; i < most_options / 2; ++i)
                    kept.push_back(group.options[most_options / 2 + i * rest / (most_options / 2)]);
                group.options = std::move(kept);
            }
        }
        measure();
        std::stable_sort(order.begin(), order.end(),
                         [](const Group& a, const Group& b) { return a.breadth > b.breadth; });
        // What is still to come, from each depth on.
        struct Rest {
            double cost = 0;
            Few least{}, most{};
            std::int64_t thinnest = 0, thickest = 0;
        };
        std::vector<Rest> rest(order.size() + 1);
        for (std::size_t d = order.size(); d-- > 0;) {
            rest[d] = rest[d + 1];
            rest[d].cost += order[d].least_cost;
            rest[d].thinnest += order[d].thinnest;
            rest[d].thickest += order[d].thickest;
            for (std::size_t i = 0; i < few; ++i) {
                rest[d].least[i] += order[d].least[i];
                rest[d].most[i] += order[d].most[i];
            }
        }
        struct Partial {
            double cost = 0;
            Few sum{};
            std::int64_t thickness = 0;
            int count = 0, from = -1, option = -1;
        };
        const std::int64_t height = rules.height_tolerance.micrometres();
        std::vector<std::vector<Partial>> levels{{Partial{0, frame.ratio, 0, 0, -1, -1}}};
        for (std::size_t depth = 0; depth < order.size(); ++depth) {
            std::vector<Partial> next;
            std::unordered_map<std::int64_t, std::size_t> cheapest_of;
            cheapest_of.reserve(levels.back().size() * order[depth].options.size());
            const Rest& later = rest[depth + 1];
            const bool last = depth + 1 == order.size();
            for (std::size_t p = 0; p < levels.back().size(); ++p) {
                const Partial& now = levels.back()[p];
                for (std::size_t o = 0; o < order[depth].options.size(); ++o) {
                    const Option& option = order[depth].options[o];
                    const std::int64_t thickness = now.thickness + option.thickness;
                    if (thickness + later.thinnest > height || thickness + later.thickest < -height ||
                        now.count + option.count > rules.most_discs)
                        continue;
                    Partial made{now.cost + option.cost,
                                 now.sum,
                                 thickness,
                                 now.count + option.count,
                                 static_cast<int>(p),
                                 static_cast<int>(o)};
                    bool possible = true;
                    for (std::size_t i = 0; i < few && possible; ++i) {
                        made.sum[i] += option.add[i];
                        possible = made.sum[i] + later.least[i] <= high && made.sum[i] + later.most[i] >= low;
                    }
                    if (!possible) continue;
                    const auto [place, is_new] =
                        cheapest_of.try_emplace(keyOf(made.sum, thickness), next.size());
                    if (is_new || last) // at the end all of them
                        next.push_back(made);
                    else if (made.cost < next[place->second].cost)
                        next[place->second] = made;
                }
            }
            if (next.empty()) return {};
            if (!last) {
                // Some of every level of stiffness, the cheapest of each.
                const double bottom = low - later.most[few / 2], top = high - later.least[few / 2];
                std::array<std::vector<std::size_t>, beam_bins> bins;
                for (std::size_t i = 0; i < next.size(); ++i) {
                    const double part = (next[i].sum[few / 2] - bottom) / std::max(1e-12, top - bottom);
                    bins[std::min(beam_bins - 1, static_cast<std::size_t>(std::max(0.0, part) * beam_bins))]
                        .push_back(i);
                }
                std::vector<Partial> kept;
                for (auto& bin : bins) {
                    const std::size_t each = std::min(beam_each, bin.size());
                    std::partial_sort(bin.begin(), bin.begin() + static_cast<std::ptrdiff_t>(each), bin.end(),
                                      [&](std::size_t a, std::size_t b) {
                                          return std::pair(next[a].cost, a) < std::pair(next[b].cost, b);
                                      });
                    for (std::size_t i = 0; i < each; ++i) kept.push_back(next[bin[i]]);
                }
                next = std::move(kept);
            }
            levels.push_back(std::move(next));
        }
        std::vector<std::size_t> ends(levels.back().size());
        for (std::size_t i = 0; i < ends.size(); ++i) ends[i] = i;
        std::stable_sort(ends.begin(), ends.end(), [&](std::size_t a, std::size_t b) {
            return levels.back()[a].cost < levels.back()[b].cost;
        });
        std::vector<Choice> found;
        for (const std::size_t end : ends) {
            if (found.size() == room) break;
            Choice choice{f, std::vector<int>(groups.size(), 0), levels.back()[end].cost};
            std::size_t place = end;
            for (std::size_t depth = order.size(); depth-- > 0;) {
                const Partial& partial = levels[depth + 1][place];
                choice.states[order[depth].group] = order[depth].options[at(partial.option)].state;
                place = at(partial.from);
            }
            found.push_back(std::move(choice));
        }
        return found;
    }

    CurveJudge& judgeOf(std::size_t f) {
        return judges.try_emplace(f, target.valve(), frames[f].shapes, rules.regime, *curve).first->second;
    }

    [[nodiscard]] std::vector<GroupSums> sumsOfChoice(const Choice& choice) {
        std::vector<GroupSums> sums;
        for (std::size_t g = 0; g < groups.size(); ++g)
            sums.push_back(statesOf(g, frames[choice.frame].ods[g])[at(choice.states[g])].sums);
        return sums;
    }

    [[nodiscard]] StackWay wayOf(const Choice& choice) {
        StackWay way;
        std::map<int, int> discs;
        for (std::size_t g = 0; g < groups.size(); ++g) {
            const State& state = statesOf(g, frames[choice.frame].ods[g])[at(choice.states[g])];
            const DiscRow& like = target.rows()[at(groups[g].first_row)];
            for (const auto& [size, count] : state.discs) {
                discs[size] += count;
                DiscRow row = like;
                row.count = count;
                row.od = (*sizes)[at(size)].od;
                row.thickness = (*sizes)[at(size)].thickness;
                way.rows.push_back(row);
            }
        }
        way.discs.assign(discs.begin(), discs.end());
        return way;
    }

    /// The deviation over the whole range; none where it is more than is allowed.
    std::optional<double> verify(const Choice& choice) {
        const auto key = std::pair(choice.frame, choice.states);
        const auto known = verified.find(key);
        if (known != verified.end()) return known->second;
        const std::vector<GroupSums> sums = sumsOfChoice(choice);
        const CurveJudge::Verdict verdict =
            judgeOf(choice.frame).weigh({sums, {}}, rules.within * (1 - peak_margin));
        std::optional<double> deviation;
        if (verdict.kind == CurveJudge::Verdict::Kind::measured) deviation = verdict.deviation;
        verified.emplace(key, deviation);
        return deviation;
    }

    StackSpec target;
    const std::vector<DiscSize>* sizes;
    WayRules rules;
    std::vector<TargetGroup> groups;
    std::optional<TargetCurve> curve;
    std::vector<std::size_t> few_at;
    std::vector<std::pair<int, int>> own;
    std::string why;
    std::map<std::pair<std::size_t, Length>, std::vector<State>> states;
    std::vector<Frame> frames;
    std::map<std::pair<std::size_t, std::vector<int>>, std::optional<double>> verified;
    std::map<std::size_t, CurveJudge> judges; ///< by frame, while stacks are verified
};

StackWays::StackWays(const StackSpec& target, const std::vector<DiscSize>& sizes, const WayRules& rules)
    : m_parts(std::make_unique<Parts>(target, sizes, rules)) {}
StackWays::~StackWays() = default;
StackWays::StackWays(StackWays&&) noexcept = default;
StackWays& StackWays::operator=(StackWays&&) noexcept = default;

const std::string& StackWays::why() const {
    return m_parts->why;
}

const std::vector<std::pair<int, int>>& StackWays::ownDiscs() const {
    return m_parts->own;
}

std::vector<StackWay> StackWays::cheapest(std::span<const double> prices, int count) {
    Parts& parts = *m_parts;
    if (!parts.curve || !parts.why.empty()) return {};
    const auto wanted = static_cast<std::size_t>(count);
    constexpr std::size_t room = 6, enough = 2; // stacks of one frame and round: tried, and found good
    const auto cheaper = [](const Choice& a, const Choice& b) {
        return std::tie(a.cost, a.frame, a.states) < std::tie(b.cost, b.frame, b.states);
    };
    std::vector<std::vector<Choice>> by_frame;
    for (std::size_t f = 0; f < parts.frames.size(); ++f) {
        if (!parts.frames[f].ready) parts.prepare(f);
        if (parts.frames[f].useless) continue;
        std::vector<Choice> found = parts.searchFrame(
            f, parts.frames[f], prices, greatest_effect * parts.rules.within, model_margin, room);
        if (!found.empty()) by_frame.push_back(std::move(found));
    }
    // The target's own order of ODs, whose model is the best, and the cheapest of the others.
    std::stable_sort(by_frame.begin(), by_frame.end(), [&](const auto& a, const auto& b) {
        if ((a.front().frame == 0) != (b.front().frame == 0)) return a.front().frame == 0;
        return cheaper(a.front(), b.front());
    });
    std::vector<Choice> good;
    for (std::size_t i = 0; i < by_frame.size() && i < frames_followed; ++i) {
        std::vector<Choice> candidates = std::move(by_frame[i]);
        const std::size_t frame = candidates.front().frame;
        Frame moved = parts.frames[frame];
        double reach = greatest_effect * parts.rules.within, margin = model_margin;
        std::optional<Choice> best;
        for (int round = 0; round < most_rounds && !candidates.empty(); ++round) {
            bool news = false;
            std::size_t found_good = 0;
            for (const Choice& choice : candidates) {
                if (found_good == enough) break;
                const bool known = std::any_of(good.begin(), good.end(), [&](const Choice& one) {
                    return one.frame == choice.frame && one.states == choice.states;
                });
                if (known || !parts.verify(choice)) continue;
                good.push_back(choice);
                ++found_good;
                news = news || !best || choice.cost < best->cost;
                if (!best || choice.cost < best->cost) best = choice;
            }
            if (round + 1 == most_rounds) break;
            if (best && !news) { // what is cheaper is not quite near enough
                margin *= 0.85;
            } else if (best) { // the model is made anew where it led
                moved = parts.frames[best->frame];
                if (!parts.linearize(moved, parts.judgeOf(best->frame), parts.sumsOfChoice(*best))) break;
            } else { // it led astray: nearer by
                constexpr double nearer = 2.5;
                reach /= nearer;
            }
            candidates = parts.searchFrame(frame, moved, prices, reach, margin, room);
        }
    }
    std::sort(good.begin(), good.end(), cheaper);
    std::vector<StackWay> ways;
    std::set<std::vector<std::pair<int, int>>> seen;
    for (const Choice& choice : good) {
        if (ways.size() >= wanted) break;
        StackWay way = parts.wayOf(choice);
        way.deviation = *parts.verify(choice);
        if (seen.insert(way.discs).second) ways.push_back(std::move(way));
    }
    parts.judges.clear(); // each takes a megabyte
    return ways;
}

} // namespace shimledger::planner
