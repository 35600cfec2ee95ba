// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_inputs.h"

#include "app/services/demand_series.h"
#include "app/services/job_needs.h"
#include "app/services/kit_points.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_ledger.h"
#include "inventory/wear_finding.h"

#include <algorithm>

namespace shimledger::services {

namespace {

using inventory::JobStatus;

void want(std::map<std::string, JobDemand>& demands, const std::string& part, std::int64_t pieces,
          const inventory::Job& job) {
    JobDemand& demand = demands[part];
    demand.pieces += pieces;
    if (demand.wants.empty() || demand.wants.back().job != job.code) {
        demand.wants.push_back({job.code, 0, job.due});
    }
    demand.wants.back().pieces += pieces;
}

/// When open orders should be there: the day of the order and the supplier's lead time.
void readOrders(inventory::ShopFile& shop, ReorderInputs& inputs) {
    std::map<std::string, int> lead_days;
    for (const auto& supplier : inventory::SupplierList(shop).list(inventory::Retired::included))
        lead_days[supplier.name] = supplier.lead_time_days;
    for (const auto& order : inventory::PurchaseOrders(shop).list()) {
        const inventory::CalendarDate day = order.ordered.date();
        const auto last = inputs.last_orders.try_emplace(order.supplier, day).first;
        last->second = std::max(last->second, day);
        if (order.closed) continue;
        for (const auto& line : order.lines) {
            if (line.received >= line.ordered()) continue;
            const auto there = day.plusDays(std::max(0, lead_days[order.supplier]));
            const auto by = inputs.coming_by.try_emplace(line.part, there).first;
            by->second = std::max(by->second, there);
        }
    }
}

/// A job without an accepted stack wants its target's discs; one that holds reservations wants only the
/// consumables that it could not be given, as its substitutes stand in for the rest.
std::map<std::string, JobDemand> jobDemands(inventory::ShopFile& shop,
                                            const std::vector<inventory::Part>& shims) {
    std::map<std::string, JobDemand> demands;
    const inventory::JobBook book(shop);
    for (const inventory::Job& job : book.list()) {
        if (job.status != JobStatus::open && job.status != JobStatus::reserved) continue;
        const auto target = book.stack(job.code, inventory::StackRole::target);
        if (job.status == JobStatus::open && target) {
            for (const auto& row : target->rows) {
                const auto codes = shimParts(shims, row.od, job.valve.shim_id, row.thickness);
                if (!codes.empty()) want(demands, codes.front(), row.count * job.legs, job);
            }
        }
        for (const ConsumableNeed& need : consumableNeeds(shop, job.code)) {
            if (need.open() > 0) want(demands, need.part.code, need.open(), job);
        }
    }
    return demands;
}

std::string putOffText(const inventory::DeferredPart& deferred) {
    std::string jobs;
    for (const std::string& job : deferred.jobs) jobs += (jobs.empty() ? "" : ", ") + job;
    return "put off at the inspection of " + jobs;
}

} // namespace

std::vector<std::string> JobDemand::jobs() const {
    std::vector<std::string> codes;
    for (const JobWant& want : wants) codes.push_back(want.job);
    return codes;
}

inventory::ReorderClass ReorderInputs::classOf(const std::string& part_class) const {
    auto found = classes.find(part_class);
    if (found == classes.end()) found = classes.find("");
    return found == classes.end() ? inventory::ReorderClass{} : found->second;
}

ReorderInputs readReorderInputs(inventory::ShopFile& shop) {
    ReorderInputs inputs;
    shop.consistently([&] {
        inputs.made = shop.now();
        inputs.revision = inventory::StockLedger(shop).revision();
        const inventory::PartCatalogue catalogue(shop);
        inputs.parts = catalogue.list(inventory::Retired::included);
        for (inventory::Part& part : inputs.parts) {
            if (part.retired) part.reorder_point.reset(); // its stock counts and jobs ask for it, no more
        }
        inputs.kit_points = partsWithKitPoints(shop);
        for (auto& balance : inventory::partBalances(shop)) inputs.balances[balance.part] = balance;
        inputs.on_order = inventory::PurchaseOrders(shop).onOrder();
        inputs.job_demand = jobDemands(shop, catalogue.listKind(inventory::PartKind::shim));
        inputs.demand = demandHistories(shop, inputs.made.date());
        for (const auto& model : inventory::ComponentModels(shop).list()) {
            std::vector<std::string>& parts = inputs.models.emplace_back();
            for (const auto& consumable : model.consumables) parts.push_back(consumable.part);
        }
        for (auto& settings : inventory::ReorderClasses(shop).list()) {
            inputs.classes[settings.part_class] = settings;
        }
        const inventory::SupplierList suppliers(shop);
        inputs.suppliers = suppliers.list();
        inputs.offers = suppliers.offers();
        readOrders(shop, inputs);
        for (const auto& deferred : inventory::WearBook(shop).deferred()) {
            const auto part = catalogue.find(deferred.part);
            if (part && part->retired) continue; // nothing of it is ordered any more
            inputs.extra.push_back({deferred.part, deferred.quantity, putOffText(deferred), true});
        }
    });
    return inputs;
}

} // namespace shimledger::services
