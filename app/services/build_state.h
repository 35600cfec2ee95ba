// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/job_needs.h"
#include "app/services/stock_flow.h"
#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// Where the discs of one row of the stack to be built are, by the books. Rows of one size share their discs,
/// so the figures are of the size, of all rows and legs together.
struct BuildRowState {
    inventory::StackRow row;
    std::int64_t needed = 0;         ///< by all rows of this size, all legs
    std::int64_t pulled = 0;         ///< issued to the job, net of returns (issued_pieces.h)
    std::int64_t reserved = 0;       ///< promised to the job and still in the drawers
    std::vector<std::string> bins{}; ///< where those lie, in walking order

    /// Neither pulled nor promised: given up, or never there.
    [[nodiscard]] std::int64_t missing() const {
        const std::int64_t rest = needed - pulled - reserved;
        return rest > 0 ? rest : 0;
    }
};

/// How far a job is on its way to be built.
struct BuildState {
    std::vector<inventory::StackRow> target; ///< piston face first; empty: the job has none
    std::vector<BuildRowState> rows;         ///< the accepted stack; the target where none was accepted
    bool accepted = false;                   ///< a stack was accepted for the job
    std::vector<PullLine> to_pull;           ///< discs and consumables still in the drawers, in walking order
    std::vector<ConsumableNeed> consumables; ///< that go in as well
    std::int64_t not_put_away = 0;           ///< reclaimed discs of the strip

    [[nodiscard]] bool allThere() const; ///< nothing is left to pull, and nothing is missing
};

/// Throws InputError when there is no such job.
[[nodiscard]] BuildState buildState(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
