// SPDX-License-Identifier: GPL-3.0-or-later
// A valve's flow as its component model tells it, and clicks that make a substitute its target again.
#include "small_shop.h"

#include "app/services/click_advice.h"
#include "app/services/known_flow.h"
#include "app/services/pick_list.h"
#include "app/services/reserve_plan.h"
#include "inventory/master_fields.h"
#include "planner/stack/stack_text.h"

#include <catch2/catch.hpp>

#include <numbers>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

planner::StackSpec stackOf(std::string_view text) {
    return {{mm("10"), mm("13"), mm("20"), mm("6"), {}, {}}, planner::parseStackText(text)};
}

inventory::ModelFlow told(const std::string& valve, const std::map<std::string, std::string>& texts) {
    inventory::ModelFlow flow{"FORK", valve};
    for (const auto& field : inventory::fieldsOf<inventory::ModelFlow>()) {
        const auto text = texts.find(std::string(field.name));
        if (text != texts.end()) inventory::setField(flow, field, text->second);
    }
    return flow;
}

double circle(double diameter_mm) {
    return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

const std::map<std::string, std::string> whole_valve{{"piston_mm", "28"},
                                                     {"shaft_mm", "12"},
                                                     {"port_count", "6"},
                                                     {"port_mm", "3.5"},
                                                     {"adjuster", "0=0 8=1.2 20=2.4"},
                                                     {"click", "8"},
                                                     {"temperature_c", "20"},
                                                     {"oil_density_kg_m3", "860"},
                                                     {"oil_40c_mm2_s", "20"},
                                                     {"oil_100c_mm2_s", "4.5"},
                                                     {"backing_mpa", "1.2"},
                                                     {"curtain_discharge", "0.66"}};

planner::SubstituteProposal proposalOf(const planner::StackSpec& stack) {
    planner::SubstituteProposal proposal;
    for (const planner::DiscRow& row : stack.rows()) proposal.rows.push_back({row, 0, true});
    return proposal;
}

} // namespace

TEST_CASE("what nobody has told of a valve is usual of its kind, and each such figure is named") {
    const KnownFlow base = knownFlow(told("base", {}), stackOf("4 x 24 x 0.10"));
    CHECK(base.flow.swept_area_mm2 == Approx(circle(9)));
    CHECK(base.flow.force_area_mm2 == base.flow.swept_area_mm2);
    CHECK(base.stroke == inventory::Stroke::compression);
    const KnownFlow rebound = knownFlow(told("rebound 2", {}), stackOf("4 x 24 x 0.10"));
    CHECK(rebound.flow.swept_area_mm2 == Approx(circle(26.4) - circle(9)));
    CHECK(rebound.stroke == inventory::Stroke::rebound);
    std::vector<std::string> fields;
    for (const AssumedFigure& figure : rebound.assumed) fields.push_back(figure.field);
    CHECK(fields == std::vector<std::string>{"shaft_mm", "piston_mm", "port_area_mm2", "bleed_mm",
                                             "oil_density_kg_m3", "temperature_c"});
    CHECK_THAT(assumedSentence(rebound.assumed), Contains("taken from what is usual: shaft 9.0 mm"));
    CHECK_FALSE(rebound.flow.backing_pressure_mpa);
}

TEST_CASE("what is told of a valve is taken, and a valve that is told whole assumes nothing") {
    const KnownFlow known = knownFlow(told("mid", whole_valve), stackOf("4 x 24 x 0.10"));
    CHECK(known.assumed.empty());
    CHECK(assumedSentence(known.assumed).empty());
    CHECK(known.flow.swept_area_mm2 == Approx(circle(28) - circle(12)));
    CHECK(known.flow.port_area_mm2 == Approx(6 * circle(3.5)));
    CHECK(known.flow.clicks.size() == 3);
    CHECK(known.flow.click == 8);
    CHECK(known.flow.bleed_diameter_mm == 1.2);
    CHECK(known.flow.temperature_c == 20);
    CHECK(known.flow.oil.viscosity_100c_mm2_s == 4.5);
    CHECK(known.flow.backing_pressure_mpa == 1.2);
    CHECK(known.flow.curtain_discharge == 0.66);
    CHECK(known.flow.port_discharge == 0.7);
    const KnownFlow needle = knownFlow(told("mid", {{"needle_seat_mm", "2"},
                                                    {"needle_cone_deg", "20"},
                                                    {"needle_pitch_mm", "0.5"},
                                                    {"needle_clicks_per_turn", "8"},
                                                    {"needle_clicks", "24"}}),
                                       stackOf("4 x 24 x 0.10"));
    CHECK(needle.flow.clicks.size() == 25);
    CHECK(needle.flow.click == 12); // its middle, and marked
    CHECK_THAT(assumedText(needle.assumed), Contains("the adjuster at click 12"));
}

TEST_CASE("a stiffer substitute is the target again with clicks more out, and one that one click makes equal "
          "says so") {
    const planner::StackSpec target = stackOf("4 x 24 x 0.10, 18 x 0.15");
    const planner::ValveFlow flow = knownFlow(told("mid", whole_valve), target).flow;
    const ClickAdvice same = clickAdvice(target, flow, proposalOf(target));
    REQUIRE(same.legs.size() == 1);
    CHECK(same.legs[0].click == 8);
    CHECK_FALSE(same.one_click_equals);
    CHECK_THAT(same.sentence, Contains("at the same click (8): 0.0 %"));
    bool told_equal = false;
    for (const char* text :
         {"5 x 24 x 0.10, 18 x 0.15", "3 x 24 x 0.12, 18 x 0.15", "3 x 24 x 0.12, 18 x 0.10"}) {
        const ClickAdvice advice = clickAdvice(target, flow, proposalOf(stackOf(text)));
        REQUIRE(advice.legs.size() == 1);
        const planner::ClickMatch& match = advice.legs[0];
        if (match.ratio_at_same_click > 1.03) CHECK(match.click > 8);
        CHECK(std::abs(match.ratio - 1) <= std::abs(match.ratio_at_same_click - 1));
        CHECK(advice.one_click_equals ==
              (std::abs(match.click - 8) == 1 && std::abs(match.ratio - 1) < 0.01));
        CHECK((advice.sentence.find("One click makes it equal.") != std::string::npos) ==
              advice.one_click_equals);
        told_equal = told_equal || advice.one_click_equals;
    }
    CHECK(clickAdvice(target, knownFlow(told("mid", {}), target).flow, proposalOf(target)).legs.empty());
}

TEST_CASE("legs whose discs measure differently are told apart") {
    const planner::StackSpec target = stackOf("4 x 24 x 0.10, 18 x 0.15");
    const planner::ValveFlow flow = knownFlow(told("mid", whole_valve), target).flow;
    planner::SubstituteProposal proposal = proposalOf(target);
    planner::Pull thin, thick;
    thin.od = thick.od = mm("24");
    thin.thickness = thick.thickness = mm("0.10");
    thin.measured = mm("0.092");
    thick.measured = mm("0.108");
    thin.quantity = thick.quantity = 4;
    thin.per_leg = {4, 0};
    thick.per_leg = {0, 4};
    proposal.pulls = {thin, thick};
    const ClickAdvice advice = clickAdvice(target, flow, proposal);
    REQUIRE(advice.legs.size() == 2);
    CHECK(advice.legs[0].click < advice.legs[1].click); // the thin one closes, the thick one opens
    CHECK_THAT(advice.sentence,
               Contains("At 0.1 m/s, leg 1: it is the target with") && Contains("; leg 2: it is"));
}

TEST_CASE("plan and build sheet of a job whose valve has an adjuster say the click, others say nothing") {
    SmallShop small;
    const JobPlan without = planJob(small.shop, "J1");
    CHECK(without.clicks.empty());
    const inventory::Job job = inventory::JobBook(small.shop).get("J1");
    inventory::ComponentModels models(small.shop);
    inventory::ComponentModel model = models.get(job.model);
    model.valves.push_back(job.valve);
    models.update(model);
    inventory::ModelFlow flow = told(job.valve.name, whole_valve);
    flow.model = job.model;
    inventory::ModelFlows(small.shop).update(flow);
    const JobPlan plan = planJob(small.shop, "J1");
    REQUIRE_FALSE(plan.result.proposals.empty());
    REQUIRE(plan.clicks.size() == plan.result.proposals.size());
    CHECK_THAT(plan.clicks.front().sentence, Contains("At 0.1 m/s"));
    reservePlan(small.shop, plan, 0);
    CHECK(pickSheet(small.shop, "J1").clicks == plan.clicks.front().sentence);
}
