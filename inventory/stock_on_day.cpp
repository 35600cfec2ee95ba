// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_on_day.h"

#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"

namespace shimledger::inventory {

std::vector<LotOnDay> stockOnDay(const ShopFile& shop, CalendarDate day) {
    std::vector<LotOnDay> lots;
    Query query(
        shop.connection(),
        "SELECT p.code, b.code, m.condition, sum(m.on_hand_change) FROM movements m "
        "JOIN parts p USING (part_id) JOIN bins b USING (bin_id) WHERE m.utc < ?1 "
        "GROUP BY m.part_id, m.bin_id, m.condition, p.part_id, b.bin_id HAVING sum(m.on_hand_change) <> 0 "
        "ORDER BY b.walking_order, b.code, p.code, m.condition",
        UtcTime::startOf(day.plusDays(1)));
    while (query.next())
        lots.push_back({query.text(0), query.text(1), conditionOf(query.integer(2)), query.integer(3)});
    return lots;
}

} // namespace shimledger::inventory
