// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_to_request.h"

#include "planner/units/input_error.h"

#include <limits>
#include <map>
#include <optional>

namespace shimledger::services {

namespace {

/// What one disc costs to buy again, rounded up; 0 where nobody offers it.
std::map<std::string, std::int64_t> unitCosts(const std::vector<inventory::SupplierPart>& offers) {
    std::map<std::string, std::int64_t> costs;
    for (const auto& offer : offers) {
        const std::int64_t cost = (offer.pack_price + offer.pack_size - 1) / offer.pack_size;
        const auto [place, is_new] = costs.emplace(offer.part, cost);
        if (!is_new && cost < place->second) place->second = cost;
    }
    return costs;
}

std::int64_t ownPieces(const inventory::StockLot& lot, const std::vector<inventory::Reservation>& own) {
    std::int64_t pieces = 0;
    for (const auto& reservation : own) {
        if (reservation.part == lot.part && reservation.bin == lot.bin &&
            reservation.condition == lot.condition) {
            pieces += reservation.quantity;
        }
    }
    return pieces;
}

} // namespace

std::vector<planner::DiscRow> plannerRows(const std::vector<inventory::StackRow>& rows) {
    std::vector<planner::DiscRow> discs;
    for (const inventory::StackRow& row : rows) {
        if (row.count > std::numeric_limits<int>::max()) {
            throw InputError("a row of " + std::to_string(row.count) + " discs is too many");
        }
        discs.push_back({static_cast<int>(row.count), row.od, row.thickness, {}, {}});
    }
    return discs;
}

planner::StackSpec plannerStack(const inventory::Job& job, const std::vector<inventory::StackRow>& rows) {
    const inventory::JobValve& valve = job.valve;
    const planner::ValveGeometry geometry{
        valve.clamp_od, valve.port_inner_diameter, valve.port_outer_diameter,
        valve.shim_id,  valve.seat_diameter,       valve.preload.value_or(Length())};
    try {
        return planner::StackSpec(geometry, plannerRows(rows));
    } catch (const InputError& error) {
        throw InputError(job.code + ": " + error.what());
    }
}

planner::StackSpec plannerStack(const inventory::Job& job, const inventory::JobStack& stack) {
    if (!stack.clamp_od) return plannerStack(job, stack.rows);
    inventory::Job on_clamp = job;
    on_clamp.valve.clamp_od = *stack.clamp_od;
    return plannerStack(on_clamp, stack.rows);
}

std::vector<planner::StockItem> plannerStock(const inventory::StockSnapshot& snapshot,
                                             const std::vector<inventory::SupplierPart>& offers,
                                             const std::vector<inventory::Reservation>& own) {
    const std::map<std::string, std::int64_t> costs = unitCosts(offers);
    std::vector<planner::StockItem> items;
    for (const inventory::StockLot& lot : snapshot.lots) {
        if (lot.kind != inventory::PartKind::shim || !lot.od || !lot.id || !lot.thickness) continue;
        const std::int64_t own_pieces = ownPieces(lot, own);
        // A part that is retired may be so because its size is wrong: nothing new is planned with it.
        if (lot.part_retired && own_pieces == 0) continue;
        planner::StockItem item;
        item.available = lot.part_retired ? own_pieces : lot.available() + own_pieces;
        if (item.available < 0)
            item.available = 0; // an empty bin is kept: it tells that the shop knows the size
        item.bin = lot.bin;
        item.part = lot.part;
        item.od = *lot.od;
        item.id = *lot.id;
        item.thickness = *lot.thickness;
        if (lot.measured) {
            item.measured = lot.measured->mean;
            item.reading_spread_mm = lot.measured->deviation_mm;
        }
        item.used = lot.condition == inventory::Condition::used;
        item.walking_order = lot.walking_order;
        if (const auto cost = costs.find(lot.part); cost != costs.end()) item.replacement_cost = cost->second;
        items.push_back(std::move(item));
    }
    return items;
}

planner::SubstituteRequest substituteRequest(const inventory::Job& job,
                                             const std::vector<inventory::StackRow>& target,
                                             std::vector<planner::StockItem> stock,
                                             const SearchSettings& settings) {
    planner::SubstituteRequest request;
    request.target = plannerStack(job, target);
    request.legs = job.legs;
    request.stock = std::move(stock);
    request.rules = settings.rules;
    request.limits = settings.limits;
    request.progress = settings.progress;
    return request;
}

} // namespace shimledger::services
