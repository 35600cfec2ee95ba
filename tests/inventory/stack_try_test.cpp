// SPDX-License-Identifier: GPL-3.0-or-later
// Stacks that were tried for a job: kept, told, thrown away, and never lost on the way to CSV and back.
#include "rich_shop.h"
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/stack_try.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

StackRow row(std::int64_t count, const char* od, const char* thickness) {
    return {count, Length::parseMillimetres(od), Length::parseMillimetres(thickness), {}};
}

StackTry tryOf(const std::string& name) {
    StackTry tried;
    tried.job = "J1";
    tried.name = name;
    tried.wanted = "0:0.9";
    tried.made_by = "A. B.";
    tried.rows = {row(3, "24", "0.1"), row(1, "18", "0.2")};
    return tried;
}

} // namespace

TEST_CASE("a stack that was tried is kept beside the job's target, with its wish, who and when") {
    SmallShop small;
    StackTries tries(small.shop);
    tries.add(tryOf("softer"));
    StackTry later = tryOf("softer still");
    later.base = "softer";
    later.kept_as = TryUse::target;
    later.made = UtcTime::parse("2027-01-01T00:00:00Z");
    tries.add(later);
    const auto kept = tries.ofJob("J1");
    REQUIRE(kept.size() == 2);
    CHECK(kept[0].name == "softer");
    CHECK(kept[0].made == small.shop.now());
    CHECK(kept[0].rows == tryOf("").rows);
    CHECK(kept[1] == later);
    CHECK(tries.freeName("J1") == "Try 1");
    CHECK(tries.ofJob("J2").empty());
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("what is no try is refused in a sentence, and changes nothing") {
    SmallShop small;
    StackTries tries(small.shop);
    tries.add(tryOf("softer"));
    const auto refused = [&](const auto& change) {
        StackTry tried = tryOf("another");
        change(tried);
        return refusalOf([&] { tries.add(tried); });
    };
    CHECK_THAT(refused([](StackTry& t) { t.name = "softer"; }), Contains("is there already"));
    CHECK_THAT(refused([](StackTry& t) { t.name.clear(); }), Contains("has no name"));
    CHECK_THAT(refused([](StackTry& t) { t.rows.clear(); }), Contains("has no discs"));
    CHECK_THAT(refused([](StackTry& t) { t.base = "nobody's"; }), Contains("is no try of that job"));
    CHECK_THAT(refused([](StackTry& t) { t.job = "J99"; }), Contains("J99"));
    CHECK_THAT(refused([](StackTry& t) { t.rows[0].od = Length(); }), Contains("row 1"));
    CHECK_THAT(refused([](StackTry& t) { t.rows[1].count = 0; }), Contains("row 2"));
    CHECK_THAT(refused([](StackTry& t) { t.rows[1].replaces = 1; }), Contains("row 2"));
    CHECK(tries.ofJob("J1").size() == 1);
}

TEST_CASE("a try is thrown away, but not what tells how the job's stacks came about") {
    SmallShop small;
    StackTries tries(small.shop);
    tries.add(tryOf("softer"));
    StackTry target = tryOf("the target");
    target.kept_as = TryUse::target;
    tries.add(target);
    CHECK_THAT(refusalOf([&] { tries.remove("J1", "the target"); }), Contains("is kept"));
    CHECK_THAT(refusalOf([&] { tries.remove("J1", "nobody's"); }), Contains("there is no try"));
    tries.remove("J1", "softer");
    CHECK(tries.ofJob("J1").size() == 1);
    JobBook(small.shop).cancel("J1");
    CHECK_FALSE(refusalOf([&] { tries.add(tryOf("too late")); }).empty());
    CHECK(tries.ofJob("J1").size() == 1); // it is told of a job that has ended, too
}

TEST_CASE("tries of any words come back from CSV as they were, and a row that does not fit is refused") {
    const TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder / "shop.db", fixedClock(test_time));
    fillRichShop(shop);
    addOwnData(shop);
    addTries(shop);
    std::mt19937 random(20260);
    const std::string letters = "abc \",;=+-@'\xC3\xA4\xE2\x82\xAC";
    for (int i = 0; i < 30; ++i) {
        StackTry tried = tryOf("try " + std::to_string(i) + (i % 2 == 0 ? "=1+1" : "\"x\""));
        tried.job = i % 3 == 0 ? "J1" : "J2";
        if (i % 4 == 0) tried.clamp_od = Length::parseMillimetres("11.5");
        tried.made_by = i % 2 == 0 ? "=SUM(A1)" : "K; \"L\"";
        tried.rows.resize(1 + random() % 2);
        tried.rows.push_back(row(1 + static_cast<std::int64_t>(random() % 9), "20", "0.15"));
        StackTries(shop).add(tried);
    }
    exportShopFolder(shop, folder / "out");
    ShopFile again = ShopFile::create(folder / "again.db", fixedClock(test_time));
    const auto report = importShopFolder(again, folder / "out");
    REQUIRE(report.good());
    for (const char* job : {"J1", "J2"}) CHECK(StackTries(again).ofJob(job) == StackTries(shop).ofJob(job));
    // A row out of its order, one that says something else of the same try.
    const std::string whole = readBytes(folder / "out/job_tries.csv");
    const std::string head = whole.substr(0, whole.find('\n') + 1);
    const auto refusalOfRows = [&](const std::string& rows) {
        writeBytes(folder / "out/job_tries.csv", head + rows);
        ShopFile third = ShopFile::create(folder / ("third" + std::to_string(random()) + ".db"));
        return refusalOf([&] { importShopFolder(third, folder / "out"); });
    };
    CHECK_THAT(refusalOfRows("J1,t,,,,,2026-03-09T14:05:00Z,,2,3,24,0.1\n"), Contains("number them 1, 2, 3"));
    CHECK_THAT(refusalOfRows("J1,t,,,,,2026-03-09T14:05:00Z,,1,3,24,0.1\n"
                             "J1,t,0:0.9,,,,2026-03-09T14:05:00Z,,2,3,24,0.1\n"),
               Contains("do not say the same"));
    CHECK_THAT(refusalOfRows("J1,t,,kept,,,2026-03-09T14:05:00Z,,1,3,24,0.1\n"), Contains("no use of a try"));
}
