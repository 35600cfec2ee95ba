// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "inventory/stock_snapshot.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// One row of a job's stack and what the drawers hold of its size.
struct StackRowView {
    inventory::StackRow row;
    std::vector<std::string> parts; ///< codes of that size in stock or catalogue; empty: the shop has none
    std::vector<inventory::StockLot> lots; ///< in walking order
    std::int64_t needed = 0;               ///< by this row, all legs
    std::int64_t needed_of_size = 0;       ///< by all rows of this size, all legs
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;      ///< for whatever job
    std::int64_t reserved_here = 0; ///< of that, for this job
    std::int64_t missing = 0;       ///< of the size: needed_of_size - available - reserved_here, 0 or more

    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
    [[nodiscard]] std::string binText() const; ///< "A01, F13"; "" where there is none
};

/// The rows of the job's stack from the piston face to the clamp; empty when it has no such stack.
/// Throws InputError when there is no such job. Discs are matched by OD, thickness and the valve's bore.
[[nodiscard]] std::vector<StackRowView> stackView(inventory::ShopFile& shop, std::string_view job,
                                                  inventory::StackRole role = inventory::StackRole::target,
                                                  int leg = 0);

/// The same for rows that are in no book yet, such as a target while it is edited; `copies` of them are
/// wanted, as many as the job has legs.
[[nodiscard]] std::vector<StackRowView> rowsAgainstStock(inventory::ShopFile& shop, std::string_view job,
                                                         const std::vector<inventory::StackRow>& rows,
                                                         int copies);

} // namespace shimledger::services
