// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/request_check.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

StockItem bin(const char* name, Length od, Length thickness, std::int64_t pieces, bool used = false) {
    return {name, "", od, 6_mm, thickness, {}, used, pieces, 0, 0};
}

/// Three groups; the drawers hold one face disc too few for two legs and something else of each OD.
SubstituteRequest shortRequest() {
    SubstituteRequest request;
    request.target =
        StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{2, 24_mm, 0.15_mm, {}, {}}, {1, 20_mm, 0.15_mm, {}, {}}, {1, 14_mm, 0.20_mm, {}, {}}});
    request.stock = {bin("A1", 24_mm, 0.15_mm, 3), bin("A2", 24_mm, 0.10_mm, 8), bin("B1", 20_mm, 0.15_mm, 4),
                     bin("B2", 20_mm, 0.20_mm, 4), bin("C1", 14_mm, 0.20_mm, 4)};
    return request;
}

void refused(const SubstituteRequest& request, const std::string& words) {
    const SubstituteResult result = findSubstitutes(request);
    CHECK(result.status == SubstituteStatus::bad_request);
    CHECK_THAT(result.message, Catch::Contains(words));
    CHECK(result.proposals.empty());
}

} // namespace

TEST_CASE("each bad request is refused with a sentence that names the rule") {
    REQUIRE(findSubstitutes(shortRequest()).status == SubstituteStatus::proved_best);
    SubstituteRequest request = shortRequest();
    request.legs = 0;
    refused(request, "number of legs is 0");
    request = shortRequest();
    request.stock.erase(request.stock.begin(), request.stock.begin() + 2);
    refused(request, "No bin holds discs of the face's OD, 24.0 mm");
    request = shortRequest();
    request.rules.most_discs = 2;
    refused(request, "3 groups");
    request = shortRequest();
    request.rules.keep_every_od = false;
    request.rules.od_step = Length();
    refused(request, "by a step of 0 mm");
    request = shortRequest();
    request.rules.high_speed_weight = 2;
    refused(request, "the lift between them is not given");
    request = shortRequest();
    std::vector<DiscRow> rows = request.target->rows();
    rows.insert(rows.begin() + 1, rows.front());
    rows[1].thickness = 0.10_mm;
    rows[1].material.elastic_modulus_mpa = 190'000;
    request.target = StackSpec(request.target->valve(), rows);
    refused(request, "different materials");
}

TEST_CASE(
    "without mixing, a target that neither new nor used discs can build alone is not called buildable") {
    SubstituteRequest request = shortRequest();
    request.stock.push_back(bin("U1", 24_mm, 0.15_mm, 3, true));
    CHECK(findSubstitutes(request).message == "The drawers hold the target itself.");
    request.rules.mix_new_and_used = false;
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    CHECK(result.proposals.front().discs_changed > 0);
    CHECK(result.message == "Nothing else within the rules is closer than the first proposal by 0.05 % of "
                            "pressure or more. Every "
                            "stack within the rules was tried.");
    REQUIRE(result.shortages.size() == 1);
    CHECK_THAT(result.shortages.front().sentence, Catch::Contains("3 new ones available, 1 short"));
}

TEST_CASE(
    "the face keeps its OD unless the rules let it move, and then it still covers the ports and the seat") {
    SubstituteRequest request = shortRequest();
    request.stock.erase(request.stock.begin(), request.stock.begin() + 2); // no face disc of 24 mm at all
    request.stock.push_back(bin("A7", 23_mm, 0.15_mm, 8));
    request.stock.push_back(bin("A8", 25_mm, 0.15_mm, 8));
    request.stock.push_back(bin("A9", 19_mm, 0.15_mm, 8));
    refused(request, "face's OD is fixed");
    request.rules.face_od_fixed = false;
    SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    for (const SubstituteProposal& proposal : result.proposals) {
        const Length face = proposal.rows.front().row.od;
        CHECK((face == 23_mm || face == 25_mm));
    }
    CHECK_THAT(result.message, Catch::Contains("face of another OD"));
    request.rules.od_step = 5_mm; // 19 mm would not cover the ports
    result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    for (const SubstituteProposal& proposal : result.proposals) CHECK(proposal.rows.front().row.od >= 20_mm);
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, 23.5_mm, 0_mm}, request.target->rows());
    result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    for (const SubstituteProposal& proposal : result.proposals) CHECK(proposal.rows.front().row.od == 25_mm);
    request.rules.od_step = 0_mm;
    refused(request, "by a step of 0 mm");
}

TEST_CASE("the same request gets the same answer") {
    const SubstituteResult first = findSubstitutes(shortRequest()), second = findSubstitutes(shortRequest());
    REQUIRE(first.proposals.size() == second.proposals.size());
    CHECK(first.examined == second.examined);
    for (std::size_t i = 0; i < first.proposals.size(); ++i) {
        CHECK(first.proposals[i].pressures_mpa == second.proposals[i].pressures_mpa);
        CHECK(first.proposals[i].pulls.size() == second.proposals[i].pulls.size());
    }
}

TEST_CASE("choices besides the closest deviate by no more than the rules allow, or than the closest itself") {
    SubstituteRequest request = shortRequest();
    request.stock.push_back(bin("A3", 24_mm, 0.12_mm, 12));
    request.stock.push_back(bin("A4", 24_mm, 0.20_mm, 12));
    for (StockItem& item : request.stock) item.replacement_cost = item.bin == "A4" ? 1 : 100;
    std::size_t choices = 1000;
    for (const double most : {1.0, 0.10, 0.0}) {
        CAPTURE(most);
        request.rules.most_choice_deviation = most;
        const SubstituteResult result = findSubstitutes(request);
        REQUIRE(result.status == SubstituteStatus::proved_best);
        const double closest = result.proposals.front().deviation.max_deviation;
        for (const SubstituteProposal& proposal : result.proposals)
            CHECK(proposal.deviation.max_deviation <= std::max(most, closest) + 1e-12);
        CHECK(result.proposals.size() <= choices);
        choices = result.proposals.size();
    }
    CHECK(choices == 1);
}

TEST_CASE("a search that is told to stop says that nothing is proved") {
    SubstituteRequest request = shortRequest();
    request.limits.candidates = 1;
    request.limits.gap = 0;
    const SubstituteResult result = findSubstitutes(request);
    CHECK(result.status == SubstituteStatus::found_not_proved);
    CHECK(result.lower_bound == 0);
}

TEST_CASE("a search that its caller ends gives what it had and calls it not proved") {
    SubstituteRequest request = shortRequest();
    request.stock.clear();
    for (const Length od : {24_mm, 20_mm, 14_mm}) {
        for (const Length thickness : {0.08_mm, 0.10_mm, 0.12_mm, 0.18_mm, 0.20_mm, 0.25_mm})
            request.stock.push_back(bin("A1", od, thickness, 24));
    }
    request.target =
        StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{4, 24_mm, 0.15_mm, {}, {}}, {3, 20_mm, 0.15_mm, {}, {}}, {2, 14_mm, 0.20_mm, {}, {}}});
    request.rules.most_other_groups_changed = 3;
    request.limits = {600, 1'000'000'000, 6, 0};
    int calls = 0;
    request.progress = [&](const SubstituteProgress& progress) {
        ++calls;
        return !(progress.best_deviation < 1); // as soon as there is a stack
    };
    const SubstituteResult result = findSubstitutes(request);
    CHECK(calls >= 1);
    CHECK(result.status == SubstituteStatus::found_not_proved);
    CHECK_FALSE(result.proposals.empty());
    CHECK_THAT(result.message, Catch::Contains("The search ended before everything was looked at"));
}

TEST_CASE("rules up to a lift that is all low speed weigh nothing apart") {
    SubstituteRules rules;
    rules.low_speed_lift_mm = 0.25;
    rules.low_speed_weight = 2;
    const SubstituteRules shorter = rulesUpTo(rules, 0.20);
    CHECK(shorter.working_lift_mm == 0.20);
    CHECK(shorter.low_speed_lift_mm == 0);
    CHECK(shorter.low_speed_weight == shorter.high_speed_weight);
    const SubstituteRules longer = rulesUpTo(rules, 0.28);
    CHECK(longer.low_speed_lift_mm == 0.25);
    CHECK(longer.low_speed_weight == 2);
}

TEST_CASE(
    "a spacer under the clamp that breaks the height rule leaves the other groups free to make up for it") {
    SubstituteRequest request;
    request.target =
        StackSpec({12_mm, 14_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{3, 24_mm, 0.15_mm, {}, {}}, {1, 18_mm, 0.15_mm, {}, {}}, {1, 12_mm, 0.20_mm, {}, {}}});
    request.legs = 1;
    request.rules.height_tolerance = 0.10_mm;
    request.stock = {{"A1", "", 24_mm, 6_mm, 0.15_mm, {}, false, 3, 1, 0},
                     {"B1", "", 18_mm, 6_mm, 0.15_mm, {}, false, 1, 2, 0},
                     {"C1", "", 12_mm, 6_mm, 0.35_mm, {}, false, 1, 3, 0}};
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    CHECK(result.proposals.front().height_change == 0_mm); // one face disc fewer
}
