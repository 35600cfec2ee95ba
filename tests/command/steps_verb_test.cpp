// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace shimledger::command;
using Catch::Contains;

namespace {

struct Files {
    TemporaryFolder folder;
    std::string stack = folder / "stack.json", stock = folder / "stock.csv";
    Files() {
        writeBytes(
            stack,
            R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,)"
            R"( "shim_id_mm": 6}, "discs": [{"count": 4, "od_mm": 24, "thickness_mm": 0.10},)"
            R"( {"count": 1, "od_mm": 16, "thickness_mm": 0.10}, {"count": 2, "od_mm": 22, "thickness_mm": 0.15},)"
            R"( {"count": 1, "od_mm": 10, "thickness_mm": 0.30}]})");
        writeBytes(stock, "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                          "shim,24,6,0.10,,new,A1,9\r\nshim,24,6,0.12,,new,A2,2\r\n");
    }
};

/// The pressure at a lift of a step's own stack, told by the verb `lift`: by chords between many pressures.
double pressureOf(const TemporaryFolder& folder, const nlohmann::json& step, double lift_mm,
                  double near_mpa) {
    nlohmann::json stack = {{"valve",
                             {{"clamp_od_mm", step["clamp_od_mm"]},
                              {"port_inner_diameter_mm", 13},
                              {"port_outer_diameter_mm", 20},
                              {"shim_id_mm", 6}}},
                            {"discs", step["discs"]}};
    writeBytes(folder / "one.json", stack.dump());
    std::string pressures;
    for (int i = 0; i < 40; ++i) {
        if (i > 0) pressures += ",";
        pressures += std::to_string(near_mpa * (0.4 + 0.04 * i));
    }
    const CommandRun run = runShimledger({"lift", folder / "one.json", "--pressures", pressures, "--json"});
    REQUIRE(run.code == exit_done);
    const auto json = nlohmann::json::parse(run.out);
    const auto& points = json["points"];
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double a = points[i - 1]["lift_mm"], b = points[i]["lift_mm"];
        if (b < lift_mm) continue;
        const double p = points[i - 1]["pressure_mpa"], q = points[i]["pressure_mpa"];
        return p + (q - p) * (lift_mm - a) / (b - a);
    }
    return -1;
}

} // namespace

TEST_CASE("steps tells what the verb lift tells of each stack") {
    const Files files;
    const CommandRun run = runShimledger({"steps", files.stack, "--stock", files.stock, "--json"});
    REQUIRE(run.code == exit_done);
    const auto json = nlohmann::json::parse(run.out);
    CHECK(json["lifts_mm"] == nlohmann::json::array({0.03, 0.15, 0.3}));
    int compared = 0;
    for (const auto& step : json["steps"]) {
        const std::string words = step["words"];
        CAPTURE(words);
        for (std::size_t i = 0; i < 3; ++i) {
            const double base = json["base_pressures_mpa"][i];
            const double wanted = base * (1 + step["changes"][i].get<double>());
            const double found = pressureOf(files.folder, step, json["lifts_mm"][i], wanted);
            CHECK(found == Approx(wanted).epsilon(4e-3)); // chords, and another grid
            ++compared;
        }
        CHECK(step["in_drawers"].get<bool>() == (step["available"].get<int>() >= step["needed"].get<int>()));
    }
    CHECK(compared > 30);
}

TEST_CASE("steps says in words what each does, of files with and without drawers and of a job") {
    const Files files;
    const CommandRun with = runShimledger({"steps", files.stack, "--stock", files.stock, "--legs", "2"});
    REQUIRE(with.code == exit_done);
    CHECK_THAT(with.out, Contains("one more 24.0 x 0.10") && Contains("yes (2)") &&
                             Contains("4 x 24.0 x 0.12 instead of 0.10") && Contains("no: 2 of 8") &&
                             Contains("nothing needed") && Contains("clamp 9.0 instead of 10.0 mm") &&
                             Contains("gap 0.05 mm wider") && Contains("0.150 mm"));
    const CommandRun without = runShimledger({"steps", files.stack});
    REQUIRE(without.code == exit_done);
    CHECK_THAT(without.out, !Contains("in the drawers"));
    CHECK(nlohmann::json::parse(runShimledger({"steps", files.stack, "--json"}).out)["steps"][0]["in_drawers"]
              .is_null());
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun job = runShimledger({"steps", "--db", shop, "--job", "JOB-1003", "--json"});
    REQUIRE(job.code == exit_done);
    const auto json = nlohmann::json::parse(job.out);
    CHECK(json["steps"].size() > 10);
    CHECK(json["steps"][0]["in_drawers"].is_boolean());
}

TEST_CASE("steps refuses what it cannot mean") {
    const Files files;
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto refused = [](const std::vector<std::string>& words, const char* told) {
        const CommandRun run = runShimledger(words);
        CHECK(run.code == exit_bad_input);
        CHECK(run.out.empty());
        CHECK_THAT(run.error, Contains(told));
    };
    refused({"steps"}, "give STACK.json, or --db with --job");
    refused({"steps", "--stock", files.stock}, "give STACK.json");
    refused({"steps", files.stack, "--db", shop, "--job", "JOB-1003"}, "give either STACK.json");
    refused({"steps", "--db", shop}, "belong together");
    refused({"steps", "--db", shop, "--job", "JOB-9"}, "JOB-9");
    refused({"steps", "--db", shop, "--job", "JOB-1003", "--legs", "2"}, "a job has its own number of legs");
    refused({"steps", files.stack, "--legs", "0"}, "--legs is 0");
    refused({"steps", files.stack, "--working-lift", "0"}, "--working-lift");
    refused({"steps", files.stack, "--working-lift", "nan"}, "--working-lift");
    refused({"steps", files.stack, "--model", "warp"}, "warp");
    refused({"steps", files.folder / "none.json"}, "none.json");
}
