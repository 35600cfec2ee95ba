// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// One movement, told, or one change of master data.
struct HistoryLine {
    std::int64_t number = 0; ///< hand it to StockLedger::reverse to undo it; 0: no movement
    std::int64_t batch = 0;
    inventory::UtcTime utc;
    inventory::MovementKind kind = inventory::MovementKind::receipt;
    std::string sentence; ///< "8 of SH-24.0-6-0.12 were pulled from A02 for JOB-1002, in place of
                          ///< SH-24.0-6-0.10."
    std::string part;
    std::string bin;
    inventory::Condition condition = inventory::Condition::fresh;
    std::string short_text; ///< the same where part, bin and count stand beside it: "pulled for JOB-1002, in
                            ///< place of SH-24.0-6-0.10"
    std::int64_t on_hand_change = 0;
    std::int64_t on_hand_after = 0; ///< of the part, or in the bin; 0 in the history of a job
    bool undone = false;
    std::optional<inventory::MasterChange> change; ///< then what is of a movement means nothing
};

/// Movements in the order of posting, with the changes of master data between them by their time. Unknown
/// codes raise InputError. No customer is ever named.
[[nodiscard]] std::vector<HistoryLine> partHistory(inventory::ShopFile& shop, std::string_view part);
[[nodiscard]] std::vector<HistoryLine> binHistory(inventory::ShopFile& shop, std::string_view bin);
/// Of a component's job with what was booked for its other valves.
[[nodiscard]] std::vector<HistoryLine> jobHistory(inventory::ShopFile& shop, std::string_view job);

/// Changes of master data alone.
[[nodiscard]] std::vector<HistoryLine> supplierHistory(inventory::ShopFile& shop, std::string_view name);
[[nodiscard]] std::vector<HistoryLine> modelHistory(inventory::ShopFile& shop, std::string_view code);
[[nodiscard]] std::vector<HistoryLine> classHistory(inventory::ShopFile& shop, std::string_view part_class);
[[nodiscard]] std::vector<HistoryLine> recipeHistory(inventory::ShopFile& shop, std::string_view name);

/// `unit`: "piece", "mm" or "ml"; pieces are counted without a word.
[[nodiscard]] std::string movementSentence(const inventory::LedgerEntry& entry,
                                           std::string_view unit = "piece");

/// "The reorder point of part S24-10 became 12; before it was 6."
[[nodiscard]] std::string changeSentence(const inventory::MasterChange& change);

} // namespace shimledger::services
