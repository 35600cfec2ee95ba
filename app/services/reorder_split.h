#pragma once

#include "app/services/reorder_need.h"

#include <vector>

namespace shimledger::services {

/// Spreads the needs over the suppliers at least cost, one plan for each currency, and fills orders that stay
/// below their minimum with parts that will be used in time, the shortest covered first. Adds orders, quality
/// and notes to `plan`; what nobody offers goes to plan.unoffered.
void splitOverSuppliers(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                        const OrderSolver& solver, ReorderPlan& plan);

} // namespace shimledger::services
