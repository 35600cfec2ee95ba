// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/ledger/movement_writer.h"

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Goes through all movements once, in order, and adds them up. Shares nothing with the code that keeps the
/// stored balances, so that the two can be held against each other.
class LedgerReplay {
public:
    /// A moment at which a lot held less than nothing, or less than was reserved.
    struct Overdraft {
        std::int64_t movement = 0;
        LotKey lot;
        LotBalance balance;
    };

    explicit LedgerReplay(ShopConnection& connection);

    [[nodiscard]] const std::map<LotKey, LotBalance>& lots() const { return m_lots; }
    /// Batches that are not as they were posted, by their checksums; one sentence each, at most 100.
    [[nodiscard]] const std::vector<std::string>& changedBatches() const { return m_changed_batches; }
    [[nodiscard]] const std::vector<Overdraft>& overdrafts() const { return m_overdrafts; } ///< at most 100

private:
    std::map<LotKey, LotBalance> m_lots;
    std::vector<Overdraft> m_overdrafts;
    std::vector<std::string> m_changed_batches;
};

} // namespace shimledger::inventory
