#include "app/services/reorder_inputs.h"

#include "app/services/demand_series.h"
#include "app/services/job_needs.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_ledger.h"
#include "inventory/wear_finding.h"

namespace shimledger::services {

namespace {

using inventory::JobStatus;

void want(std::map<std::string, JobDemand>& demands, const std::string& part, std::int64_t pieces,
          const std::string& job) {
    JobDemand& demand = demands[part];
    demand.pieces += pieces;
    if (demand.jobs.empty() || demand.jobs.back() != job) demand.jobs.push_back(job);
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
                if (!codes.empty()) want(demands, codes.front(), row.count * job.legs, job.code);
            }
        }
        for (const ConsumableNeed& need : consumableNeeds(shop, job.code)) {
            if (need.open() > 0) want(demands, need.part.code, need.open(), job.code);
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
        inputs.parts = catalogue.list();
        for (auto& balance : inventory::partBalances(shop)) inputs.balances[balance.part] = balance;
        inputs.on_order = inventory::PurchaseOrders(shop).onOrder();
        inputs.job_demand = jobDemands(shop, catalogue.listKind(inventory::PartKind::shim));
        inputs.weeks = demandByWeek(shop, inputs.made.date());
        for (auto& settings : inventory::ReorderClasses(shop).list()) {
            inputs.classes[settings.part_class] = settings;
        }
        const inventory::SupplierList suppliers(shop);
        inputs.suppliers = suppliers.list();
        inputs.offers = suppliers.offers();
        for (const auto& deferred : inventory::WearBook(shop).deferred()) {
            inputs.extra.push_back({deferred.part, deferred.quantity, putOffText(deferred), true});
        }
    });
    return inputs;
}

} // namespace shimledger::services
