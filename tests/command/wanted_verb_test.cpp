// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace shimledger::command;
using Catch::Contains;

namespace {

struct Files {
    TemporaryFolder folder;
    std::string stack = folder / "stack.json", stock = folder / "stock.csv";

    explicit Files(const std::string& seat = "") {
        writeBytes(
            stack,
            R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,)"
            R"( "shim_id_mm": 6)" +
                seat +
                R"(}, "discs": [{"count": 4, "od_mm": 24, "thickness_mm": 0.10},)"
                R"( {"count": 1, "od_mm": 18, "thickness_mm": 0.15},)"
                R"( {"count": 1, "od_mm": 10, "thickness_mm": 0.30}]})");
        writeBytes(stock, "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                          "shim,24,6,0.10,,new,A1,9\r\nshim,24,6,0.12,,new,A2,12\r\n"
                          "shim,24,6,0.15,0.149,used,F1,6\r\nshim,18,6,0.15,,new,B1,8\r\n"
                          "shim,18,6,0.10,,new,B3,8\r\nshim,10,6,0.30,,new,B2,8\r\n");
    }

    [[nodiscard]] CommandRun run(std::vector<std::string> more) const {
        std::vector<std::string> words{"substitute", stack, "--stock", stock, "--legs", "2"};
        words.insert(words.end(), more.begin(), more.end());
        return runShimledger(words);
    }
};

} // namespace

TEST_CASE("substitute --wanted with the factor 1 everywhere is the substitute's answer to the last digit") {
    const Files files;
    const auto plain = nlohmann::json::parse(files.run({"--json"}).out);
    const auto one = nlohmann::json::parse(files.run({"--json", "--wanted", "0:1,0.12:1.0,0.3:1"}).out);
    REQUIRE_FALSE(plain["proposals"].empty());
    CHECK(one["proposals"].dump() == plain["proposals"].dump());
    CHECK(one["message"] == plain["message"]);
    for (const auto& proposal : plain["proposals"])
        CHECK(proposal["base_deviation"] == proposal["signed_deviation"]);
}

TEST_CASE("substitute --wanted tells what is wanted in words, and each proposal against it and the base") {
    const Files files;
    const std::vector<std::string> wish{"--wanted", "0:0.90,0.12:0.90,0.20:1.0"};
    const CommandRun run = files.run(wish);
    CHECK(run.code == exit_done);
    CHECK_THAT(run.out, Contains("Wanted: 10 % softer up to 0.12 mm, the same from 0.20 mm.") &&
                            Contains("of what is wanted") && Contains("against the target as it is: ") &&
                            !Contains("The drawers hold the target itself"));
    const auto json = nlohmann::json::parse(files.run({"--json", wish[0], wish[1]}).out);
    CHECK(json["status"] == "proved_best");
    CHECK(json["wanted"]["words"] == "10 % softer up to 0.12 mm, the same from 0.20 mm");
    CHECK(json["wanted"]["points"].size() == 3);
    CHECK(json["wanted"]["points"][1]["factor"] == 0.9);
    CHECK(json["rules"]["wanted"] == "0:0.9,0.12:0.9,0.2:1");
    REQUIRE_FALSE(json["proposals"].empty());
    for (const auto& proposal : json["proposals"]) {
        CHECK(proposal["max_deviation"].get<double>() < 0.1);
        CHECK(proposal["base_deviation"].get<double>() != proposal["signed_deviation"].get<double>());
        CHECK(proposal["base_at_lift_mm"].is_number());
    }
}

TEST_CASE("a wish ends like a search for a substitute: proved, impossible, cut short") {
    const Files files;
    CHECK(files.run({"--wanted", "0:0.9"}).code == exit_done);
    writeBytes(files.stock, "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                            "shim,24,6,0.10,,new,A1,9\r\nshim,10,6,0.30,,new,B2,8\r\n");
    const CommandRun impossible = files.run({"--wanted", "0:0.9"});
    CHECK(impossible.code == exit_impossible);
    CHECK_THAT(impossible.out, Contains("18.0 mm OD") && Contains("nothing_possible"));
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun cut = runShimledger({"substitute", "--db", shop, "--job", "JOB-1002", "--wanted",
                                          "0:0.9", "--seconds", "0.000001", "--json"});
    CHECK(cut.code == exit_limit);
    CHECK(nlohmann::json::parse(cut.out)["status"] == "found_not_proved");
}

TEST_CASE("a wish for a shop's job is searched in its drawers, and not for all jobs at once") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger({"substitute", "--db", shop, "--job", "JOB-1003", "--wanted",
                                          "0:0.9,0.12:0.9,0.2:1", "--seconds", "5", "--json"});
    CHECK((run.code == exit_done || run.code == exit_limit));
    const auto json = nlohmann::json::parse(run.out);
    REQUIRE_FALSE(json["proposals"].empty());
    const auto& first = json["proposals"][0];
    CHECK(first["max_deviation"].get<double>() < 0.09); // nearer than the target itself
    CHECK(first["base_deviation"].get<double>() < -0.02);
    CHECK_FALSE(first["pulls"].empty());
    const CommandRun all =
        runShimledger({"substitute", "--db", shop, "--all-jobs", "--wanted", "0:0.9", "--json"});
    CHECK(all.code == exit_bad_input);
    CHECK_THAT(all.error, Contains("belongs to one stack"));
}

TEST_CASE("where the drawers give nothing near a wish, what limits it is told, and for a job what to buy") {
    const Files files;
    writeBytes(files.stock, "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                            "shim,24,6,0.10,,new,A1,8\r\nshim,18,6,0.15,,new,B1,2\r\n"
                            "shim,18,6,0.08,,new,B4,8\r\nshim,10,6,0.30,,new,B2,8\r\n");
    const auto near = [&](const char* percent) {
        return nlohmann::json::parse(files.run({"--json", "--near", percent, "--wanted", "0:0.88"}).out);
    };
    const CommandRun run = files.run({"--wanted", "0:0.88", "--near", "2"});
    CHECK(run.code == exit_done);
    CHECK_THAT(run.out,
               Contains("Nothing that was found comes within 2.0 % of what is wanted. What limits it: ") &&
                   Contains("mm OD (row ") && Contains(", with enough of 0."));
    const auto json = near("2");
    CHECK(json["far"]["within"] == 0.02);
    CHECK_FALSE(json["far"]["limits"][0]["sizes_mm"].empty());
    CHECK(json["far"]["limits"][0]["max_deviation"].get<double>() <
          json["proposals"][0]["max_deviation"].get<double>());
    CHECK_FALSE(json.contains("purchase")); // nobody knows what is offered
    CHECK_FALSE(near("90").contains("far"));
    CHECK_FALSE(near("0").contains("far"));
    CHECK_FALSE(nlohmann::json::parse(files.run({"--json", "--near", "0.001"}).out).contains("far"));
    CHECK(files.run({"--near", "-1"}).code == exit_bad_input);
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun job = runShimledger({"substitute", "--db", shop, "--job", "JOB-1003", "--wanted",
                                          "0:0.5,0.1:1.6", "--seconds", "2", "--near", "1", "--json"});
    const auto far = nlohmann::json::parse(job.out);
    REQUIRE(far.contains("far"));
    REQUIRE(far.contains("purchase"));
    CHECK_THAT(far["purchase"]["sentence"].get<std::string>(), Contains("would bring it"));
}

TEST_CASE("a bad wish is one sentence and exit code 2, for files and for a job, and nothing is changed") {
    const Files files(R"(, "seat_diameter_mm": 20.5, "preload_mm": 0.05)");
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string before = contentsOf(folder, shop);
    const auto refused = [&](const std::string& wish, const char* words) {
        CAPTURE(wish);
        const CommandRun of_files = files.run({"--json", "--wanted", wish});
        const CommandRun of_job =
            runShimledger({"substitute", "--db", shop, "--job", "JOB-1003", "--wanted", wish});
        const CommandRun reserved =
            runShimledger({"reserve", "--db", shop, "--job", "JOB-1003", "--wanted", wish});
        for (const CommandRun& run : {of_files, of_job, reserved}) {
            CHECK(run.code == exit_bad_input);
            CHECK_THAT(run.error + run.out, Contains(words));
        }
        for (const CommandRun& run : {of_job, reserved}) {
            CHECK(run.out.empty());
            CHECK(std::count(run.error.begin(), run.error.end(), '\n') == 1);
        }
    };
    refused("0:0", "factor 0 must lie from 0.1 to 10");
    refused("0:-0.9", "factor -0.9 must lie");
    refused("0:1e9", "factor 1e9 must lie");
    refused("0:nan", "'nan' where a factor");
    refused("0:inf", "'inf' where a factor");
    refused("inf:1", "'inf' where a lift");
    refused("0.2:0.9,0.1:1", "must ascend");
    refused("0.1:0.9,0.1:1", "must ascend");
    refused("0:0.9,0.31:1", "beyond the working lift of 0.30 mm");
    refused("-0.02:0.9,0.1:1", "below 0, where the stack is not yet open, nor a preloaded seat left");
    refused("", "--wanted: the value is empty");
    refused(" ", "is empty");
    refused("0.9", "with one colon");
    refused("0:0.9;0.2:1", "with one colon");
    CHECK(contentsOf(folder, shop) == before);
}
