#include "app/services/leg_deal.h"

#include "inventory/part_catalogue.h"
#include "inventory/stock_history.h"
#include "planner/substitute/leg_split.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

namespace shimledger::services {

namespace {

using Lot = std::tuple<std::string, std::string, bool>; // part, bin, used

Lot lotOf(const PickLine& line) {
    return {line.part, line.bin, line.used};
}

/// Pieces by lot that the reservation in force began with and that have left it since.
std::map<Lot, std::int64_t> goneSinceReserved(const inventory::ShopFile& shop, const std::string& job) {
    using inventory::MovementKind;
    std::map<Lot, std::int64_t> gone;
    std::int64_t reserved = 0;
    for (const inventory::LedgerEntry& entry : inventory::StockHistory(shop).ofJob(job)) {
        if (entry.reversed_by || entry.reverses) continue; // the two cancel
        if (entry.kind == MovementKind::reserve && reserved == 0) gone.clear();
        reserved += entry.reserved_change;
        if (entry.reserved_change < 0) {
            gone[{entry.part, entry.bin, entry.condition == inventory::Condition::used}] -=
                entry.reserved_change;
        }
    }
    return gone;
}

std::optional<Length> readingOf(const inventory::StockSnapshot& snapshot, const Lot& lot) {
    for (const inventory::StockLot& held : snapshot.lots) {
        if (Lot(held.part, held.bin, held.condition == inventory::Condition::used) == lot && held.measured)
            return held.measured->mean;
    }
    return {};
}

std::int64_t placeOf(const inventory::StockSnapshot& snapshot, const std::string& bin) {
    for (const inventory::StockLot& held : snapshot.lots) {
        if (held.bin == bin) return held.walking_order;
    }
    return 0;
}

/// Shares the pieces of one purpose out: as evenly as what each leg still gets from the lot allows, what is
/// left over to the leg that gets most of the lot yet.
std::vector<std::int64_t> shareOut(std::int64_t quantity, std::vector<std::int64_t>& of_lot) {
    const auto legs = static_cast<std::int64_t>(of_lot.size());
    std::vector<std::int64_t> share;
    for (std::int64_t& left : of_lot) {
        share.push_back(std::min(left, quantity / legs));
        left -= share.back();
    }
    std::int64_t rest = quantity - std::accumulate(share.begin(), share.end(), std::int64_t{0});
    for (; rest > 0; --rest) {
        const auto most = std::max_element(of_lot.begin(), of_lot.end());
        --*most;
        ++share[static_cast<std::size_t>(most - of_lot.begin())];
    }
    return share;
}

/// Seals, fluids and the like: evenly, the first legs get what is left over.
std::vector<std::int64_t> evenShare(std::int64_t quantity, int legs) {
    std::vector<std::int64_t> share(static_cast<std::size_t>(legs), quantity / legs);
    for (std::int64_t leg = 0; leg < quantity % legs; ++leg) ++share[static_cast<std::size_t>(leg)];
    return share;
}

} // namespace

void dealToLegs(inventory::ShopFile& shop, const std::string& job, int legs,
                const inventory::StockSnapshot& snapshot, std::vector<PickLine>& lines) {
    const inventory::PartCatalogue catalogue(shop);
    const std::map<Lot, std::int64_t> gone = goneSinceReserved(shop, job);
    std::map<Lot, std::int64_t> pieces = gone;
    for (const PickLine& line : lines) {
        if (line.shim) pieces[lotOf(line)] += line.quantity;
    }
    std::map<Lot, std::size_t> place;
    std::vector<planner::LegLot> lots;
    for (const auto& [lot, quantity] : pieces) {
        const auto& [code, bin, used] = lot;
        const inventory::Part part = catalogue.get(code);
        if (part.kind != inventory::PartKind::shim || !part.od || !part.thickness) continue;
        place[lot] = lots.size();
        lots.push_back({*part.od, *part.thickness, readingOf(snapshot, lot).value_or(*part.thickness), bin,
                        code, used, placeOf(snapshot, bin), quantity});
    }
    planner::dealToLegs(lots, legs);
    for (const auto& [lot, quantity] : gone) {
        if (place.contains(lot)) shareOut(quantity, lots[place.at(lot)].per_leg);
    }
    for (PickLine& line : lines) {
        line.per_leg = line.shim ? shareOut(line.quantity, lots[place.at(lotOf(line))].per_leg)
                                 : evenShare(line.quantity, legs);
    }
}

} // namespace shimledger::services
