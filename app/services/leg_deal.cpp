// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/leg_deal.h"

#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_history.h"
#include "inventory/thickness_reading.h"
#include "planner/substitute/leg_split.h"

#include <algorithm>
#include <compare>
#include <map>
#include <numeric>
#include <optional>
#include <tuple>
#include <utility>

namespace shimledger::services {

namespace {

using inventory::Condition;

/// What of the drawers goes into one pick line, in the order of a pick list.
struct LineKey {
    std::int64_t walking_order = 0;
    std::string bin, part;
    bool used = false;
    std::string wanted_part; ///< the part itself where it stands in for none

    auto operator<=>(const LineKey&) const = default;
};

/// One lot may serve several purposes, a line each.
using Lot = std::tuple<std::string, std::string, bool>; // part, bin, used

Lot lotOf(const LineKey& key) {
    return {key.part, key.bin, key.used};
}

/// The reservation in force, as its own movements tell it: what has left it since it was made, and when that
/// was. Nothing of it depends on what the drawers hold by now.
struct Made {
    std::map<LineKey, std::int64_t> gone;
    std::optional<inventory::UtcTime> at;
};

Made reservationInForce(inventory::ShopFile& shop, const std::string& job, const inventory::BinList& bins) {
    using inventory::MovementKind;
    Made made;
    std::int64_t reserved = 0;
    for (const inventory::LedgerEntry& entry : inventory::StockHistory(shop).ofJob(job)) {
        if (entry.reversed_by || entry.reverses) continue; // the two cancel
        if (entry.kind == MovementKind::reserve && reserved == 0) made = {{}, entry.utc};
        reserved += entry.reserved_change;
        if (entry.reserved_change < 0) {
            made.gone[{bins.get(entry.bin).walking_order, entry.bin, entry.part,
                       entry.condition == Condition::used,
                       entry.wanted_part.empty() ? entry.part : entry.wanted_part}] -= entry.reserved_change;
        }
    }
    return made;
}

/// The mean of what was read of the lot when it was reserved: a drawer that was pulled empty, or is measured
/// again, must not turn the legs of what is left.
std::optional<Length> readingOf(const inventory::ShopFile& shop, const Lot& lot,
                                const std::optional<inventory::UtcTime>& until) {
    const auto& [part, bin, used] = lot;
    std::int64_t sum = 0;
    std::int64_t readings = 0;
    for (const auto& reading : inventory::readingsOfPart(shop, part)) {
        if (reading.bin != bin || (reading.condition == Condition::used) != used) continue;
        if (until && *until < reading.utc) continue;
        sum += reading.reading.micrometres();
        ++readings;
    }
    if (readings == 0) return {};
    return Length::fromMicrometres((2 * sum + readings) / (2 * readings)); // as a snapshot rounds it
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

void dealToLegs(inventory::ShopFile& shop, const std::string& job, int legs, std::vector<PickLine>& lines) {
    const inventory::PartCatalogue catalogue(shop);
    const Made made = reservationInForce(shop, job, inventory::BinList(shop));
    const auto keyOf = [](const PickLine& line) {
        return LineKey{line.walking_order, line.bin, line.part, line.used,
                       line.wanted_part.empty() ? line.part : line.wanted_part};
    };
    std::map<LineKey, std::int64_t> pieces = made.gone;
    for (const PickLine& line : lines) {
        if (line.shim) pieces[keyOf(line)] += line.quantity;
    }
    std::map<Lot, std::size_t> place;
    std::vector<planner::LegLot> lots;
    for (const auto& [key, quantity] : pieces) {
        const inventory::Part part = catalogue.get(key.part);
        if (part.kind != inventory::PartKind::shim || !part.od || !part.thickness) continue;
        const auto [known, is_new] = place.emplace(lotOf(key), lots.size());
        if (is_new) {
            lots.push_back({*part.od, *part.thickness,
                            readingOf(shop, lotOf(key), made.at).value_or(*part.thickness), key.bin, key.part,
                            key.used, key.walking_order, 0});
        }
        lots[known->second].quantity += quantity;
    }
    planner::dealToLegs(lots, legs);
    std::map<LineKey, std::vector<std::int64_t>> shares;
    for (const auto& [key, quantity] : pieces) {
        const auto lot = place.find(lotOf(key));
        if (lot == place.end()) continue;
        std::vector<std::int64_t>& share = shares[key];
        share = shareOut(quantity, lots[lot->second].per_leg);
        if (const auto gone = made.gone.find(key); gone != made.gone.end()) shareOut(gone->second, share);
    }
    for (PickLine& line : lines) {
        line.per_leg = line.shim ? shares.at(keyOf(line)) : evenShare(line.quantity, legs);
    }
}

} // namespace shimledger::services
