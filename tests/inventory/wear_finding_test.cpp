// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/wear_finding.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

void addBushing(ShopFile& shop) {
    Part bushing;
    bushing.code = "BUSH";
    bushing.kind = PartKind::bushing;
    bushing.description = "bushing, generic";
    bushing.id = Length::parseMillimetres("36");
    bushing.od = Length::parseMillimetres("40");
    bushing.length = Length::parseMillimetres("12");
    bushing.coating = "none";
    PartCatalogue(shop).add(bushing);
}

WearFinding bushing(const std::string& job, int worn_percent, WearDecision decision,
                    const std::string& reason) {
    WearFinding finding;
    finding.job = job;
    finding.leg = 1;
    finding.part = "BUSH";
    finding.worn_percent = worn_percent;
    finding.decision = decision;
    finding.reason = reason;
    return finding;
}

void addJobOf(ShopFile& shop, const std::string& code, const std::string& component,
              const std::string& opened) {
    Job job = plainJob(code);
    job.component = component;
    job.opened = CalendarDate::parse(opened);
    JobBook(shop).add(job);
}

} // namespace

TEST_CASE("a bushing is worn out at two thirds, not before") {
    CHECK_FALSE(wornOut(66));
    CHECK(wornOut(67));
    CHECK(wornOut(100));
}

TEST_CASE("a finding is kept with its decision and reason, and said anew replaces itself") {
    SmallShop small;
    addBushing(small.shop);
    WearBook book(small.shop);
    book.record(bushing("J1", 30, WearDecision::keep, ""));
    WearFinding said = bushing("J1", 60, WearDecision::defer, "next service");
    book.record(said);
    said.utc = test_time;
    CHECK(book.ofJob("J1") == std::vector<WearFinding>{said});
}

TEST_CASE("an inspection refuses what cannot be, with the reason") {
    SmallShop small;
    addBushing(small.shop);
    WearBook book(small.shop);
    const auto refused = [&](const WearFinding& finding) { return refusalOf([&] { book.record(finding); }); };
    CHECK_THAT(refused(bushing("J1", 67, WearDecision::defer, "later")),
               Contains("two thirds is the limit: replace it"));
    CHECK_THAT(refused(bushing("J1", 80, WearDecision::keep, "")), Contains("two thirds"));
    CHECK_THAT(refused(bushing("J1", 101, WearDecision::replace, "worn")), Contains("give 0 to 100"));
    CHECK_THAT(refused(bushing("J1", 40, WearDecision::defer, "")), Contains("say why"));
    CHECK_THAT(refused(bushing("J9", 40, WearDecision::keep, "")), Contains("no job 'J9'"));
    WearFinding other = bushing("J1", 40, WearDecision::keep, "");
    other.leg = 3;
    CHECK_THAT(refused(other), Contains("of leg 3"));
    other = bushing("J1", 40, WearDecision::keep, "");
    other.part = "SEAL";
    CHECK_THAT(refused(other), Contains("is no bushing"));
    other.part.clear();
    other.worn_percent.reset();
    CHECK_THAT(refused(other), Contains("neither a part nor a place"));
    other.place = "chrome";
    other.decision = WearDecision::replace;
    other.reason = "pitted";
    CHECK_THAT(refused(other), Contains("name the catalogue part"));
    CHECK(book.ofJob("J1").empty());
}

TEST_CASE("the next strip of a component shows what earlier ones found, the latest first") {
    SmallShop small;
    addBushing(small.shop);
    addJobOf(small.shop, "K1", "tag 7", "2025-03-01");
    addJobOf(small.shop, "K2", "tag 7", "2025-09-01");
    addJobOf(small.shop, "K3", "tag 7", "2026-03-01");
    addJobOf(small.shop, "L1", "tag 8", "2025-03-01");
    WearBook book(small.shop);
    for (const auto& [job, percent, day] :
         {std::tuple{"K1", 20, "2025-03-02T09:00:00Z"}, std::tuple{"K2", 40, "2025-09-02T09:00:00Z"},
          std::tuple{"L1", 50, "2025-03-02T10:00:00Z"}}) {
        WearFinding finding = bushing(job, percent, WearDecision::keep, "");
        finding.utc = UtcTime::parse(day);
        book.record(finding);
    }
    const auto earlier = book.earlier("K3");
    REQUIRE(earlier.size() == 2);
    CHECK(earlier[0].worn_percent == 40);
    CHECK(earlier[1].worn_percent == 20);
    CHECK(book.earlier("K1").empty());
    CHECK(book.earlier("J1").empty()); // same customer and model, but K1 and K2 carry marks
}

TEST_CASE("without a mark, customer and model tell the component") {
    SmallShop small;
    addBushing(small.shop);
    addJobOf(small.shop, "K1", "", "2025-03-01");
    WearBook book(small.shop);
    book.record(bushing("K1", 20, WearDecision::keep, ""));
    CHECK(book.earlier("J1").size() == 1);
}

TEST_CASE("a deferred part is expected until a later inspection of its component has dealt with it") {
    SmallShop small;
    addBushing(small.shop);
    addJobOf(small.shop, "K1", "tag 7", "2025-03-01");
    addJobOf(small.shop, "K2", "tag 7", "2025-09-01");
    addJobOf(small.shop, "L1", "tag 8", "2025-03-01");
    WearBook book(small.shop);
    WearFinding first = bushing("K1", 55, WearDecision::defer, "next service");
    first.quantity = 2;
    first.utc = UtcTime::parse("2025-03-02T09:00:00Z");
    book.record(first);
    WearFinding second = bushing("L1", 60, WearDecision::defer, "no time");
    book.record(second);
    CHECK(book.deferred() == std::vector<DeferredPart>{{"BUSH", 3, {"K1", "L1"}}});
    book.record(bushing("K2", 70, WearDecision::replace, "worn out"));
    CHECK(book.deferred() == std::vector<DeferredPart>{{"BUSH", 1, {"L1"}}});
}
