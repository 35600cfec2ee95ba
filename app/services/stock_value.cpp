// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_value.h"

#include "inventory/bin.h"
#include "inventory/csv_writer.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_on_day.h"
#include "planner/units/input_error.h"

#include <map>
#include <set>

namespace shimledger::services {

namespace {

/// The cabinet of every bin at that moment: what was changed later is changed back, the latest first.
std::map<std::string, std::string> cabinetsAt(inventory::ShopFile& shop, inventory::UtcTime moment) {
    std::map<std::string, std::string> cabinets;
    for (const auto& bin : inventory::BinList(shop).list(inventory::Retired::included))
        cabinets[bin.code] = bin.cabinet;
    std::vector<inventory::MasterChange> later;
    inventory::MasterHistory(shop).forEach([&](const inventory::MasterChange& change) {
        const bool of_cabinet = change.about.kind == inventory::MasterKind::bin && change.field == "cabinet";
        if (of_cabinet && change.utc > moment) later.push_back(change);
    });
    for (auto change = later.rbegin(); change != later.rend(); ++change)
        cabinets[change->about.bin] = change->before;
    return cabinets;
}

std::vector<ValueSum> sumsBy(const std::vector<ValuedLot>& lots, std::string ValuedLot::*name) {
    std::map<std::string, ValueSum> sums;
    for (const ValuedLot& lot : lots) {
        ValueSum& sum = sums[lot.*name];
        sum.name = lot.*name;
        ++sum.lots;
        if (lot.price.known()) sum.amount[lot.price.currency] += lot.amount();
    }
    std::vector<ValueSum> list;
    for (auto& [key, sum] : sums) list.push_back(std::move(sum));
    return list;
}

} // namespace

StockValue stockValue(inventory::ShopFile& shop, inventory::CalendarDate day) {
    StockValue value;
    shop.consistently([&] {
        value.day = day;
        value.made = shop.now();
        if (day > value.made.date()) {
            throw InputError("the stock of " + day.text() + " is not known yet: today is " +
                             value.made.date().text());
        }
        const inventory::UtcTime end_of_day(inventory::UtcTime::startOf(day.plusDays(1)).moment() -
                                            std::chrono::seconds(1));
        const auto cabinets = cabinetsAt(shop, end_of_day);
        const inventory::PartCatalogue catalogue(shop);
        const PriceBook prices(shop);
        std::set<std::string> unpriced;
        for (const inventory::LotOnDay& there : inventory::stockOnDay(shop, day)) {
            const inventory::Part part = catalogue.get(there.part);
            ValuedLot lot;
            lot.bin = there.bin;
            lot.cabinet = cabinets.at(there.bin);
            lot.part = there.part;
            lot.what = inventory::partText(part);
            lot.kind = std::string(inventory::partKindRule(part.kind).noun);
            lot.unit = std::string(inventory::quantityUnitName(part.unit));
            lot.condition = there.condition;
            lot.quantity = there.on_hand;
            lot.price = prices.at(there.part, there.condition, end_of_day);
            if (lot.price.known()) value.total[lot.price.currency] += lot.amount();
            if (lot.price.source == PriceSource::offered) value.of_offers[lot.price.currency] += lot.amount();
            if (lot.price.source == PriceSource::unknown) unpriced.insert(lot.part);
            value.lots.push_back(std::move(lot));
        }
        value.unpriced.assign(unpriced.begin(), unpriced.end());
    });
    value.by_kind = sumsBy(value.lots, &ValuedLot::kind);
    value.by_cabinet = sumsBy(value.lots, &ValuedLot::cabinet);
    value.method = PriceBook::method();
    return value;
}

std::vector<std::string> valueNotes(const StockValue& value) {
    std::vector<std::string> notes;
    if (!value.of_offers.empty())
        notes.push_back("Of this, " + moneySumText(value.of_offers) + " is at offers that no order has paid");
    std::string unpriced;
    for (const std::string& part : value.unpriced) unpriced += (unpriced.empty() ? "" : ", ") + part;
    if (!unpriced.empty()) notes.push_back("No price is known of " + unpriced + ": counted as 0");
    return notes;
}

void writeValueCsv(const StockValue& value, std::ostream& out) {
    inventory::CsvWriter csv(out);
    csv.row({"day", "cabinet", "bin", "part", "what", "kind", "condition", "quantity", "unit", "pack_price",
             "pack_size", "currency", "amount", "price_from", "supplier", "price_day"});
    for (const ValuedLot& lot : value.lots) {
        const bool known = lot.price.known();
        csv.row({value.day.text(), lot.cabinet, lot.bin, lot.part, lot.what, lot.kind,
                 std::string(inventory::conditionName(lot.condition)), std::to_string(lot.quantity), lot.unit,
                 known ? inventory::moneyText(lot.price.pack_price) : std::string(),
                 known ? std::to_string(lot.price.pack_size) : std::string(), lot.price.currency,
                 inventory::moneyText(lot.amount()), std::string(priceSourceName(lot.price.source)),
                 lot.price.supplier, lot.price.day ? lot.price.day->text() : std::string()});
    }
}

} // namespace shimledger::services
