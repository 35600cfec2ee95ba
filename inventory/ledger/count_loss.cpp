// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/count_loss.h"

#include "inventory/storage/query.h"

#include <algorithm>

namespace shimledger::inventory {

std::vector<CountLoss> lossesByCount(ShopConnection& connection, const LotKey& lot, std::int64_t counted) {
    std::int64_t missing = balanceOf(connection, lot).reserved - counted;
    std::vector<CountLoss> losses;
    if (missing <= 0) return losses;
    Query query(
        connection,
        "SELECT r.job_id, r.wanted_part_id, r.quantity, j.code, w.code FROM reservations r "
        "JOIN jobs j USING (job_id) JOIN parts w ON w.part_id = r.wanted_part_id "
        "WHERE r.part_id = ?1 AND r.bin_id = ?2 AND r.condition = ?3 "
        "ORDER BY j.priority, j.due IS NOT NULL, j.due DESC, "
        "(SELECT max(m.movement_id) FROM movements m WHERE m.job_id = r.job_id AND m.kind = 'reserve' "
        "AND +m.part_id = r.part_id AND +m.bin_id = r.bin_id AND m.condition = r.condition) DESC NULLS LAST, "
        "j.code DESC, w.code DESC",
        lot.part, lot.bin, lot.condition);
    while (missing > 0 && query.next()) {
        const std::int64_t lost = std::min(missing, query.integer(2));
        losses.push_back({query.integer(0), query.integer(1), lost, query.text(3), query.text(4)});
        missing -= lost;
    }
    return losses;
}

} // namespace shimledger::inventory
