#include "inventory/ledger/ledger_replay.h"

#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {
constexpr std::size_t most_overdrafts = 100;
}

LedgerReplay::LedgerReplay(ShopConnection& connection) {
    Query query(connection, "SELECT movement_id, part_id, bin_id, condition, on_hand_change, reserved_change "
                            "FROM movements NOT INDEXED ORDER BY movement_id");
    while (query.next()) {
        const LotKey lot{query.integer(1), query.integer(2), query.smallInteger(3)};
        LotBalance& balance = m_lots[lot];
        balance.on_hand += query.integer(4);
        balance.reserved += query.integer(5);
        const bool sound = balance.reserved >= 0 && balance.reserved <= balance.on_hand;
        if (!sound && m_overdrafts.size() < most_overdrafts)
            m_overdrafts.push_back({query.integer(0), lot, balance});
    }
}

} // namespace shimledger::inventory
