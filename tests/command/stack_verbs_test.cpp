// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

using namespace shimledger::command;

namespace {

constexpr const char* single_disc =
    R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6},
 "discs": [{"count": 1, "od_mm": 24, "thickness_mm": 0.15}]})";

constexpr const char* target_stack =
    R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6},
 "discs": [{"count": 4, "od_mm": 24, "thickness_mm": 0.10}, {"count": 1, "od_mm": 18, "thickness_mm": 0.15},
           {"count": 1, "od_mm": 10, "thickness_mm": 0.30}]})";

constexpr const char* stock_header = "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n";

std::string stockLines(int face_discs) {
    return std::string(stock_header) + "shim,24,6,0.10,,new,A1," + std::to_string(face_discs) +
           "\r\nshim,24,6,0.12,,new,A2,12\r\nshim,24,6,0.15,0.149,used,F1,6\r\n"
           "shim,18,6,0.15,,new,B1,8\r\nshim,10,6,0.30,,new,B2,8\r\n";
}

} // namespace

TEST_CASE("lift --json gives a point for each pressure, and the large model lifts less than the small one") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", single_disc);
    const CommandRun large =
        runShimledger({"lift", folder / "stack.json", "--pressures", "0.05,0.1,0.2", "--json"});
    REQUIRE(large.code == exit_done);
    CHECK(large.error.empty());
    const auto json = nlohmann::json::parse(large.out);
    CHECK(json["model"] == "large");
    REQUIRE(json["points"].size() == 3);
    CHECK(json["points"][1]["pressure_mpa"] == 0.1);
    CHECK(json["warnings"].is_array());
    const CommandRun small = runShimledger(
        {"lift", folder / "stack.json", "--pressures", "0.05,0.1,0.2", "--model", "small", "--json"});
    REQUIRE(small.code == exit_done);
    const auto linear = nlohmann::json::parse(small.out);
    const double lift = linear["points"][2]["lift_mm"];
    CHECK(lift == Approx(2 * linear["points"][1]["lift_mm"].get<double>()).epsilon(1e-6)); // a straight line
    CHECK(json["points"][2]["lift_mm"].get<double>() < lift);
}

TEST_CASE("lift without pressures tells ten points over the working range, shares and stresses") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    const CommandRun run = runShimledger({"lift", folder / "stack.json"});
    REQUIRE(run.code == exit_done);
    CHECK(run.out.find("4 x 24.0 x 0.10") != std::string::npos);
    CHECK(run.out.find("load share") != std::string::npos);
    CHECK(run.out.find("0.3000") != std::string::npos);
    CHECK(run.out.find("Thickness tolerance") != std::string::npos);
}

TEST_CASE("lift tells what friction between the discs does, and nothing of it with a coefficient of 0") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    const auto points = [&](const std::vector<std::string>& options) {
        std::vector<std::string> arguments{"lift", folder / "stack.json", "--pressures", "0.1,0.3", "--json"};
        arguments.insert(arguments.end(), options.begin(), options.end());
        const CommandRun run = runShimledger(arguments);
        REQUIRE(run.code == exit_done);
        return nlohmann::json::parse(run.out)["points"];
    };
    const auto usual = points({}), twice = points({"--friction", "0.24"}), none = points({"--friction", "0"});
    for (std::size_t i = 0; i < 2; ++i) {
        const double half = usual[i]["friction_half_width"];
        CHECK(half > 0.003 * usual[i]["lift_mm"].get<double>());
        CHECK(half < 0.03 * usual[i]["lift_mm"].get<double>());
        CHECK(twice[i]["friction_half_width"].get<double>() == Approx(2 * half));
        CHECK(none[i]["friction_half_width"] == 0.0);
        CHECK(none[i]["lift_mm"] == usual[i]["lift_mm"]);
    }
    CHECK(runShimledger({"lift", folder / "stack.json"}).out.find("coefficient 0.12") != std::string::npos);
    CHECK(runShimledger({"lift", folder / "stack.json", "--friction", "0"}).out.find("friction") ==
          std::string::npos);
}

TEST_CASE("lift gives the curve of a preloaded seat in every model, also where the edge sinks first") {
    const TemporaryFolder folder;
    std::string preloaded = target_stack;
    const std::string bore = R"("shim_id_mm": 6)";
    preloaded.replace(preloaded.find(bore), bore.size(),
                      bore + R"(, "seat_diameter_mm": 20.5, "preload_mm": 0.05)");
    writeBytes(folder / "stack.json", preloaded);
    for (const char* model : {"small", "large", "warp"}) {
        const CommandRun run = runShimledger({"lift", folder / "stack.json", "--pressures",
                                              "0,0.01,0.02,0.05,0.1,0.2,0.4", "--model", model, "--json"});
        INFO(model << run.error);
        REQUIRE(run.code == exit_done);
        const auto json = nlohmann::json::parse(run.out);
        REQUIRE(json["points"].size() == 7);
        CHECK(json["points"][1]["lift_mm"].get<double>() < 0);
        CHECK(json["points"][6]["lift_mm"].get<double>() > json["points"][5]["lift_mm"].get<double>());
        CHECK(json["warnings"].dump().find("its edge sinks") != std::string::npos);
    }
}

TEST_CASE("lift refuses a stack of more different discs than any valve has") {
    const TemporaryFolder folder;
    std::string rows;
    for (int i = 0; i < 120; ++i) {
        rows += (i == 0 ? "" : ", ") + std::string(R"({"count": 1, "od_mm": )") + (i % 2 == 0 ? "24" : "23") +
                R"(, "thickness_mm": 0.10})";
    }
    std::string many = single_disc;
    const std::string one = R"({"count": 1, "od_mm": 24, "thickness_mm": 0.15})";
    many.replace(many.find(one), one.size(), rows);
    writeBytes(folder / "stack.json", many);
    for (const char* model : {"small", "large", "warp"}) {
        const CommandRun run = runShimledger({"lift", folder / "stack.json", "--model", model});
        CHECK(run.code == exit_bad_input);
        CHECK(run.error.find("at most 100") != std::string::npos);
    }
}

TEST_CASE("lift says what is wrong with its input in one sentence and exit code 2") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", single_disc);
    writeBytes(folder / "thin.json",
               std::string(single_disc).replace(std::string(single_disc).find("0.15"), 4, "0.1234"));
    const std::vector<std::vector<std::string>> bad = {
        {"lift", folder / "no-such.json"},
        {"lift", folder / "thin.json"},
        {"lift", folder / "stack.json", "--model", "soft"},
        {"lift", folder / "stack.json", "--pressures", "0.2,0.1"},
        {"lift", folder / "stack.json", "--tolerance", "loose"},
        {"lift", folder / "stack.json", "--friction", "-0.1"},
        {"lift", folder / "stack.json", "--friction", "0.6"},
        {"lift", folder / "stack.json", "--friction", "nan"},
        {"lift", folder / "stack.json", "--working-lift", "0"}};
    for (const auto& arguments : bad) {
        INFO(arguments.back());
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK(run.out.empty());
        CHECK_FALSE(run.error.empty());
    }
}

TEST_CASE("the gap of the proof is a setting, and one that is none is refused") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    writeBytes(folder / "stock.csv", stockLines(5));
    const auto withGap = [&](const char* gap) {
        return runShimledger(
            {"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--gap", gap});
    };
    CHECK(withGap("0.5").out.find("by 0.50 %") != std::string::npos);
    CHECK(withGap("-1").code == exit_bad_input);
    CHECK(withGap("100").code == exit_bad_input);
}

TEST_CASE("substitute --json answers a short stack with pulls that the stock file holds") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    writeBytes(folder / "stock.csv", stockLines(5)); // 8 wanted for two legs
    const CommandRun run = runShimledger(
        {"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--legs", "2", "--json"});
    REQUIRE(run.code == exit_done);
    const auto json = nlohmann::json::parse(run.out);
    CHECK(json["status"] == "proved_best");
    REQUIRE_FALSE(json["proposals"].empty());
    CHECK(json["lower_bound"].get<double>() <= json["proposals"][0]["max_deviation"].get<double>());
    REQUIRE(json["shortages"].size() == 1);
    for (const auto& proposal : json["proposals"]) {
        std::int64_t pulled = 0;
        std::int64_t built = 0;
        for (const auto& pull : proposal["pulls"]) {
            pulled += pull["quantity"].get<std::int64_t>();
            if (pull["bin"] == "A1") CHECK(pull["quantity"].get<int>() <= 5);
        }
        for (const auto& row : proposal["discs"]) built += 2 * row["count"].get<std::int64_t>();
        CHECK(pulled == built);
        for (const char* name : {"at_lift_mm", "small_lift_ratio", "full_lift_ratio", "height_change_mm"}) {
            CHECK(proposal[name].is_number());
        }
        CHECK(proposal["within_scatter"].is_boolean());
    }
    const CommandRun again = runShimledger(
        {"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--legs", "2", "--json"});
    CHECK(nlohmann::json::parse(again.out)["proposals"] == json["proposals"]);
}

TEST_CASE(
    "of a stock file only what is not promised to a job is used, and a spread that is none is refused") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    const auto withLine = [&](const std::string& line) {
        writeBytes(folder / "stock.csv",
                   "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity,reading_spread_mm,"
                   "available\r\n" +
                       line + "shim,18,6,0.15,,new,B1,8,,8\r\nshim,10,6,0.30,,new,B2,8,,8\r\n");
        return runShimledger(
            {"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--json"});
    };
    const CommandRun there = withLine("shim,24,6,0.10,0.101,new,A1,9,0.0020,8\r\n");
    REQUIRE(there.code == exit_done);
    CHECK(nlohmann::json::parse(there.out)["shortages"].empty());
    const CommandRun promised = withLine("shim,24,6,0.10,0.101,new,A1,9,0.0020,7\r\n");
    CHECK(nlohmann::json::parse(promised.out)["shortages"].size() == 1);
    const CommandRun refused = withLine("shim,24,6,0.10,0.101,new,A1,9,wide,8\r\n");
    CHECK(refused.code == exit_bad_input);
    CHECK(refused.error.find("line 2, column 9 (reading_spread_mm): 'wide'") != std::string::npos);
}

TEST_CASE("substitute proves impossibility with exit code 3 and names the shortage") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    writeBytes(folder / "stock.csv", std::string(stock_header) + "shim,24,6,0.10,,new,A1,40\r\n"
                                                                 "shim,10,6,0.30,,new,B2,8\r\n"); // no 18.0
    const CommandRun run =
        runShimledger({"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--json"});
    CHECK(run.code == exit_impossible);
    const auto json = nlohmann::json::parse(run.out);
    CHECK(json["status"] == "nothing_possible");
    REQUIRE_FALSE(json["shortages"].empty());
    CHECK(json["shortages"][0]["od_mm"] == 18.0);
}

TEST_CASE("substitute ends with exit code 4 where the limit comes first") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run =
        runShimledger({"substitute", "--db", shop, "--job", "JOB-1002", "--seconds", "0.000001", "--json"});
    CHECK(run.code == exit_limit);
    CHECK(nlohmann::json::parse(run.out)["status"] == "found_not_proved");
}

TEST_CASE("substitute names a bad request and every bad line of a stock file") {
    const TemporaryFolder folder;
    writeBytes(folder / "stack.json", target_stack);
    writeBytes(folder / "stock.csv", stockLines(5));
    CHECK(runShimledger({"substitute", folder / "stack.json"}).code == exit_bad_input);
    CHECK(runShimledger({"substitute"}).code == exit_bad_input);
    const CommandRun no_legs =
        runShimledger({"substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--legs", "0"});
    CHECK(no_legs.code == exit_bad_input);
    CHECK_FALSE(no_legs.error.empty());
    writeBytes(folder / "bad.csv", std::string(stock_header) + "shim,24,6,thin,,new,A1,4\r\n"
                                                               "shim,24,6,0.10,,new,A1,4\r\n"
                                                               "shim,24,6,0.10,,old,A1,-4\r\n");
    const CommandRun bad =
        runShimledger({"substitute", folder / "stack.json", "--stock", folder / "bad.csv"});
    CHECK(bad.code == exit_bad_input);
    CHECK(bad.error.find("line 2, column 4") != std::string::npos);
    CHECK(bad.error.find("line 4, column 6") != std::string::npos);
    CHECK(bad.error.find("line 4, column 8") != std::string::npos);
}
