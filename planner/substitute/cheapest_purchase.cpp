// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/cheapest_purchase.h"

#include "planner/substitute/search_frames.h"
#include "planner/substitute/staged_search.h"
#include "planner/substitute/target_curve.h"
#include "planner/substitute/target_groups.h"
#include "planner/substitute/usable_stock.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <limits>
#include <map>
#include <numeric>
#include <queue>
#include <set>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr const char* bought_bin = "to be bought";

/// How many packs of each offer.
using Packs = std::vector<std::int64_t>;

SubstituteRequest withPacks(SubstituteRequest request, const std::vector<PackOffer>& offers,
                            const Packs& packs) {
    for (std::size_t i = 0; i < offers.size(); ++i) {
        if (packs[i] == 0) continue;
        request.stock.push_back({bought_bin,
                                 offers[i].part,
                                 offers[i].od,
                                 offers[i].id,
                                 offers[i].thickness,
                                 {},
                                 false,
                                 packs[i] * offers[i].pack_size,
                                 std::numeric_limits<std::int64_t>::max(),
                                 0});
    }
    return request;
}

/// The groups that nothing can fill for all legs, each looked at by itself.
std::set<std::size_t> emptyGroups(const SubstituteRequest& request) {
    const std::size_t count = targetGroups(*request.target).size();
    std::set<std::size_t> empty;
    for (std::size_t g = 0; g < count; ++g) empty.insert(g);
    for (const UsableStock& stock : usableStocks(request)) {
        for (const SearchFrame& frame : searchFrames(request, stock, 1, [] { return true; }).frames) {
            std::erase_if(empty, [&](std::size_t g) { return !frame.choices[g]->states.empty(); });
        }
    }
    return empty;
}

constexpr std::int64_t any_number = 1'000'000'000;

/// Purchases in the order of their cost, until one does what is asked or the user has had enough.
template <class Does>
std::optional<Packs> cheapest(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                              const std::vector<std::size_t>& useful, int& tries_left, Does&& does,
                              std::int64_t most_packs = any_number) {
    const std::int64_t most_discs = static_cast<std::int64_t>(request.rules.most_discs) * request.legs;
    struct Entry {
        std::int64_t cost;
        std::size_t last; // packs are added in the order of the offers, so that each purchase comes up once
        Packs packs;
        bool operator>(const Entry& other) const {
            return std::tie(cost, last, packs) > std::tie(other.cost, other.last, other.packs);
        }
    };
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    open.push({0, 0, Packs(offers.size(), 0)});
    while (!open.empty() && tries_left-- > 0) {
        if (request.progress && !request.progress({})) return std::nullopt;
        const Entry entry = open.top();
        open.pop();
        if (entry.cost > 0 && does(entry.packs)) return entry.packs;
        if (std::accumulate(entry.packs.begin(), entry.packs.end(), std::int64_t{0}) >= most_packs) continue;
        for (std::size_t u = entry.last; u < useful.size(); ++u) {
            const PackOffer& offer = offers[useful[u]];
            if (entry.packs[useful[u]] * offer.pack_size >= most_discs) continue; // more cannot be used
            Entry next = entry;
            next.cost += offer.pack_price;
            next.last = u;
            ++next.packs[useful[u]];
            open.push(std::move(next));
        }
    }
    return std::nullopt;
}

std::int64_t costOf(const std::vector<PackOffer>& offers, const Packs& packs) {
    std::int64_t cost = 0;
    for (std::size_t i = 0; i < offers.size(); ++i) cost += packs[i] * offers[i].pack_price;
    return cost;
}

Purchase purchaseOf(const std::vector<PackOffer>& offers, const Packs& packs, bool proved) {
    Purchase purchase{{}, costOf(offers, packs), proved};
    for (std::size_t i = 0; i < packs.size(); ++i) {
        if (packs[i] > 0) purchase.lines.push_back({i, packs[i]});
    }
    return purchase;
}

/// Offers that could fill a group under the rules.
std::vector<std::size_t> usefulFor(const TargetGroup& group, const SubstituteRules& rules,
                                   const std::vector<PackOffer>& offers) {
    const Length reach = odReach(rules, group);
    std::vector<std::size_t> useful;
    for (std::size_t i = 0; i < offers.size(); ++i) {
        const PackOffer& offer = offers[i];
        const bool near = offer.od >= group.od - reach && offer.od <= group.od + reach;
        if (near && offer.id == group.id && offer.pack_size > 0 && offer.pack_price > 0) useful.push_back(i);
    }
    return useful;
}

/// Offers that could fill any group.
std::vector<std::size_t> usefulAtAll(const SubstituteRequest& request, const std::vector<PackOffer>& offers) {
    std::set<std::size_t> useful;
    for (const TargetGroup& group : targetGroups(*request.target)) {
        for (const std::size_t i : usefulFor(group, request.rules, offers)) useful.insert(i);
    }
    return {useful.begin(), useful.end()};
}

/// Where two groups may take a lot that was read, which of them does is not tried in every way.
bool lotsMayChangePlaces(const SubstituteRequest& request) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    return std::any_of(request.stock.begin(), request.stock.end(), [&](const StockItem& lot) {
        const auto takers = std::count_if(groups.begin(), groups.end(), [&](const TargetGroup& group) {
            return group.id == lot.id &&
                   std::abs((group.od - lot.od).micrometres()) <= odReach(request.rules, group).micrometres();
        });
        return lot.measured && takers > 1;
    });
}

/// Looks for a stack as near as that.
class Reach {
public:
    Reach(double within, double most_seconds)
        : m_within(within), m_start(std::chrono::steady_clock::now()), m_most_seconds(most_seconds) {}

    enum class Answer { yes, no, unknown };

    [[nodiscard]] double secondsLeft() const {
        const std::chrono::duration<double> gone = std::chrono::steady_clock::now() - m_start;
        return m_most_seconds - gone.count();
    }

    /// `stack`, where it is asked for: how many discs of each size one leg takes.
    [[nodiscard]] Answer ask(SubstituteRequest request, double most_seconds,
                             std::map<std::tuple<Length, Length, Length>, std::int64_t>* stack = nullptr) {
        request.limits.seconds = std::min(most_seconds, secondsLeft());
        TargetCurveOrReason target = computeTargetCurve(request);
        if (request.limits.seconds <= 0 || !target.curve) return Answer::unknown;
        StagedSearch search(request, std::move(*target.curve), StagedSearch::Aim::closest);
        search.stopAt(m_within);
        search.run();
        const EvaluatedStack* best = search.record().bestIn(SearchGoal::closest);
        if (best && best->deviation <= m_within) {
            const SearchFrame& frame = search.frame(best->frame);
            for (std::size_t g = 0; stack && g < frame.groups.size(); ++g) {
                const auto& state = frame.choices[g]->states[static_cast<std::size_t>(best->state[g])];
                for (std::size_t k = 0; k < state.counts.size(); ++k)
                    (*stack)[{frame.groups[g].od, frame.groups[g].id, frame.kinds[g][k].thickness}] +=
                        state.counts[k];
            }
            return Answer::yes;
        }
        return search.proved() && !lotsMayChangePlaces(request) ? Answer::no : Answer::unknown;
    }

private:
    double m_within;
    std::chrono::steady_clock::time_point m_start;
    double m_most_seconds;
};

/// The packs, of each size the cheapest offer, that a stack needs besides the drawers.
std::optional<Packs> packsFor(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                              const std::vector<std::size_t>& useful,
                              const std::map<std::tuple<Length, Length, Length>, std::int64_t>& stack) {
    const UsableStock drawers(request, {});
    Packs packs(offers.size(), 0);
    for (const auto& [size, count] : stack) {
        const auto [od, id, thickness] = size;
        const std::int64_t lacking = count * request.legs - drawers.pieces(od, id, thickness);
        if (lacking <= 0) continue;
        std::optional<std::size_t> best;
        std::int64_t least = 0;
        for (const std::size_t i : useful) {
            const PackOffer& offer = offers[i];
            if (offer.od != od || offer.id != id || offer.thickness != thickness) continue;
            const std::int64_t cost = (lacking + offer.pack_size - 1) / offer.pack_size * offer.pack_price;
            if (best && cost >= least) continue;
            best = i;
            least = cost;
        }
        if (!best) return std::nullopt;
        packs[*best] += (lacking + offers[*best].pack_size - 1) / offers[*best].pack_size;
    }
    return packs;
}

} // namespace

NearPurchase cheapestPurchaseWithin(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                                    double within, int most_packs, double most_seconds) {
    constexpr int most_tries = 5000;
    const double seconds_of_one = std::max(0.2, most_seconds / 20);
    Reach reach(within, most_seconds);
    if (reach.ask(request, seconds_of_one) == Reach::Answer::yes) return {Purchase{{}, 0, true}, false};
    const std::vector<std::size_t> useful = usefulAtAll(request, offers);
    Packs all(offers.size(), 0);
    for (const std::size_t i : useful) all[i] = most_packs;
    std::map<std::tuple<Length, Length, Length>, std::int64_t> stack;
    const auto with_all = reach.ask(withPacks(request, offers, all), 5 * seconds_of_one, &stack);
    if (with_all == Reach::Answer::no) return {std::nullopt, true};
    // What that stack takes would do, if it is few packs; what is cheaper is tried.
    std::optional<Packs> seen;
    if (with_all == Reach::Answer::yes) seen = packsFor(request, offers, useful, stack);
    if (seen && std::accumulate(seen->begin(), seen->end(), std::int64_t{0}) > most_packs) seen.reset();
    if (seen && reach.ask(withPacks(request, offers, *seen), 5 * seconds_of_one) != Reach::Answer::yes)
        seen.reset(); // lots of other readings came first
    bool all_known = true, out_of_time = false, dearer = false;
    int tries = most_tries;
    const auto packs = cheapest(
        request, offers, useful, tries,
        [&](const Packs& bought) {
            dearer = seen && costOf(offers, bought) >= costOf(offers, *seen);
            out_of_time = reach.secondsLeft() <= 0;
            if (dearer || out_of_time) return true; // the end of it
            const auto answer = reach.ask(withPacks(request, offers, bought), seconds_of_one);
            all_known = all_known && answer != Reach::Answer::unknown;
            return answer == Reach::Answer::yes;
        },
        most_packs);
    if (packs && !out_of_time && !dearer) return {purchaseOf(offers, *packs, all_known), false};
    if (seen) return {purchaseOf(offers, *seen, all_known && dearer), false};
    return {};
}

std::optional<Purchase> cheapestPurchase(const SubstituteRequest& request,
                                         const std::vector<PackOffer>& offers, int most_tries) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    const std::set<std::size_t> empty = emptyGroups(request);
    if (empty.empty() && anyStackPossible(request).value_or(false)) return Purchase{{}, 0, true};
    int tries = most_tries;
    // Each empty group must be filled, and where no two draw on one offer their cheapest fillings add up to
    // the least that any purchase can cost.
    Packs all(offers.size(), 0);
    std::set<std::size_t> taken;
    bool separate = !empty.empty();
    for (const std::size_t g : empty) {
        const std::vector<std::size_t> useful = usefulFor(groups[g], request.rules, offers);
        for (const std::size_t i : useful) separate = taken.insert(i).second && separate;
        const auto packs = cheapest(request, offers, useful, tries, [&](const Packs& bought) {
            return !emptyGroups(withPacks(request, offers, bought)).contains(g);
        });
        if (!packs) return std::nullopt; // this one alone stays empty
        for (std::size_t i = 0; i < all.size(); ++i) all[i] += (*packs)[i];
    }
    if (!empty.empty() && anyStackPossible(withPacks(request, offers, all)).value_or(false))
        return purchaseOf(offers, all, separate);
    // The rules on the whole stack, or groups that share discs, ask for more: look at all offers together.
    const auto packs =
        cheapest(request, offers, usefulAtAll(request, offers), tries, [&](const Packs& bought) {
            const SubstituteRequest later = withPacks(request, offers, bought);
            return emptyGroups(later).empty() && anyStackPossible(later).value_or(false);
        });
    if (!packs) return std::nullopt;
    return purchaseOf(offers, *packs, true);
}

} // namespace shimledger::planner
