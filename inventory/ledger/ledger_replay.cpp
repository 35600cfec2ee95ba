// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/ledger_replay.h"

#include "inventory/ledger/ledger_chain.h"
#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {
constexpr std::size_t most_overdrafts = 100;
}

LedgerReplay::LedgerReplay(ShopConnection& connection) {
    const std::string every_movement = std::string(many_rows).append(movementColumns());
    Query query(connection, every_movement, std::int64_t{0});
    ChainCheck chain(connection);
    while (query.next()) {
        chain.add(query);
        const LotKey lot{query.integer(4), query.integer(5), query.smallInteger(6)};
        LotBalance& balance = m_lots[lot];
        balance.on_hand += query.integer(8);
        balance.reserved += query.integer(9);
        const bool sound = balance.reserved >= 0 && balance.reserved <= balance.on_hand;
        if (!sound && m_overdrafts.size() < most_overdrafts)
            m_overdrafts.push_back({query.integer(0), lot, balance});
    }
    m_changed_batches = chain.finish();
}

} // namespace shimledger::inventory
