// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/place_order.h"

#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>

namespace shimledger::services {

namespace {

constexpr std::int64_t most_packs = 100'000;

inventory::SupplierPart offerOf(inventory::ShopFile& shop, const std::string& supplier,
                                const std::string& part, std::optional<std::int64_t> pack_size) {
    for (const auto& offer : inventory::SupplierList(shop).offersOfPart(part)) { // by pack size
        if (offer.supplier != supplier || (pack_size && offer.pack_size != *pack_size)) continue;
        if (offer.pack_price <= 0)
            throw InputError(fmt::format("the offer of {} by {} has no price", part, supplier));
        return offer;
    }
    throw InputError(supplier + " does not offer " + part +
                     (pack_size ? " in packs of " + std::to_string(*pack_size) : std::string()));
}

ReorderLine addedLine(inventory::ShopFile& shop, const inventory::SupplierPart& offer) {
    const inventory::Part part = inventory::PartCatalogue(shop).get(offer.part);
    ReorderLine line;
    line.part = part.code;
    line.what = inventory::partText(part);
    line.unit = std::string(inventory::quantityUnitName(part.unit));
    for (const auto& balance : inventory::partBalances(shop)) {
        if (balance.part != part.code) continue;
        line.on_hand = balance.on_hand;
        line.reserved = balance.reserved;
    }
    const auto coming = inventory::PurchaseOrders(shop).onOrder();
    if (const auto found = coming.find(part.code); found != coming.end()) line.on_order = found->second;
    line.shelf_life_months = part.shelf_life_months;
    line.supplier_code = offer.supplier_code;
    line.pack_size = offer.pack_size;
    line.pack_price = offer.pack_price;
    line.breaks = offer.breaks;
    line.priced_on = offer.priced_on;
    line.reason = "added by hand";
    return line;
}

SupplierOrder& orderTo(inventory::ShopFile& shop, ReorderPlan& plan, const std::string& name) {
    for (SupplierOrder& order : plan.orders) {
        if (order.supplier.name == name) return order;
    }
    const auto supplier = inventory::SupplierList(shop).find(name);
    if (!supplier) throw InputError("there is no supplier " + name + " in the shop file");
    plan.orders.push_back({*supplier, {}});
    std::sort(plan.orders.begin(), plan.orders.end(), [](const SupplierOrder& a, const SupplierOrder& b) {
        return a.supplier.name < b.supplier.name;
    });
    return *std::find_if(plan.orders.begin(), plan.orders.end(),
                         [&](const SupplierOrder& order) { return order.supplier.name == name; });
}

} // namespace

void setPacks(inventory::ShopFile& shop, ReorderPlan& plan, const std::string& supplier,
              const std::string& part, std::int64_t packs, std::optional<std::int64_t> pack_size) {
    if (packs < 0 || packs > most_packs) {
        throw InputError("give 0 to 100000 packs of " + part + ", not " + std::to_string(packs));
    }
    for (SupplierOrder& order : plan.orders) {
        if (order.supplier.name != supplier) continue;
        const auto line = std::find_if(order.lines.begin(), order.lines.end(), [&](const ReorderLine& l) {
            return l.part == part && (!pack_size || l.pack_size == *pack_size);
        });
        if (line == order.lines.end()) continue;
        line->packs = packs;
        if (packs == 0) order.lines.erase(line);
        return;
    }
    const inventory::SupplierPart offer = offerOf(shop, supplier, part, pack_size); // names what is wrong
    if (packs == 0) return;
    SupplierOrder& order = orderTo(shop, plan, supplier);
    order.lines.push_back(addedLine(shop, offer));
    order.lines.back().packs = packs;
}

std::string nextOrderCode(inventory::ShopFile& shop) {
    const std::string year = shop.now().text().substr(0, 4);
    const inventory::PurchaseOrders orders(shop);
    for (int number = 1;; ++number) {
        std::string code = fmt::format("PO-{}-{:03}", year, number);
        if (!orders.find(code)) return code;
    }
}

inventory::PurchaseOrder placeOrder(inventory::ShopFile& shop, const SupplierOrder& order, std::string code,
                                    std::string_view note) {
    inventory::PurchaseOrder placed;
    shop.atomically([&] {
        inventory::PurchaseOrder asked;
        asked.code = code.empty() ? nextOrderCode(shop) : code;
        asked.supplier = order.supplier.name;
        asked.ordered = shop.now();
        asked.note = note;
        for (const ReorderLine& line : order.lines) {
            if (line.packs > 0)
                asked.lines.push_back({0, line.part, line.packs, line.pack_size, line.price(), 0});
        }
        if (asked.lines.empty()) {
            throw InputError("there is nothing to order from " + order.supplier.name +
                             ": every line has 0 packs");
        }
        placed = inventory::PurchaseOrders(shop).place(asked);
    });
    return placed;
}

} // namespace shimledger::services
