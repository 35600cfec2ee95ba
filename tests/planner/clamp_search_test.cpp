// SPDX-License-Identifier: GPL-3.0-or-later
// The clamp's discs of another OD: what is proposed and proved, against every stack on every clamp.
#include "every_stack.h"
#include "random_drawers.h"
#include "rule_book.h"

#include "planner/mechanics/stack_lift.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <optional>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

namespace {

Length micrometres(int value) {
    return Length::fromMicrometres(value);
}

/// A stack that ends with discs as wide as the clamp, and drawers with such of 9 to 12 mm.
SubstituteRequest withClampDiscs(std::mt19937& random) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    SubstituteRequest request = randomRequest(random, 2, 2);
    std::vector<DiscRow> rows = request.target->rows();
    rows.push_back({1, micrometres(10'000), micrometres(300), {}, {}});
    request.target = StackSpec(request.target->valve(), rows);
    request.rules.height_tolerance = micrometres(pick(1, 3) * 150);
    request.rules.clamp_od_step = micrometres(pick(1, 2) * 1000);
    for (const int od : {9, 10, 11, 12}) {
        if (pick(0, 3) == 0) continue;
        request.stock.push_back({"K" + std::to_string(od),
                                 "",
                                 micrometres(od * 1000),
                                 micrometres(6000),
                                 micrometres(pick(2, 4) * 100),
                                 {},
                                 false,
                                 pick(1, 2) * request.legs,
                                 1,
                                 0});
    }
    return request;
}

/// The request on the clamp of that OD, made here and not by the search; none where that cannot exist.
std::optional<SubstituteRequest> onClamp(const SubstituteRequest& request, int od_mm) {
    const StackSpec& target = *request.target;
    SubstituteRequest other = request;
    other.rules.clamp_od_step = {};
    const Length od = micrometres(1000 * od_mm);
    if (od == target.valve().clamp_od) return other;
    if (other.rules.most_discs_changed && (*other.rules.most_discs_changed -= 1) < 0) return {};
    std::vector<DiscRow> rows = target.rows();
    for (DiscRow& row : rows) {
        if (row.od == target.valve().clamp_od) row.od = od;
    }
    ValveGeometry valve = target.valve();
    valve.clamp_od = od;
    other.target = StackSpec(valve, rows);
    other.curve_of = target;
    return other;
}

struct Tally {
    int compared = 0, proved = 0, impossible = 0, of_other_clamps = 0;
};

/// Requests with any clamp that the rules allow, against every stack on every one of them.
Tally compareClamps(unsigned seed, int count) {
    std::mt19937 random(seed);
    Tally tally;
    for (int round = 0; round < count; ++round) {
        SubstituteRequest request = withClampDiscs(random);
        if (round % 2 == 0)
            request.rules.wanted = WantedFactor::read(round % 4 == 0 ? "0:0.85" : "0:1.1,0.3:1.2");
        CAPTURE(round, request.rules.wanted.text());
        std::optional<double> least;
        bool any = false, too_many = false;
        for (const int od : {8, 9, 10, 11, 12}) {
            const auto step = std::abs(1000 * od - request.target->valve().clamp_od.micrometres());
            if (step > request.rules.clamp_od_step.micrometres()) continue;
            const auto other = onClamp(request, od);
            if (!other || !whatIsWrongWith(*other).empty()) continue;
            const RuleBook book(*other, 3000);
            too_many = too_many || book.tooMany();
            if (too_many) break;
            any = any || !book.stacks().empty();
            const auto of_clamp = book.least(GridOptions::searchGrid(), 300);
            if (of_clamp) least = std::min(least.value_or(1e9), *of_clamp);
        }
        if (too_many || !whatIsWrongWith(request).empty()) continue;
        const SubstituteResult result = findSubstitutes(request);
        CAPTURE(result.message);
        ++tally.compared;
        if (result.status == SubstituteStatus::nothing_possible) {
            ++tally.impossible;
            CHECK_FALSE(any);
            continue;
        }
        if (result.proposals.empty() || result.fine_grid) continue;
        REQUIRE(least);
        const SubstituteProposal& first = result.proposals.front();
        CHECK(first.deviation.max_deviation >= *least - 1e-3);
        if (result.status == SubstituteStatus::proved_best && result.basis.kind != ProofBasis::Kind::gap) {
            ++tally.proved;
            CHECK(first.deviation.max_deviation <= *least + request.limits.gap + 1e-3);
        }
        tally.of_other_clamps += first.clamp_od.has_value();
        // What is told of it is what following both stacks says, each on its own clamp.
        std::vector<DiscRow> rows;
        for (const ProposalRow& row : first.rows) rows.push_back(row.row);
        StackLift built(StackSpec(valveOf(*request.target, first), rows));
        StackLift own(*request.target);
        const double lift = 0.3;
        const StackReport of_built = built.overLift(lift, request.rules.regime, 1),
                          of_own = own.overLift(lift, request.rules.regime, 1);
        REQUIRE((of_built.converged && of_own.converged));
        const double ratio =
            of_built.curve.points().back().pressure_mpa / of_own.curve.points().back().pressure_mpa;
        CHECK(first.against_base.full_lift_ratio == Approx(ratio).epsilon(0.01));
        for (const ProposalRow& row : first.rows) {
            if (first.clamp_od && row.row.od == *first.clamp_od) CHECK(row.replaces);
        }
    }
    return tally;
}

} // namespace

TEST_CASE("no word of the search is false where the clamp may be another one, as every stack on every clamp "
          "shows") {
    const Tally tally = compareClamps(2026, 40);
    CHECK(tally.proved > 5);
    CHECK(tally.impossible > 0);
    CHECK(tally.of_other_clamps > 5);
}

TEST_CASE("no word of the search is false on many drawers with other clamps", "[.long]") {
    const char* count = std::getenv("SHIMLEDGER_DRAWERS");
    const char* seed = std::getenv("SHIMLEDGER_SEED");
    const Tally tally = compareClamps(seed ? static_cast<unsigned>(std::atoi(seed)) : 20261130,
                                      count ? std::atoi(count) : 1000);
    WARN(tally.compared << " compared with every stack on every clamp, " << tally.proved << " proved, "
                        << tally.impossible << " impossible, " << tally.of_other_clamps
                        << " best on another clamp");
}

TEST_CASE("a rule about a row that is not there is refused where the clamp may move, too") {
    std::mt19937 random(3);
    SubstituteRequest request = withClampDiscs(random);
    for (const int row : {0, -1, 99}) {
        request.rules.rows_that_stay = {row};
        const SubstituteResult result = findSubstitutes(request);
        CHECK(result.status == SubstituteStatus::bad_request);
        CHECK(result.message == whatIsWrongWith(request));
    }
}

TEST_CASE("with a step of 0, or no disc as wide as the clamp, the search is the one it was") {
    std::mt19937 random(7);
    for (int round = 0; round < 10; ++round) {
        SubstituteRequest request = randomRequest(random, 2, 2); // no disc of the clamp's OD
        const SubstituteResult plain = findSubstitutes(request);
        request.rules.clamp_od_step = micrometres(2000);
        const SubstituteResult with_rule = findSubstitutes(request);
        CHECK(plain.status == with_rule.status);
        CHECK(plain.message == with_rule.message);
        CHECK(plain.proposals.size() == with_rule.proposals.size());
        if (!plain.proposals.empty())
            CHECK(plain.proposals.front().deviation.max_deviation ==
                  with_rule.proposals.front().deviation.max_deviation);
    }
}
