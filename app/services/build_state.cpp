// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/build_state.h"

#include "app/services/strip_sheet.h"
#include "inventory/issued_pieces.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_ledger.h"

#include <algorithm>
#include <map>

namespace shimledger::services {

namespace {

std::map<std::string, std::int64_t> pulledFor(inventory::ShopFile& shop, std::string_view job) {
    std::map<std::string, std::int64_t> pulled;
    for (const auto& out : inventory::issuedPieces(shop, job)) pulled[out.part] += out.quantity;
    return pulled;
}

void fillRow(BuildRowState& state, const std::vector<std::string>& parts,
             const std::map<std::string, std::int64_t>& pulled,
             const std::vector<inventory::Reservation>& held) {
    for (const std::string& part : parts) {
        const auto found = pulled.find(part);
        if (found != pulled.end()) state.pulled += found->second;
    }
    for (const auto& reservation : held) {
        if (std::find(parts.begin(), parts.end(), reservation.part) == parts.end()) continue;
        state.reserved += reservation.quantity;
        if (std::find(state.bins.begin(), state.bins.end(), reservation.bin) == state.bins.end())
            state.bins.push_back(reservation.bin);
    }
}

} // namespace

bool BuildState::allThere() const {
    return to_pull.empty() &&
           std::all_of(rows.begin(), rows.end(), [](const BuildRowState& row) { return row.missing() == 0; });
}

BuildState buildState(inventory::ShopFile& shop, std::string_view code) {
    BuildState state;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::Job job = book.get(code);
        if (const auto target = book.stack(code, inventory::StackRole::target)) state.target = target->rows;
        // The stack of an earlier acceptance stays in the book when the reservation is given back.
        const bool planned = job.status != inventory::JobStatus::open;
        const auto build = planned ? book.stack(code, inventory::StackRole::build) : std::nullopt;
        state.accepted = build.has_value();
        const auto& rows = build ? build->rows : state.target;
        const auto pulled = pulledFor(shop, code);
        const auto held = inventory::StockLedger(shop).reservationsOf(code);
        for (const inventory::StackRow& row : rows) {
            BuildRowState of_row{row};
            for (const inventory::StackRow& other : rows) {
                if (other.od == row.od && other.thickness == row.thickness)
                    of_row.needed += other.count * job.legs;
            }
            fillRow(of_row, shimsOfSize(shop, row.od, job.valve.shim_id, row.thickness), pulled, held);
            state.rows.push_back(std::move(of_row));
        }
        state.to_pull = openPulls(shop, code);
        state.consumables = consumableNeeds(shop, code);
        for (const PutAwayLine& line : putAwayList(shop, code).lines) state.not_put_away += line.quantity;
    });
    return state;
}

} // namespace shimledger::services
