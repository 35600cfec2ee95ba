// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/job_end.h"
#include "inventory/master_changes.h"
#include "inventory/master_fields.h"
#include "inventory/model_flow.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

const auto mm = Length::parseMillimetres;

struct FlowShop : SmallShop {
    ModelFlows flows{shop};
    MasterHistory history{shop};

    FlowShop() { ComponentModels(shop).addValve("FORK", plainJob("J1").valve); }
};

ModelFlow plainFlow() {
    return {"FORK", "compression"};
}

void setFields(ModelFlow& flow, const std::map<std::string, std::string>& texts) {
    for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>()) {
        const auto text = texts.find(std::string(field.name));
        if (text != texts.end()) setField(flow, field, text->second);
    }
}

/// Something in every field that can stand beside the others.
ModelFlow fullFlow() {
    ModelFlow flow = plainFlow();
    setFields(flow, {{"stroke", "rebound"},
                     {"driven_by", "piston"},
                     {"piston_mm", "28.5"},
                     {"shaft_mm", "12"},
                     {"port_count", "6"},
                     {"port_mm", "3.2"},
                     {"open_share", "0.85"},
                     {"needle_seat_mm", "2"},
                     {"needle_cone_deg", "20.5"},
                     {"needle_pitch_mm", "0.5"},
                     {"needle_clicks_per_turn", "12"},
                     {"needle_clicks", "20"},
                     {"click", "8"},
                     {"oil_density_kg_m3", "850"},
                     {"oil_40c_mm2_s", "15.1"},
                     {"oil_100c_mm2_s", "3.525"},
                     {"temperature_c", "-5.5"},
                     {"backing_mpa", "1.2"},
                     {"port_discharge", "0.7"},
                     {"curtain_discharge", "0.712"},
                     {"bleed_discharge", "0.65"},
                     {"fitted_to", "bench.csv, \"12\" readings"}});
    return flow;
}

} // namespace

TEST_CASE("what is measured of a valve's flow is kept field by field, with what stood there before") {
    FlowShop small;
    CHECK(small.flows.get("FORK", "compression").saysNothing());
    const auto changes = small.flows.update(fullFlow());
    CHECK(changes.size() == 22);
    CHECK(small.flows.get("FORK", "compression") == fullFlow());
    CHECK(small.history.ofModel("FORK") == changes);
    CHECK(changes[2].field == "piston_mm");
    CHECK(changes[2].item == "compression");
    CHECK(changes[2].after == "28.5");
    CHECK(small.flows.update(fullFlow()).empty());
    ModelFlow flow = fullFlow();
    setFields(flow, {{"piston_mm", ""}, {"temperature_c", "40"}});
    const auto more = small.flows.update(flow);
    REQUIRE(more.size() == 2);
    CHECK(more[0].after.empty());
    CHECK(more[1].before == "-5.5");
    CHECK_THAT(refusalOf([&] { small.flows.update(plainFlow(), fullFlow()); }), Contains("somebody else"));
    CHECK(small.flows.update(plainFlow()).size() == 21);
    CHECK(small.flows.list().empty());
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("figures of a flow that contradict one another are refused, naming the valve") {
    FlowShop small;
    const std::pair<std::map<std::string, std::string>, const char*> wrong[] = {
        {{{"piston_mm", "12"}, {"shaft_mm", "12"}}, "it must be thinner"},
        {{{"port_count", "6"}}, "number and their diameter"},
        {{{"port_count", "6"}, {"port_mm", "3"}, {"port_area_mm2", "40"}}, "give one of them"},
        {{{"oil_density_kg_m3", "850"}}, "all three"},
        {{{"oil_density_kg_m3", "850"}, {"oil_40c_mm2_s", "3"}, {"oil_100c_mm2_s", "15"}}, "no thinner"},
        {{{"needle_seat_mm", "2"}}, "all of them"},
        {{{"click", "3"}}, "has no adjuster"},
        {{{"adjuster", "0=0 4=0.8"}, {"click", "5"}}, "is not on the adjuster, which has 0 to 4"},
        {{{"adjuster", "0=0 4=0.8"}, {"bleed_mm", "1"}}, "leave the bleed out"}};
    for (const auto& [texts, part] : wrong) {
        ModelFlow flow = plainFlow();
        setFields(flow, texts);
        const std::string refusal = refusalOf([&] { small.flows.update(flow); });
        CHECK_THAT(refusal, Contains(part));
        CHECK_THAT(refusal, Contains("valve 'compression' of model 'FORK'"));
    }
    ModelFlow elsewhere{"FORK", "rebound"};
    setFields(elsewhere, {{"piston_mm", "28"}});
    CHECK_THAT(refusalOf([&] { small.flows.update(elsewhere); }), Contains("has no valve 'rebound'"));
    CHECK(small.flows.list().empty());
    CHECK(small.history.ofModel("FORK").empty());
}

TEST_CASE("a figure of a flow outside its range or that is no number is refused by its field") {
    const std::pair<const char*, const char*> wrong[] = {
        {"piston_mm", "0"},       {"piston_mm", "351"},
        {"piston_mm", "wide"},    {"port_count", "0"},
        {"port_count", "2.5"},    {"open_share", "1.001"},
        {"open_share", "0.0001"}, {"bleed_mm", "-1"},
        {"bleed_mm", "20.001"},   {"click", "201"},
        {"temperature_c", "151"}, {"temperature_c", "nan"},
        {"backing_mpa", "1,5"},   {"stroke", "up"},
        {"driven_by", "oil"},     {"curtain_discharge", "0.05"},
        {"adjuster", "1=0.5"},    {"adjuster", "0=1 1=0"},
        {"adjuster", "1=0 1=1"},  {"adjuster", "x=1 2=2"},
        {"adjuster", "0 1"},      {"adjuster", "0=0 1=21"}};
    for (const auto& [field, text] : wrong) {
        INFO(field << " " << text);
        ModelFlow flow = plainFlow();
        CHECK_THROWS_AS(setFields(flow, {{field, text}}), InputError);
        CHECK(flow.saysNothing());
    }
}

TEST_CASE("a valve that is taken off a model takes its flow along, and history keeps both") {
    FlowShop small;
    small.flows.update(fullFlow());
    ComponentModels models(small.shop);
    ComponentModel model = models.get("FORK");
    model.note = "the valve stays";
    CHECK(models.update(model).size() == 1);
    CHECK(small.flows.get("FORK", "compression") == fullFlow());
    model.valves.clear();
    CHECK(models.update(model).size() == 1 + 22);
    CHECK(small.flows.list().empty());
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("flows go out as CSV and come in again, and an import changes none that is there") {
    FlowShop small;
    small.flows.update(fullFlow());
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy = ShopFile::create(small.folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, small.folder / "out");
    CHECK(ModelFlows(copy).get("FORK", "compression") == fullFlow());
    CHECK(MasterHistory(copy).ofModel("FORK").size() == 22);
    CHECK(verifyStock(copy).good());
    const auto imported = [&](const std::string& text) {
        writeBytes(small.folder / "model_flows.csv", text);
        return refusalOf([&] { importFile(small.shop, small.folder / "model_flows.csv"); });
    };
    CHECK_THAT(imported("model,valve,piston_mm\nFORK,compression,30\n"), Contains("is there already"));
    CHECK_THAT(imported("model,valve,piston_mm\nFORK,base,30\n"), Contains("has no valve 'base'"));
    CHECK_THAT(imported("model,valve,piston_mm\nFORK,compression,wide\n"), Contains("piston diameter"));
    small.flows.update(plainFlow());
    CHECK(imported("model,valve,piston_mm\nFORK,compression,30\n").empty());
    CHECK(small.flows.get("FORK", "compression").piston == mm("30"));
    CHECK(small.history.ofModel("FORK").back().after == "30.0");
}

TEST_CASE("a figure of a flow that was changed behind the program's back is found", "[file]") {
    FlowShop small;
    small.flows.update(fullFlow());
    RawDatabase raw(small.shop.path());
    REQUIRE(raw.run("UPDATE model_flows SET oil_40c_mm2_s_thousandths = 16000").empty());
    CHECK_FALSE(verifyStock(small.shop).good());
}

TEST_CASE("a job keeps when it ended, until it is opened again") {
    SmallShop small;
    JobBook jobs(small.shop);
    jobs.close("J1");
    jobs.cancel("J2");
    CHECK(jobs.get("J1").ended == test_time);
    CHECK(jobs.get("J2").ended == test_time);
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy =
        ShopFile::create(small.folder.shop("copy.db"), fixedClock(UtcTime::parse("2030-01-01T00:00:00Z")));
    importShopFolder(copy, small.folder / "out");
    CHECK(JobBook(copy).get("J1").ended == test_time);
    reopenJob(small.shop, "J1");
    CHECK_FALSE(jobs.get("J1").ended);
    writeBytes(small.folder / "jobs.csv",
               "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,"
               "port_outer_diameter_mm,shim_id_mm,status,ended_utc\n"
               "J8,x,FORK,base,2,2026-01-01,10,13,20,6,closed,\n"
               "J9,x,FORK,base,2,2026-01-01,10,13,20,6,closed,2026-02-03T04:05:06Z\n");
    importFile(small.shop, small.folder / "jobs.csv");
    CHECK_FALSE(jobs.get("J8").ended); // nobody knows
    CHECK(jobs.get("J9").ended == UtcTime::parse("2026-02-03T04:05:06Z"));
    writeBytes(small.folder / "jobs.csv",
               "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,"
               "port_outer_diameter_mm,shim_id_mm,status,ended_utc\n"
               "J10,x,FORK,base,2,2026-01-01,10,13,20,6,open,2026-02-03T04:05:06Z\n");
    CHECK_THAT(refusalOf([&] { importFile(small.shop, small.folder / "jobs.csv"); }),
               Contains("has not ended"));
}
