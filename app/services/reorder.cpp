#include "app/services/reorder.h"

#include "app/services/cheapest_offer.h"
#include "app/services/job_needs.h"
#include "inventory/job_book.h"
#include "inventory/part_kinds.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"

#include <algorithm>
#include <map>

namespace shimledger::services {

namespace {

using inventory::JobStatus;

/// What jobs want of one part and nobody has promised them yet.
struct JobDemand {
    std::int64_t pieces = 0;
    std::vector<std::string> jobs; ///< the more urgent first
};
using JobDemands = std::map<std::string, JobDemand>;

void want(JobDemands& demands, const std::string& part, std::int64_t pieces, const std::string& job) {
    JobDemand& demand = demands[part];
    demand.pieces += pieces;
    if (demand.jobs.empty() || demand.jobs.back() != job) demand.jobs.push_back(job);
}

/// A job without an accepted stack wants its target's discs; one that holds reservations wants only the
/// consumables that it could not be given, as its substitutes stand in for the rest.
JobDemands jobDemands(inventory::ShopFile& shop, const std::vector<inventory::Part>& shims) {
    JobDemands demands;
    const inventory::JobBook book(shop);
    for (const inventory::Job& job : book.list()) {
        if (job.status != JobStatus::open && job.status != JobStatus::reserved) continue;
        const auto target = book.stack(job.code, inventory::StackRole::target);
        if (job.status == JobStatus::open && target) {
            for (const auto& row : target->rows) {
                const auto codes = shimParts(shims, row.od, job.valve.shim_id, row.thickness);
                if (!codes.empty()) want(demands, codes.front(), row.count * job.legs, job.code);
            }
        }
        for (const ConsumableNeed& need : consumableNeeds(shop, job.code)) {
            if (need.open() > 0) want(demands, need.part.code, need.open(), job.code);
        }
    }
    return demands;
}

std::string reasonText(const ReorderLine& line, const JobDemand* demand) {
    std::string text = "available " + std::to_string(line.available());
    if (line.reserved > 0) text += ", reserved " + std::to_string(line.reserved);
    if (line.on_order > 0) text += ", on order " + std::to_string(line.on_order);
    if (line.reorder_point) text += ", reorder point " + std::to_string(*line.reorder_point);
    if (line.short_for_jobs > 0 && demand != nullptr) {
        std::string jobs;
        for (const std::string& job : demand->jobs) jobs += (jobs.empty() ? "" : ", ") + job;
        text += ", " + std::to_string(line.short_for_jobs) + " short for " + jobs;
    }
    if (line.packs > 0 && line.pack_size > 1) text += ", pack of " + std::to_string(line.pack_size);
    return text;
}

ReorderLine lineOf(const inventory::Part& part, const inventory::PartBalance& balance, std::int64_t on_order,
                   const JobDemand* demand) {
    ReorderLine line;
    line.part = part.code;
    line.what = inventory::partText(part);
    line.unit = std::string(inventory::quantityUnitName(part.unit));
    line.on_hand = balance.on_hand;
    line.reserved = balance.reserved;
    line.on_order = on_order;
    line.reorder_point = part.reorder_point;
    line.shelf_life_months = part.shelf_life_months;
    const std::int64_t coming = line.available() + on_order;
    if (demand != nullptr) line.short_for_jobs = std::max<std::int64_t>(0, demand->pieces - line.available());
    const std::int64_t for_jobs = std::max<std::int64_t>(0, line.short_for_jobs - on_order);
    const std::int64_t for_drawer = std::max<std::int64_t>(0, part.reorder_point.value_or(0) - coming);
    line.wanted = std::max(for_jobs, for_drawer);
    return line;
}

void place(ReorderPlan& plan, ReorderLine line, const OfferChoice& choice,
           const std::vector<inventory::Supplier>& suppliers, const JobDemand* demand) {
    line.supplier_code = choice.offer.supplier_code;
    line.pack_size = choice.offer.pack_size;
    line.packs = choice.packs;
    line.pack_price = choice.offer.pack_price;
    line.priced_on = choice.offer.priced_on;
    line.reason = reasonText(line, demand);
    if (choice.other_currencies) {
        plan.notes.push_back(line.part + " is offered in several currencies, which were not compared");
    }
    auto order = std::find_if(plan.orders.begin(), plan.orders.end(), [&](const SupplierOrder& o) {
        return o.supplier.name == choice.offer.supplier;
    });
    if (order == plan.orders.end()) {
        const auto supplier =
            std::find_if(suppliers.begin(), suppliers.end(),
                         [&](const inventory::Supplier& s) { return s.name == choice.offer.supplier; });
        plan.orders.push_back({*supplier, {}});
        order = plan.orders.end() - 1;
    }
    order->lines.push_back(std::move(line));
}

void finish(ReorderPlan& plan) {
    std::sort(plan.orders.begin(), plan.orders.end(), [](const SupplierOrder& a, const SupplierOrder& b) {
        return a.supplier.name < b.supplier.name;
    });
    for (SupplierOrder& order : plan.orders) {
        std::sort(order.lines.begin(), order.lines.end(),
                  [](const ReorderLine& a, const ReorderLine& b) { return a.part < b.part; });
        if (order.belowMinimum()) {
            plan.notes.push_back("The order to " + order.supplier.name + " comes to " +
                                 inventory::moneyText(order.total()) + " " + order.supplier.currency +
                                 ", below its minimum of " +
                                 inventory::moneyText(*order.supplier.minimum_order));
        }
    }
    for (const ReorderLine& line : plan.unoffered) {
        plan.notes.push_back(line.part + " is wanted, but no supplier offers it");
    }
}

} // namespace

inventory::Hundredths SupplierOrder::total() const {
    inventory::Hundredths sum = 0;
    for (const ReorderLine& line : lines) sum += line.total();
    return sum;
}

bool SupplierOrder::belowMinimum() const {
    return supplier.minimum_order && total() < *supplier.minimum_order;
}

ReorderPlan reorderPlan(inventory::ShopFile& shop) {
    ReorderPlan plan;
    shop.consistently([&] {
        plan.made = shop.now();
        plan.revision = inventory::StockLedger(shop).revision();
        const inventory::PartCatalogue catalogue(shop);
        const inventory::SupplierList list(shop);
        const auto suppliers = list.list();
        const auto on_order = inventory::PurchaseOrders(shop).onOrder();
        const auto demands = jobDemands(shop, catalogue.listKind(inventory::PartKind::shim));
        std::map<std::string, inventory::PartBalance> balances;
        for (auto& balance : inventory::partBalances(shop)) balances[balance.part] = balance;
        std::map<std::string, std::vector<inventory::SupplierPart>> offers;
        for (auto& offer : list.offers()) offers[offer.part].push_back(offer);
        for (const inventory::Part& part : catalogue.list()) {
            const auto demand = demands.find(part.code);
            const JobDemand* job_demand = demand == demands.end() ? nullptr : &demand->second;
            const auto ordered = on_order.find(part.code);
            ReorderLine line = lineOf(part, balances[part.code],
                                      ordered == on_order.end() ? 0 : ordered->second, job_demand);
            if (line.wanted <= 0) continue;
            if (const auto choice = cheapestOffer(offers[part.code], suppliers, line.wanted)) {
                place(plan, std::move(line), *choice, suppliers, job_demand);
            } else {
                line.reason = reasonText(line, job_demand);
                plan.unoffered.push_back(std::move(line));
            }
        }
    });
    finish(plan);
    return plan;
}

} // namespace shimledger::services
