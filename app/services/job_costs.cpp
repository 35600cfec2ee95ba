// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_costs.h"

#include "app/services/built_job.h"
#include "app/services/component_valves.h"
#include "inventory/csv_writer.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"

#include <algorithm>
#include <set>
#include <tuple>

namespace shimledger::services {

namespace {

CostLine lineOf(const inventory::Part& part, const inventory::LedgerEntry& entry, const PriceBook& prices) {
    CostLine line;
    line.day = entry.utc.date();
    line.part = part.code;
    line.what = inventory::partText(part);
    line.unit = std::string(inventory::quantityUnitName(part.unit));
    line.condition = entry.condition;
    line.scrapped = entry.kind == inventory::MovementKind::scrap;
    line.quantity = entry.quantity;
    line.price = prices.at(part.code, entry.condition, entry.utc);
    return line;
}

/// Alike in all that is told of them: one line.
void addLine(std::vector<CostLine>& lines, const CostLine& line) {
    const auto same = std::find_if(lines.begin(), lines.end(), [&](const CostLine& other) {
        return other.day == line.day && other.part == line.part && other.condition == line.condition &&
               other.scrapped == line.scrapped && other.price == line.price;
    });
    if (same == lines.end()) {
        lines.push_back(line);
    } else {
        same->quantity += line.quantity;
    }
}

std::vector<std::string> notesOn(const std::vector<CostLine>& lines) {
    std::set<std::string> unknown, offered;
    for (const CostLine& line : lines) {
        if (line.price.source == PriceSource::unknown) unknown.insert(line.part);
        if (line.price.source == PriceSource::offered) offered.insert(line.part);
    }
    const auto list = [](const std::set<std::string>& parts) {
        std::string text;
        for (const std::string& part : parts) text += (text.empty() ? "" : ", ") + part;
        return text;
    };
    std::vector<std::string> notes;
    if (!unknown.empty()) notes.push_back("No price is known of " + list(unknown) + ": counted as 0");
    if (!offered.empty()) {
        notes.push_back("Never bought by an order until then, so at the price of an offer: " + list(offered));
    }
    return notes;
}

} // namespace

JobCosts jobCosts(inventory::ShopFile& shop, std::string_view code) {
    JobCosts costs;
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        costs.job = job.code;
        costs.model = job.model;
        costs.made = shop.now();
        const inventory::PartCatalogue catalogue(shop);
        const PriceBook prices(shop);
        for (const inventory::Job& valve : valvesOf(shop, code)) {
            for (const inventory::LedgerEntry& entry : usedEntries(shop, valve.code))
                addLine(costs.lines, lineOf(catalogue.get(entry.part), entry, prices));
        }
    });
    std::sort(costs.lines.begin(), costs.lines.end(), [](const CostLine& a, const CostLine& b) {
        return std::tie(a.day, a.part, a.condition, a.scrapped, a.price.day) <
               std::tie(b.day, b.part, b.condition, b.scrapped, b.price.day);
    });
    for (const CostLine& line : costs.lines) {
        if (line.price.known()) costs.total[line.price.currency] += line.amount();
    }
    costs.notes = notesOn(costs.lines);
    costs.method = PriceBook::method();
    return costs;
}

void writeCostsCsv(const JobCosts& costs, std::ostream& out) {
    inventory::CsvWriter csv(out);
    csv.row({"job", "day", "part", "what", "condition", "use", "quantity", "unit", "pack_price", "pack_size",
             "currency", "amount", "price_from", "supplier", "price_day"});
    for (const CostLine& line : costs.lines) {
        const bool known = line.price.known();
        csv.row({costs.job, line.day.text(), line.part, line.what,
                 std::string(inventory::conditionName(line.condition)),
                 line.scrapped ? "scrapped" : "built in", std::to_string(line.quantity), line.unit,
                 known ? inventory::moneyText(line.price.pack_price) : std::string(),
                 known ? std::to_string(line.price.pack_size) : std::string(), line.price.currency,
                 inventory::moneyText(line.amount()), std::string(priceSourceName(line.price.source)),
                 line.price.supplier, line.price.day ? line.price.day->text() : std::string()});
    }
}

} // namespace shimledger::services
