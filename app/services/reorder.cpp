// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder.h"

#include "app/services/job_outlook.h"
#include "app/services/reorder_need.h"
#include "app/services/reorder_split.h"
#include "inventory/money.h"

#include <algorithm>
#include <numeric>
#include <tuple>

namespace shimledger::services {

namespace {

void finish(ReorderPlan& plan) {
    std::sort(plan.orders.begin(), plan.orders.end(), [](const SupplierOrder& a, const SupplierOrder& b) {
        return a.supplier.name < b.supplier.name;
    });
    for (SupplierOrder& order : plan.orders) {
        std::sort(order.lines.begin(), order.lines.end(), [](const ReorderLine& a, const ReorderLine& b) {
            return std::tie(a.part, a.pack_size) < std::tie(b.part, b.pack_size);
        });
        if (order.belowMinimum()) {
            plan.notes.push_back("The order to " + order.supplier.name + " comes to " +
                                 inventory::moneyText(order.total()) + " " + order.supplier.currency +
                                 ", below its minimum of " +
                                 inventory::moneyText(*order.supplier.minimum_order));
        }
    }
    for (const ReorderLine& line : plan.unoffered) {
        plan.notes.push_back(line.part + " is wanted, but no supplier offers it at a price");
    }
}

} // namespace

inventory::Hundredths ReorderLine::price() const {
    inventory::Hundredths price = pack_price;
    for (const auto& step : breaks) {
        if (packs >= step.from_packs) price = step.pack_price;
    }
    return price;
}

inventory::Hundredths SupplierOrder::total() const {
    inventory::Hundredths sum = 0;
    for (const ReorderLine& line : lines) sum += line.total();
    return sum;
}

inventory::Hundredths SupplierOrder::toPay() const {
    const inventory::Hundredths goods = total();
    return goods > 0 ? goods + supplier.freight.value_or(0) : 0;
}

bool SupplierOrder::belowMinimum() const {
    return supplier.minimum_order && total() < *supplier.minimum_order;
}

std::size_t SupplierOrder::linesToBuy() const {
    return static_cast<std::size_t>(
        std::count_if(lines.begin(), lines.end(), [](const ReorderLine& line) { return line.packs > 0; }));
}

std::size_t SupplierOrder::linesForJobs() const {
    return static_cast<std::size_t>(std::count_if(lines.begin(), lines.end(), [](const ReorderLine& line) {
        return line.packs > 0 && line.short_for_jobs > 0;
    }));
}

std::vector<std::size_t> ordersByUrgency(const ReorderPlan& plan) {
    std::vector<std::size_t> orders(plan.orders.size());
    std::iota(orders.begin(), orders.end(), std::size_t{0});
    std::stable_partition(orders.begin(), orders.end(),
                          [&](std::size_t order) { return plan.orders[order].linesForJobs() > 0; });
    return orders;
}

ReorderPlan makeReorderPlan(const ReorderInputs& inputs, const OrderSolver& solver) {
    ReorderPlan plan;
    plan.made = inputs.made;
    plan.revision = inputs.revision;
    plan.waiting_day = inputs.waiting_day;
    PartNeeds book(inputs, plan.notes);
    std::vector<PartNeed> needs = book.all();
    splitOverSuppliers(book, needs, solver, plan);
    finish(plan);
    plan.jobs = jobOutlooks(inputs, needs, plan.orders);
    for (const auto& [supplier, rhythm] : book.rhythms()) {
        if (rhythm.parts > 0) plan.rhythms.push_back(rhythm);
    }
    for (const PartNeed& need : needs) {
        if (need.kept && need.line.available() - need.line.short_for_jobs + need.line.on_order <=
                             need.line.reorder_point.value_or(0)) {
            plan.low.push_back(need.line);
        }
    }
    std::stable_sort(plan.low.begin(), plan.low.end(),
                     [](const ReorderLine& a, const ReorderLine& b) { return a.weeks_left < b.weeks_left; });
    return plan;
}

ReorderPlan reorderPlan(inventory::ShopFile& shop, const ReorderOptions& options) {
    ReorderInputs inputs = readReorderInputs(shop);
    inputs.extra.insert(inputs.extra.end(), options.extra.begin(), options.extra.end());
    inputs.waiting_day = options.waiting_day;
    return makeReorderPlan(inputs, options.solver);
}

ReorderPlan purchasePlan(inventory::ShopFile& shop, const std::vector<ExtraDemand>& pieces,
                         const OrderSolver& solver) {
    ReorderInputs inputs = readReorderInputs(shop);
    inputs.job_demand.clear();
    inputs.on_order.clear();
    inputs.demand.clear();
    inputs.balances.clear(); // just these pieces, whatever is in the drawers
    inputs.extra = pieces;
    for (ExtraDemand& extra : inputs.extra) extra.expected = false;
    for (inventory::Part& part : inputs.parts) part.reorder_point.reset();
    return makeReorderPlan(inputs, solver);
}

} // namespace shimledger::services
