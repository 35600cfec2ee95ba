// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

/// Lot S24-10 in A1 of 20, of which these jobs hold 4 each, reserved in this order.
struct CountedShop {
    SmallShop small;
    StockHistory history{small.shop};

    void addJob(const std::string& code, int priority, const char* due) {
        Job job = plainJob(code);
        job.priority = priority;
        if (*due != '\0') job.due = CalendarDate::parse(due);
        JobBook(small.shop).add(job);
        small.ledger.reserve(code, {{"S24-10", "A1", Condition::fresh, 4}});
    }
    CountedShop() { small.receive("S24-10", "A1", 20); }

    PostedBatch count(std::int64_t found) {
        return small.ledger.post({movement(MovementKind::count, "S24-10", "A1", found)});
    }
    std::int64_t held(const std::string& job) const {
        std::int64_t sum = 0;
        for (const Reservation& reservation : small.ledger.reservationsOf(job)) sum += reservation.quantity;
        return sum;
    }
};

} // namespace

TEST_CASE("a count beneath what is reserved posts, and shrinks reservations in the same batch") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    const PostedBatch batch = shop.count(3);
    CHECK(shop.small.lot("S24-10", "A1").on_hand == 3);
    CHECK(shop.small.lot("S24-10", "A1").reserved == 3);
    CHECK(shop.held("K1") == 3);
    const auto entries = shop.history.ofBatch(batch.batch);
    REQUIRE(entries.size() == 2);
    CHECK(entries[0].kind == MovementKind::release);
    CHECK(entries[0].job == "K1");
    CHECK(entries[0].quantity == 1);
    CHECK(entries[1].kind == MovementKind::count);
    CHECK(entries[1].on_hand_change == -17);
    CHECK(verifyStock(shop.small.shop).good());
    CHECK(JobBook(shop.small.shop).get("K1").status == JobStatus::reserved);
    shop.count(0);
    CHECK(JobBook(shop.small.shop).get("K1").status == JobStatus::open);
    CHECK(verifyStock(shop.small.shop).good());
}

TEST_CASE("a count that leaves enough for all jobs takes from none") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    CHECK(shop.count(4).movements.size() == 1);
    CHECK(shop.held("K1") == 4);
    CHECK(shop.history.lostToCounts().empty());
}

TEST_CASE("the least urgent job loses first, then the one due last, then the one reserved last") {
    CountedShop shop;
    shop.addJob("LATE", 1, "2026-06-01");
    shop.addJob("SOON", 1, "2026-04-01");
    shop.addJob("URGENT", 9, "2026-09-01");
    const auto names = [&](std::int64_t found) {
        std::string text;
        for (const Reservation& lost : shop.small.ledger.lostByCount("S24-10", "A1", Condition::fresh, found))
            text += lost.job + " " + std::to_string(lost.quantity) + ", ";
        return text;
    };
    CHECK(names(12).empty());
    CHECK(names(9) == "LATE 3, ");
    CHECK(names(5) == "LATE 4, SOON 3, ");
    CHECK(names(1) == "LATE 4, SOON 4, URGENT 3, ");
    SECTION("and so it is when the count is posted") {
        shop.count(5);
        CHECK(shop.held("LATE") == 0);
        CHECK(shop.held("SOON") == 1);
        CHECK(shop.held("URGENT") == 4);
    }
    SECTION("a job without a day is due after all others") {
        shop.addJob("NEVER", 1, "");
        CHECK(names(15) == "NEVER 1, ");
    }
    SECTION("of two that are alike the one reserved last loses") {
        shop.addJob("A-FIRST", 1, "2026-06-01");
        CHECK(names(15) == "A-FIRST 1, "); // though its code comes first
    }
}

TEST_CASE("what counts have taken is known of a job until it is reserved again or all of it is released") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    shop.small.receive("S24-15", "A2", 5);
    shop.small.ledger.reserve("K1", {{"S24-15", "A2", Condition::fresh, 2}});
    const PostedBatch batch = shop.count(1);
    REQUIRE(shop.history.lostToCounts().size() == 1);
    CHECK(shop.history.lostToCounts().front() ==
          LostToCount{"K1", "S24-10", "A1", Condition::fresh, 3, test_time.date()});
    SECTION("giving up one line at the bench does not make it whole") {
        MovementLine given_up = movement(MovementKind::release, "S24-10", "A1", 1, "K1");
        shop.small.ledger.post({given_up});
        CHECK(shop.history.lostToCounts().size() == 1);
    }
    SECTION("pulling what is left does not make it whole") {
        shop.small.ledger.pullAll("K1");
        CHECK(shop.history.lostToCounts().size() == 1);
        JobBook(shop.small.shop).close("K1");
        CHECK(shop.history.lostToCounts().empty());
    }
    SECTION("released") {
        shop.small.ledger.releaseAll("K1", "plan again");
        CHECK(shop.history.lostToCounts().empty());
    }
    SECTION("reserved again") {
        shop.small.receive("S24-10", "A1", 3);
        shop.small.ledger.reserve("K1", {{"S24-10", "A1", Condition::fresh, 3}});
        CHECK(shop.history.lostToCounts().empty());
    }
    SECTION("the count was wrong and is undone as a whole") {
        shop.small.ledger.reverseBatch(batch.batch, "counted the wrong drawer");
        CHECK(shop.history.lostToCounts().empty());
        CHECK(shop.held("K1") == 6);
        CHECK(shop.small.lot("S24-10", "A1").on_hand == 20);
    }
    CHECK(verifyStock(shop.small.shop).good());
}

TEST_CASE("a count right after somebody has released the same lot has taken nothing from a job") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    shop.small.ledger.post({movement(MovementKind::release, "S24-10", "A1", 2, "K1")});
    shop.count(15);
    CHECK(shop.history.lostToCounts().empty());
}

TEST_CASE(
    "a file of movements does not shrink a reservation unsaid: its count is refused with the job's name") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    const auto file = shop.small.folder / "movements.csv";
    writeBytes(file, "utc,movement,part,bin,condition,quantity\n"
                     "2026-03-10T08:00:00Z,count,S24-10,A1,new,3\n");
    CHECK_THROWS_WITH(importFile(shop.small.shop, file),
                      Contains("less than is reserved there") && Contains("'K1'"));
    CHECK(shop.held("K1") == 4);
    writeBytes(file, "utc,movement,part,bin,condition,quantity\n"
                     "2026-03-10T08:00:00Z,count,S24-10,A1,new,4\n");
    importFile(shop.small.shop, file);
    CHECK(shop.small.lot("S24-10", "A1").on_hand == 4);
}

TEST_CASE("a ledger with a count that took from a job comes back whole from its own CSV") {
    CountedShop shop;
    shop.addJob("K1", 5, "");
    shop.count(1);
    const auto before = shop.history.lostToCounts();
    exportShopFolder(shop.small.shop, shop.small.folder / "out");
    ShopFile again = ShopFile::create(shop.small.folder.shop("again.db"), fixedClock(test_time));
    importShopFolder(again, shop.small.folder / "out");
    CHECK(StockHistory(again).lostToCounts() == before);
    CHECK(StockLedger(again).reservations() == shop.small.ledger.reservations());
    CHECK(verifyStock(again).good());
}

TEST_CASE("who loses to a count is who loses when pieces are taken away one by one by the rule") {
    std::mt19937 random(20260309);
    const auto upTo = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most + 1)); };
    for (int round = 0; round < 60; ++round) {
        CAPTURE(round);
        CountedShop shop;
        struct Holder {
            std::string job;
            int priority = 0;
            std::string due;
            int reserved_at = 0;
            std::int64_t held = 0;
        };
        std::vector<Holder> holders;
        for (int number = 0; number < 4; ++number) {
            const std::string day = upTo(2) == 0 ? "" : "2026-05-0" + std::to_string(1 + upTo(2));
            holders.push_back(
                {"K" + std::to_string(upTo(1000)) + "-" + std::to_string(number), upTo(2), day});
            Job job = plainJob(holders.back().job);
            job.priority = holders.back().priority;
            if (!day.empty()) job.due = CalendarDate::parse(day);
            JobBook(shop.small.shop).add(job);
        }
        for (int step = 0; step < 6; ++step) {
            Holder& holder = holders[static_cast<std::size_t>(upTo(3))];
            const std::int64_t pieces = 1 + upTo(2);
            shop.small.ledger.reserve(
                holder.job, {{"S24-10", "A1", Condition::fresh, pieces, upTo(1) == 0 ? "" : "S24-15"}});
            holder.held += pieces;
            holder.reserved_at = step;
        }
        std::int64_t reserved = 0;
        for (const Holder& holder : holders) reserved += holder.held;
        const std::int64_t found = upTo(20);
        for (; reserved > found; --reserved) {
            Holder* loser = nullptr;
            const auto worse = [](const Holder& a, const Holder& b) { // a loses before b
                if (a.priority != b.priority) return a.priority < b.priority;
                if (a.due != b.due) return a.due.empty() || (!b.due.empty() && a.due > b.due);
                return a.reserved_at > b.reserved_at;
            };
            for (Holder& holder : holders) {
                if (holder.held > 0 && (loser == nullptr || worse(holder, *loser))) loser = &holder;
            }
            --loser->held;
        }
        shop.count(found);
        for (const Holder& holder : holders) {
            CAPTURE(holder.job);
            CHECK(shop.held(holder.job) == holder.held);
        }
        CHECK(shop.small.lot("S24-10", "A1").on_hand == found);
        CHECK(verifyStock(shop.small.shop).good());
    }
}
