#include "app/services/reorder.h"

#include "app/services/reorder_need.h"
#include "app/services/reorder_split.h"
#include "inventory/money.h"

#include <algorithm>
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

bool SupplierOrder::belowMinimum() const {
    return supplier.minimum_order && total() < *supplier.minimum_order;
}

ReorderPlan makeReorderPlan(const ReorderInputs& inputs, const OrderSolver& solver) {
    ReorderPlan plan;
    plan.made = inputs.made;
    plan.revision = inputs.revision;
    const std::vector<PartNeed> needs = partNeeds(inputs, plan.notes);
    splitOverSuppliers(inputs, needs, solver, plan);
    finish(plan);
    return plan;
}

ReorderPlan reorderPlan(inventory::ShopFile& shop, const ReorderOptions& options) {
    ReorderInputs inputs = readReorderInputs(shop);
    inputs.extra.insert(inputs.extra.end(), options.extra.begin(), options.extra.end());
    return makeReorderPlan(inputs, options.solver);
}

ReorderPlan purchasePlan(inventory::ShopFile& shop, const std::vector<ExtraDemand>& pieces,
                         const OrderSolver& solver) {
    ReorderInputs inputs = readReorderInputs(shop);
    inputs.job_demand.clear();
    inputs.on_order.clear();
    inputs.balances.clear(); // just these pieces, whatever is in the drawers
    inputs.extra = pieces;
    for (ExtraDemand& extra : inputs.extra) extra.expected = false;
    for (inventory::Part& part : inputs.parts) part.reorder_point.reset();
    return makeReorderPlan(inputs, solver);
}

} // namespace shimledger::services
