// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/issued_pieces.h"

#include "inventory/ledger/issued_net.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"

#include <algorithm>
#include <tuple>

namespace shimledger::inventory {

namespace {

std::string codeOf(ShopConnection& connection, std::int64_t part) {
    Query query(connection, "SELECT code FROM parts WHERE part_id = ?1", part);
    query.mustRow();
    return query.text(0);
}

} // namespace

std::vector<IssuedPieces> issuedPieces(const ShopFile& shop, std::string_view job) {
    ShopConnection& connection = shop.connection();
    std::vector<IssuedPieces> pieces;
    for (const IssuedLot& lot : issuedNet(connection, jobId(connection, job)).out) {
        pieces.push_back({codeOf(connection, lot.part), conditionOf(lot.condition),
                          lot.wanted_part == lot.part ? std::string() : codeOf(connection, lot.wanted_part),
                          lot.quantity});
    }
    std::sort(pieces.begin(), pieces.end(), [](const IssuedPieces& a, const IssuedPieces& b) {
        return std::tie(a.part, a.condition, a.wanted_part) < std::tie(b.part, b.condition, b.wanted_part);
    });
    return pieces;
}

} // namespace shimledger::inventory
