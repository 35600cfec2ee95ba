// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/issued_net.h"

#include "inventory/storage/query.h"

#include <algorithm>
#include <map>

namespace shimledger::inventory {

namespace {

std::int64_t foundByStrip(ShopConnection& connection, std::int64_t job, std::int64_t part) {
    Query query(connection,
                "SELECT coalesce(sum(r.count), 0) FROM job_stack_rows r JOIN parts p ON p.part_id = ?2 "
                "WHERE r.job_id = ?1 AND r.role = 'as_found' AND r.od_um = p.od_um "
                "AND 10 * abs(r.thickness_um - p.thickness_um) <= p.thickness_um",
                job, part);
    query.mustRow();
    return query.integer(0);
}

/// Follows the job's movements in their order.
class IssuedSums {
public:
    IssuedSums(ShopConnection& connection, std::int64_t job) : m_connection(connection), m_job(job) {}

    void issue(const IssuedLot& lot) {
        const auto same = std::find_if(m_out.begin(), m_out.end(), [&](const IssuedLot& other) {
            return other.part == lot.part && other.condition == lot.condition &&
                   other.wanted_part == lot.wanted_part;
        });
        if (same == m_out.end()) {
            m_out.push_back(lot);
            return;
        }
        IssuedLot sum = *same; // the last issued one stands last
        sum.quantity += lot.quantity;
        m_out.erase(same);
        m_out.push_back(sum);
    }
    void comeBack(std::int64_t part, int condition, std::int64_t quantity) {
        if (condition != 0) quantity -= take(found(part), quantity);
        if (condition != 0) quantity -= takeIssued(part, 1, quantity);
        takeIssued(part, 0, quantity);
    }
    [[nodiscard]] std::int64_t& found(std::int64_t part) {
        const auto known = m_found.find(part);
        if (known != m_found.end()) return known->second;
        return m_found.emplace(part, foundByStrip(m_connection, m_job, part)).first->second;
    }
    [[nodiscard]] std::vector<IssuedLot> out() const {
        std::vector<IssuedLot> out = m_out;
        std::erase_if(out, [](const IssuedLot& lot) { return lot.quantity == 0; });
        return out;
    }

private:
    static std::int64_t take(std::int64_t& from, std::int64_t quantity) {
        const std::int64_t taken = std::min(from, quantity);
        from -= taken;
        return taken;
    }
    std::int64_t takeIssued(std::int64_t part, int condition, std::int64_t quantity) {
        std::int64_t taken = 0;
        for (auto lot = m_out.rbegin(); lot != m_out.rend(); ++lot) {
            if (lot->part == part && lot->condition == condition)
                taken += take(lot->quantity, quantity - taken);
        }
        return taken;
    }

    ShopConnection& m_connection;
    std::int64_t m_job;
    std::vector<IssuedLot> m_out;
    std::map<std::int64_t, std::int64_t> m_found; ///< by part: found by the strip and not back
};

} // namespace

std::int64_t IssuedNet::of(int condition) const {
    std::int64_t sum = 0;
    for (const IssuedLot& lot : out) {
        if (lot.condition == condition) sum += lot.quantity;
    }
    return sum;
}

IssuedNet issuedNet(ShopConnection& connection, std::int64_t job, std::optional<std::int64_t> part) {
    IssuedSums sums(connection, job);
    {
        // The unary plus keeps SQLite on the job's index, which is the more selective one.
        Query query(connection,
                    "SELECT m.kind = 'issue', m.part_id, m.condition, coalesce(m.wanted_part_id, m.part_id), "
                    "m.quantity FROM movements m WHERE m.job_id = ?1 AND (?2 IS NULL OR +m.part_id = ?2) "
                    "AND m.kind IN ('issue', 'return') "
                    "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) "
                    "ORDER BY m.movement_id",
                    job, part);
        while (query.next()) {
            if (query.integer(0) != 0) {
                sums.issue({query.integer(1), query.smallInteger(2), query.integer(3), query.integer(4)});
            } else {
                sums.comeBack(query.integer(1), query.smallInteger(2), query.integer(4));
            }
        }
    }
    IssuedNet net;
    net.out = sums.out();
    if (part) net.found_and_not_back = sums.found(*part);
    return net;
}

std::int64_t issuedWithoutJob(ShopConnection& connection, std::int64_t part) {
    Query query(connection,
                "SELECT coalesce(-sum(m.on_hand_change), 0) FROM movements m WHERE m.job_id IS NULL "
                "AND m.part_id = ?1 AND m.condition = 0 AND m.kind IN ('issue', 'return') "
                "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id)",
                part);
    query.mustRow();
    return query.integer(0);
}

} // namespace shimledger::inventory
