// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_needs.h"

#include "inventory/issued_pieces.h"
#include "inventory/job_book.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"

namespace shimledger::services {

std::vector<ConsumableNeed> consumableNeeds(inventory::ShopFile& shop, std::string_view job) {
    const inventory::PartCatalogue catalogue(shop);
    std::vector<ConsumableNeed> needs;
    for (const auto& consumable : inventory::JobBook(shop).consumables(job)) {
        ConsumableNeed need;
        need.part = catalogue.get(consumable.part);
        need.wanted = consumable.quantity;
        needs.push_back(std::move(need));
    }
    if (needs.empty()) return needs;
    const auto needOf = [&](const std::string& part, const std::string& wanted_part) -> ConsumableNeed* {
        for (ConsumableNeed& need : needs) {
            if (need.part.code == (wanted_part.empty() ? part : wanted_part)) return &need;
        }
        return nullptr;
    };
    for (const auto& reservation : inventory::StockLedger(shop).reservationsOf(job)) {
        if (auto* need = needOf(reservation.part, reservation.wanted_part))
            need->reserved += reservation.quantity;
    }
    for (const auto& out : inventory::issuedPieces(shop, job)) {
        if (auto* need = needOf(out.part, out.wanted_part)) need->issued += out.quantity;
    }
    return needs;
}

std::vector<std::string> shimParts(const std::vector<inventory::Part>& shims, Length od, Length id,
                                   Length thickness) {
    std::vector<std::string> codes;
    for (const auto& part : shims) {
        if (part.od == od && part.id == id && part.thickness == thickness) codes.push_back(part.code);
    }
    return codes;
}

std::vector<std::string> shimsOfSize(inventory::ShopFile& shop, Length od, Length id, Length thickness) {
    std::vector<std::string> codes;
    for (const auto& part : inventory::PartCatalogue(shop).listShims(od, id, thickness))
        codes.push_back(part.code);
    return codes;
}

std::string quantityText(std::int64_t quantity, const inventory::Part& part) {
    std::string text = std::to_string(quantity) + " ";
    text += part.unit == inventory::QuantityUnit::piece
                ? "x "
                : std::string(inventory::quantityUnitName(part.unit)) + " of ";
    return text + part.code + " (" + inventory::partText(part) + ")";
}

} // namespace shimledger::services
