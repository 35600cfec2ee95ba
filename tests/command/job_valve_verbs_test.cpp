// SPDX-License-Identifier: GPL-3.0-or-later
#include "command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace shimledger::command;
using Catch::Matchers::Contains;
using nlohmann::json;

namespace {

/// The demo shop, and its verbs with the shop's file put in where it belongs.
struct ForkShop {
    TemporaryFolder folder;
    std::string shop = demoShop(folder);

    CommandRun run(std::vector<std::string> arguments) const {
        const std::size_t words =
            arguments[0] == "job" && arguments[1] == "valve"                                   ? 3
            : arguments[0] == "pick" || arguments[0] == "reserve" || arguments[0] == "release" ? 1
                                                                                               : 2;
        arguments.insert(arguments.begin() + static_cast<std::ptrdiff_t>(words), {"--db", shop});
        return runShimledger(arguments);
    }
};

} // namespace

TEST_CASE("a fork's valves are opened, parted by legs, wished, planned, picked and closed as one job") {
    const ForkShop fork;
    const auto done = [&](std::vector<std::string> arguments) {
        const CommandRun told = fork.run(std::move(arguments));
        INFO(told.error);
        CHECK(told.code == exit_done);
        return told.out;
    };
    done({"job",          "open",   "--job",        "F-1",
          "--model",      "FORK-X", "--kind",       "fork",
          "--valve",      "base",   "--clamp-od",   "10",
          "--port-inner", "13",     "--port-outer", "20",
          "--shim-id",    "6",      "--target",     "2 x 24.0 x 0.10; 1 x 18.0 x 0.15"});
    CHECK_THAT(done({"job", "valve", "add", "--job", "F-1", "--valve", "rebound", "--clamp-od", "10",
                     "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"}),
               Contains("F-1/rebound is open"));
    done({"job", "target", "--job", "F-1/rebound", "--rows", "4 x 22.0 x 0.15; 1 x 16.0 x 0.20"});
    CHECK_THAT(done({"job", "valve", "split", "--job", "F-1/rebound", "--from-leg", "2"}),
               Contains("F-1/rebound leg 2 has a stack of its own"));
    const json valves = json::parse(done({"job", "valve", "list", "--job", "F-1/rebound", "--json"}));
    REQUIRE(valves.size() == 3);
    CHECK(valves[0]["job"] == "F-1");
    CHECK(valves[2]["first_leg"] == 2);
    CHECK(valves[2]["last_leg"] == 2);
    // Legs that are wished apart: one leg's rebound is softer by thirty per cent.
    CHECK_THAT(done({"reserve", "--job", "F-1/rebound leg 2", "--wanted", "0:0.7", "--by", "A. B."}),
               Contains("Reserved for F-1/rebound leg 2") &&
                   Contains("Of the same component: F-1: base, open"));
    CHECK_THAT(done({"reserve", "--job", "F-1", "--all-valves"}),
               Contains("Reserved for F-1:") && Contains("Reserved for F-1/rebound:"));
    const std::string sheet = fork.folder / "pick.xlsx";
    const std::string picked = done({"pick", "--job", "F-1", "--out", sheet});
    CHECK_THAT(picked,
               Contains("for base") && Contains("for rebound, leg 1") && Contains("for rebound, leg 2"));
    done({"job", "pull", "--job", "F-1"});
    CHECK_THAT(done({"job", "valve", "list", "--job", "F-1"}), !Contains("reserved") && Contains("pulled"));
    CHECK(fork.run({"job", "close", "--job", "F-1/rebound"}).code == exit_bad_input);
    done({"job", "close", "--job", "F-1"});
    const json record =
        json::parse(done({"job", "record", "--job", "F-1", "--out", fork.folder / "record.xlsx", "--json"}));
    REQUIRE(record["valves"].size() == 3);
    CHECK(record["valves"][2]["valve"] == "rebound, leg 2");
    CHECK(record["valves"][2]["stack"] != record["valves"][1]["stack"]); // the wish
    CHECK_THAT(done({"stock", "verify"}), Contains("True"));
}

TEST_CASE("what no component's valves allow is one sentence and exit code 2, and nothing is changed") {
    const ForkShop fork;
    const std::string before = readBytes(fork.shop);
    const auto refused = [&](std::vector<std::string> arguments) {
        const CommandRun told = fork.run(std::move(arguments));
        CHECK(told.code == exit_bad_input);
        CHECK(told.out.empty());
        CHECK(std::count(told.error.begin(), told.error.end(), '\n') == 1);
        return told.error;
    };
    CHECK_THAT(refused({"job", "valve", "add", "--job", "JOB-1003"}), Contains("--valve NAME"));
    CHECK_THAT(refused({"job", "valve", "add", "--job", "JOB-1003", "--valve", "mid", "--all-valves"}),
               Contains("leave --valve out"));
    CHECK_THAT(refused({"job", "valve", "add", "--job", "JOB-1003", "--valve", "mid"}),
               Contains("clamp diameter"));
    CHECK_THAT(refused({"job", "valve", "add", "--job", "JOB-99", "--valve", "mid"}), Contains("JOB-99"));
    CHECK_THAT(refused({"job", "valve", "split", "--job", "JOB-1003", "--from-leg", "1"}),
               Contains("legs 1 to 2"));
    CHECK_THAT(refused({"job", "valve", "split", "--job", "JOB-1003", "--from-leg", "9"}),
               Contains("--from-leg"));
    CHECK_THAT(refused({"job", "valve", "join", "--job", "JOB-1003", "--to", "JOB-1003"}),
               Contains("itself"));
    CHECK_THAT(refused({"job", "valve", "join", "--job", "JOB-1003", "--to", "JOB-99"}), Contains("JOB-99"));
    CHECK_THAT(refused({"job", "valve", "separate", "--job", "JOB-1003"}), Contains("nothing to part"));
    CHECK_THAT(refused({"reserve", "--all-valves"}), Contains("give --job"));
    CHECK_THAT(refused({"reserve", "--job", "JOB-1003", "--all-valves", "--all-jobs"}),
               Contains("--all-valves out"));
    CHECK_THAT(refused({"reserve", "--job", "JOB-1003", "--all-valves", "--proposal", "2"}),
               Contains("--proposal"));
    CHECK(readBytes(fork.shop) == before);
}
