// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/wear_inspection.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::WearDecision;
using inventory::WearFinding;

namespace {

/// A model of two legs: per leg one bushing, one seal, one crush washer, 240 ml of oil; jobs K1 and K2 are of
/// one fork.
struct WornShop : SmallShop {
    WornShop() {
        inventory::PartCatalogue parts(shop);
        inventory::Part bushing;
        bushing.code = "BUSH";
        bushing.kind = inventory::PartKind::bushing;
        bushing.id = mm("36");
        bushing.od = mm("40");
        bushing.length = mm("12");
        bushing.coating = "none";
        parts.add(bushing);
        inventory::Part washer;
        washer.code = "CRUSH";
        washer.kind = inventory::PartKind::washer;
        washer.id = mm("10");
        washer.od = mm("14");
        washer.thickness = mm("1");
        parts.add(washer);
        inventory::Part oil;
        oil.code = "OIL";
        oil.kind = inventory::PartKind::fluid;
        oil.description = "fork oil, generic";
        oil.unit = inventory::QuantityUnit::millilitre;
        parts.add(oil);
        inventory::ComponentModel model;
        model.code = "WORN";
        model.description = "invented fork";
        model.consumables = {{"BUSH", 1, ""}, {"SEAL", 1, ""}, {"CRUSH", 1, ""}, {"OIL", 240, ""}};
        inventory::ComponentModels(shop).add(model);
        for (const auto& [code, day] : {std::pair{"K1", "2025-03-01"}, std::pair{"K2", "2026-03-01"}}) {
            inventory::Job job = inventory::JobBook(shop).get("J1");
            job.code = code;
            job.model = "WORN";
            job.component = "tag 7";
            job.opened = inventory::CalendarDate::parse(day);
            inventory::JobBook(shop).add(job);
        }
    }

    void found(const std::string& job, int leg, const std::string& part, std::optional<int> percent,
               WearDecision decision, const std::string& reason, const std::string& when = "") {
        WearFinding finding;
        finding.job = job;
        finding.leg = leg;
        finding.part = part;
        finding.worn_percent = percent;
        if (!percent) finding.state = inventory::WearState::worn;
        finding.decision = decision;
        finding.reason = reason;
        if (!when.empty()) finding.utc = inventory::UtcTime::parse(when);
        inventory::WearBook(shop).record(finding);
    }
};

const InspectionLine& lineOf(const std::vector<InspectionLine>& lines, int leg, const std::string& part) {
    for (const InspectionLine& line : lines) {
        if (line.leg == leg && line.part == part) return line;
    }
    throw std::runtime_error("no such line");
}

} // namespace

TEST_CASE("the inspection sheet lists what may wear, leg by leg, with what was found before and the trend") {
    WornShop worn;
    worn.found("K1", 1, "BUSH", 30, WearDecision::keep, "", "2025-03-02T10:00:00Z");
    worn.found("K2", 1, "BUSH", 50, WearDecision::defer, "next service", "2026-03-02T10:00:00Z");
    const auto lines = inspectionSheet(worn.shop, "K2");
    CHECK(lines.size() == 4); // oil and crush washer are not looked at
    const InspectionLine& bushing = lineOf(lines, 1, "BUSH");
    CHECK(bushing.takes_percent);
    REQUIRE(bushing.finding);
    CHECK(bushing.finding->decision == WearDecision::defer);
    REQUIRE(bushing.earlier.size() == 1);
    // 20 points in 365 days, 16.7 to go: 304 days.
    CHECK(bushing.trend == "30 % on 2025-03-02, 50 % now; at this pace two thirds on about 2026-12-31");
    CHECK(lineOf(lines, 2, "BUSH").earlier.empty());
    CHECK_FALSE(lineOf(lines, 2, "SEAL").finding);
}

TEST_CASE("a bushing renewed at the last strip begins its trend anew") {
    WornShop worn;
    worn.found("K1", 1, "BUSH", 80, WearDecision::replace, "worn out", "2025-03-02T10:00:00Z");
    worn.found("K2", 1, "BUSH", 10, WearDecision::keep, "", "2026-03-02T10:00:00Z");
    CHECK(lineOf(inspectionSheet(worn.shop, "K2"), 1, "BUSH").trend ==
          "80 % on 2025-03-02 (renewed), 10 % now");
}

TEST_CASE("a job's kit is what its inspection calls for, with oil and crush washers for every leg") {
    WornShop worn;
    CHECK_THROWS_WITH(applyKit(worn.shop, "K2"),
                      Contains("has not been looked at") && Contains("and 3 more"));
    CHECK(inventory::JobBook(worn.shop).consumables("K2").empty());
    worn.found("K2", 1, "BUSH", 70, WearDecision::replace, "worn out");
    worn.found("K2", 2, "BUSH", 50, WearDecision::defer, "next service");
    worn.found("K2", 1, "SEAL", {}, WearDecision::replace, "lip worn");
    worn.found("K2", 2, "SEAL", {}, WearDecision::replace, "lip worn");
    const JobKit kit = applyKit(worn.shop, "K2");
    CHECK(kit.open.empty());
    REQUIRE(kit.deferred.size() == 1);
    CHECK(kit.deferred[0].part == "BUSH");
    CHECK(inventory::JobBook(worn.shop).consumables("K2") ==
          std::vector<inventory::JobConsumable>{{"CRUSH", 2, "new each time"},
                                                {"OIL", 480, "fresh fill"},
                                                {"BUSH", 1, "worn out"},
                                                {"SEAL", 2, "lip worn"}});
}

TEST_CASE("scratches of chrome and sliders are kept as notes and shown at the next strip") {
    WornShop worn;
    WearFinding chrome;
    chrome.job = "K1";
    chrome.leg = 1;
    chrome.place = "chrome";
    chrome.note = "scratch of 20 mm below the travel mark";
    chrome.utc = inventory::UtcTime::parse("2025-03-02T10:00:00Z");
    inventory::WearBook(worn.shop).record(chrome);
    const auto lines = inspectionSheet(worn.shop, "K2");
    REQUIRE(lines.size() == 5);
    CHECK(lines.back().place == "chrome");
    CHECK_THAT(lines.back().trend, Contains("scratch of 20 mm"));
    CHECK(jobKit(worn.shop, "K2").open.size() ==
          4); // a place that was noted once need not be looked at again
}
