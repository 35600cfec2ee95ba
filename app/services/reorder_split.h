// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/order_solver.h"
#include "app/services/reorder.h"
#include "app/services/reorder_need.h"

#include <vector>

namespace shimledger::services {

/// Fills the plan's orders, what nobody offers, and how good it is. `needs` come back as they were planned:
/// each part's reorder point is that of the supplier it is bought from, and what only runs low is left for
/// its supplier's day unless that supplier is ordered from today anyway.
void splitOverSuppliers(PartNeeds& book, std::vector<PartNeed>& needs, const OrderSolver& solver,
                        ReorderPlan& plan);

} // namespace shimledger::services
