// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/issued_pieces.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

MovementLine usedBack(std::int64_t quantity) {
    MovementLine line = movement(MovementKind::returned, "S24-10", "A1", quantity, "J1");
    line.condition = Condition::used;
    return line;
}

} // namespace

TEST_CASE(
    "issued, net of returns, has one meaning: what is undone never was, what came back is out no more") {
    SmallShop small;
    small.receive("S24-10", "A1", 20);
    const PostedBatch undone = small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 5, "J1")});
    small.ledger.reverse(undone.batch, "wrong drawer");
    CHECK(issuedPieces(small.shop, "J1").empty());
    MovementLine instead = movement(MovementKind::issue, "S24-10", "A1", 2, "J1");
    instead.wanted_part = "S24-15";
    small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 4, "J1"), instead});
    small.ledger.post({movement(MovementKind::returned, "S24-10", "A1", 3, "J1")});
    // The purpose that was issued last comes back first.
    CHECK(issuedPieces(small.shop, "J1") == std::vector<IssuedPieces>{{"S24-10", Condition::fresh, "", 3}});
    CHECK(issuedPieces(small.shop, "J2").empty());
}

TEST_CASE("a used disc that comes back was found by the strip, as long as not all of those are back") {
    SmallShop small;
    findInLeg(small.shop, "J1", "0.10", 2);
    small.receive("S24-10", "A1", 20);
    small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 4, "J1")});
    small.ledger.post({usedBack(2)});
    CHECK(issuedPieces(small.shop, "J1") == std::vector<IssuedPieces>{{"S24-10", Condition::fresh, "", 4}});
    small.ledger.post({usedBack(1)}); // that one was pulled, and has been in the fork
    CHECK(issuedPieces(small.shop, "J1") == std::vector<IssuedPieces>{{"S24-10", Condition::fresh, "", 3}});
    // So no more than three of the four can come back as new.
    CHECK_THAT(
        refusalOf([&] { small.ledger.post({movement(MovementKind::returned, "S24-10", "A1", 4, "J1")}); }),
        Contains("3 pulled and not yet returned"));
    CHECK_THAT(refusalOf([&] { small.ledger.post({usedBack(4)}); }), Contains("only 3 of it"));
}

TEST_CASE("a used disc that was pulled and is put back counts as pulled no more") {
    SmallShop small;
    MovementLine used = movement(MovementKind::receipt, "S24-10", "A1", 5);
    used.condition = Condition::used;
    small.ledger.post({used});
    used = movement(MovementKind::issue, "S24-10", "A1", 3, "J1");
    used.condition = Condition::used;
    small.ledger.post({used});
    small.ledger.post({usedBack(1)});
    CHECK(issuedPieces(small.shop, "J1") == std::vector<IssuedPieces>{{"S24-10", Condition::used, "", 2}});
}
