#include "planner/substitute/cheapest_purchase.h"

#include "planner/substitute/search_frames.h"
#include "planner/substitute/staged_search.h"
#include "planner/substitute/target_groups.h"
#include "planner/substitute/usable_stock.h"

#include <algorithm>
#include <limits>
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

/// Purchases in the order of their cost, until one does what is asked or the user has had enough.
template <class Does>
std::optional<Packs> cheapest(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                              const std::vector<std::size_t>& useful, int& tries_left, Does&& does) {
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

} // namespace

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
    std::set<std::size_t> useful_at_all;
    for (const TargetGroup& group : groups) {
        for (const std::size_t i : usefulFor(group, request.rules, offers)) useful_at_all.insert(i);
    }
    const auto packs = cheapest(
        request, offers, {useful_at_all.begin(), useful_at_all.end()}, tries, [&](const Packs& bought) {
            const SubstituteRequest later = withPacks(request, offers, bought);
            return emptyGroups(later).empty() && anyStackPossible(later).value_or(false);
        });
    if (!packs) return std::nullopt;
    return purchaseOf(offers, *packs, true);
}

} // namespace shimledger::planner
