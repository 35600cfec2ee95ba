// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "inventory/purchase_orders.h"
#include "inventory/supplier.h"

#include <fmt/format.h>

namespace shimledger::command {

namespace {

using inventory::Supplier;

std::string moneyOr(const std::optional<inventory::Hundredths>& amount, const char* words) {
    return amount ? fmt::format(", {} {}", words, inventory::moneyText(*amount)) : std::string();
}

} // namespace

int runSupplierAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    Supplier supplier;
    supplier.name = verb.supplier;
    takeValues(supplier, verb);
    inventory::SupplierList(shop).add(supplier);
    streams.out << "Supplier " << supplier.name << " is there: delivers in " << supplier.lead_time_days
                << " days, prices in " << supplier.currency << ".\n";
    return exit_done;
}

int runSupplierChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeSupplier(shop, verb.supplier);
    return changeFieldsAndTell<inventory::SupplierList>(shop, verb.supplier, verb, streams);
}

int runSupplierRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeSupplier(shop, verb.supplier);
    tellChanges({inventory::SupplierList(shop).retire(verb.supplier)}, streams.out);
    for (const auto& order : inventory::PurchaseOrders(shop).list()) {
        if (!order.closed && order.supplier == verb.supplier)
            streams.out << "  Order " << order.code << " is still open, and can be received.\n";
    }
    return exit_done;
}

int runSupplierBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeSupplier(shop, verb.supplier);
    tellChanges({inventory::SupplierList(shop).bringBack(verb.supplier)}, streams.out);
    return exit_done;
}

int runSupplierList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto suppliers = inventory::SupplierList(shop).list(verb.retired ? inventory::Retired::included
                                                                           : inventory::Retired::leftOut);
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const Supplier& supplier : suppliers) {
            nlohmann::json object{{"supplier", supplier.name}};
            addFields(object, supplier);
            root.push_back(std::move(object));
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const Supplier& supplier : suppliers) {
        streams.out << fmt::format("{:<36} {} days{}, {}{}{}{}\n", supplier.name, supplier.lead_time_days,
                                   supplier.lead_time_spread_days
                                       ? fmt::format(" (spread {})", *supplier.lead_time_spread_days)
                                       : std::string(),
                                   supplier.currency, moneyOr(supplier.minimum_order, "minimum order"),
                                   moneyOr(supplier.freight, "freight"), supplier.retired ? ", retired" : "");
    }
    if (suppliers.empty()) streams.out << "There are none.\n";
    return exit_done;
}

} // namespace shimledger::command
