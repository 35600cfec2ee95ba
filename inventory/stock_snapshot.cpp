// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_snapshot.h"

#include "inventory/part_kinds.h"
#include "inventory/reading_sums.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/transaction.h"
#include "inventory/storage/whole_state.h"

#include <algorithm>
#include <set>
#include <string_view>
#include <tuple>

namespace shimledger::inventory {

namespace {

StockLot readLot(const Query& row) {
    StockLot lot;
    lot.part = row.text(0);
    lot.kind = parsePartKind(row.text(1));
    lot.description = row.text(2);
    lot.od = row.optionalLength(3);
    lot.id = row.optionalLength(4);
    lot.thickness = row.optionalLength(5);
    lot.bin = row.text(6);
    lot.walking_order = row.integer(7);
    lot.condition = conditionOf(row.integer(8));
    lot.on_hand = row.integer(9);
    lot.reserved = row.integer(10);
    lot.part_retired = row.integer(16) != 0;
    lot.bin_retired = row.integer(17) != 0;
    if (const std::int64_t readings = row.integer(11); readings > 0) {
        lot.measured =
            MeasuredThickness{meanOf(row.integer(12), readings), row.length(13), row.length(14),
                              row.smallInteger(11), deviationOf(row.integer(12), row.integer(15), readings)};
    }
    return lot;
}

// The texts are literals joined once, as a Query keeps only a view of its SQL.
const std::string& selectLots(bool of_one_part) {
    static const std::string columns =
        "SELECT p.code, p.kind, p.description, p.od_um, p.id_um, p.thickness_um, b.code, b.walking_order, "
        "l.condition, l.on_hand, l.reserved, count(r.reading_id), sum(r.thickness_um), min(r.thickness_um), "
        "max(r.thickness_um), sum(r.thickness_um * r.thickness_um), p.retired, b.retired "
        "FROM balances l JOIN parts p USING (part_id) JOIN bins b USING (bin_id) "
        "LEFT JOIN readings r ON r.part_id = l.part_id AND r.bin_id = l.bin_id AND r.condition = l.condition "
        "WHERE l.on_hand > 0 AND ";
    static const std::string in_order =
        "GROUP BY l.part_id, l.bin_id, l.condition, p.part_id, b.bin_id "
        "ORDER BY b.walking_order, b.code, p.od_um NULLS FIRST, p.id_um NULLS FIRST, "
        "p.thickness_um NULLS FIRST, p.code, l.condition";
    static const std::string one_part = columns + "p.code = ?1 " + in_order;
    static const std::string one_kind = columns + "(?1 IS NULL OR p.kind = ?1) " + in_order;
    return of_one_part ? one_part : one_kind;
}

std::int64_t lastMovement(ShopConnection& connection) {
    Query query(connection, "SELECT coalesce(max(movement_id), 0) FROM movements");
    query.mustRow();
    return query.integer(0);
}

/// As the drawers are walked, which SQL does by itself where one query reads all.
bool comesBefore(const StockLot& a, const StockLot& b) {
    return std::tie(a.walking_order, a.bin, a.od, a.id, a.thickness, a.part, a.condition) <
           std::tie(b.walking_order, b.bin, b.od, b.id, b.thickness, b.part, b.condition);
}

std::vector<StockLot> readAllLots(ShopConnection& connection) {
    std::vector<StockLot> lots;
    const std::optional<std::string_view> any_kind;
    Query query(connection, selectLots(false), any_kind);
    while (query.next()) lots.push_back(readLot(query));
    return lots;
}

/// Kept for as long as one state is read.
std::vector<StockLot> allLots(ShopConnection& connection) {
    const auto* kept =
        wholeState<std::vector<StockLot>>(connection, "lots", [&] { return readAllLots(connection); });
    return kept != nullptr ? *kept : readAllLots(connection);
}

} // namespace

StockSnapshot stockSnapshot(const ShopFile& shop, std::optional<PartKind> kind) {
    ShopConnection& connection = shop.connection();
    const ReadTransaction reading(connection); // revision and lots of one moment
    StockSnapshot snapshot;
    snapshot.revision = lastMovement(connection);
    std::optional<std::string_view> kind_name;
    if (kind) kind_name = partKindName(*kind);
    Query query(connection, selectLots(false), kind_name);
    while (query.next()) snapshot.lots.push_back(readLot(query));
    return snapshot;
}

StockSnapshot stockSnapshotOf(const ShopFile& shop, const std::vector<std::string>& parts) {
    ShopConnection& connection = shop.connection();
    const ReadTransaction reading(connection);
    StockSnapshot snapshot;
    snapshot.revision = lastMovement(connection);
    constexpr std::size_t one_by_one = 2;
    if (asFile(connection) == nullptr && parts.size() > one_by_one) {
        // A server is asked once for all drawers instead of once for each part.
        const std::set<std::string_view> wanted(parts.begin(), parts.end());
        for (const StockLot& lot : allLots(connection)) {
            if (wanted.count(lot.part) > 0) snapshot.lots.push_back(lot);
        }
        return snapshot; // in order as it is
    }
    for (const std::string& part : parts) {
        Query query(connection, selectLots(true), part);
        while (query.next()) snapshot.lots.push_back(readLot(query));
    }
    std::sort(snapshot.lots.begin(), snapshot.lots.end(), comesBefore);
    return snapshot;
}

std::vector<PartBalance> partBalances(const ShopFile& shop) {
    std::vector<PartBalance> balances;
    Query query(shop.connection(),
                "SELECT p.code, coalesce(sum(l.on_hand), 0), coalesce(sum(l.reserved), 0) "
                "FROM parts p LEFT JOIN balances l USING (part_id) GROUP BY p.part_id ORDER BY p.code");
    while (query.next()) balances.push_back({query.text(0), query.integer(1), query.integer(2)});
    return balances;
}

} // namespace shimledger::inventory
