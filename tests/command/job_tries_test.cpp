// SPDX-License-Identifier: GPL-3.0-or-later
// Stacks that were tried for a job, by verbs; and what was wished of a build that was reserved.
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace shimledger::command;
using Catch::Contains;

namespace {

struct Shop {
    TemporaryFolder folder;
    std::string db = demoShop(folder);
    [[nodiscard]] CommandRun tries(std::vector<std::string> words) const {
        words.insert(words.begin(), {"job", "tries", "--db", db, "--job", "JOB-1001"});
        return runShimledger(words);
    }
    [[nodiscard]] nlohmann::json listed() const { return nlohmann::json::parse(tries({"--json"}).out); }
    [[nodiscard]] std::string rows() const {
        std::string rows;
        const auto shown = runShimledger({"job", "show", "--db", db, "--job", "JOB-1001", "--json"});
        const auto json = nlohmann::json::parse(shown.out);
        for (const auto& row : json["target"]) {
            rows += (rows.empty() ? "" : "; ") + row["count"].dump() + " x " + row["od_mm"].dump() + " x " +
                    row["thickness_mm"].dump();
        }
        return rows;
    }
};

} // namespace

TEST_CASE("a stack is tried, listed with what it gives, made the target or thrown away") {
    const Shop shop;
    CHECK_THAT(shop.tries({}).out, Contains("Nothing was tried"));
    const std::string softer = "2 x 20 x 0.15; 1 x 18 x 0.15; 1 x 16 x 0.15; 1 x 14 x 0.15; 1 x 12 x 0.20; "
                               "1 x 10 x 0.20; 1 x 8 x 0.30";
    const CommandRun kept =
        shop.tries({"--keep", softer, "--name", "one fewer", "--wanted", "0:0.9", "--by", "A. B."});
    INFO(kept.error);
    CHECK(kept.code == exit_done);
    CHECK(shop.tries({"--keep", softer}).code == exit_done);
    CHECK_THAT(shop.tries({}).out, Contains("one fewer: 2 x 20.0 x 0.15") &&
                                       Contains("wished: 10 % softer at every lift") && Contains("A. B."));
    REQUIRE(shop.listed().size() == 2);
    CHECK(shop.tries({"--drop", "Try 1"}).code == exit_done);
    CHECK(shop.listed().size() == 1);
    const CommandRun taken = shop.tries({"--take", "one fewer", "--by", "K."});
    INFO(taken.error);
    CHECK(taken.code == exit_done);
    const auto after = shop.listed();
    REQUIRE(after.size() == 3);
    const auto uses = [&](const char* use) {
        return std::count_if(after.begin(), after.end(),
                             [&](const auto& one) { return one["kept_as"] == use; });
    };
    CHECK(uses("base") == 1);
    CHECK(uses("target") == 1);
    CHECK(runShimledger({"stock", "verify", "--db", shop.db}).code == exit_done);
}

TEST_CASE("what is no try is refused in a sentence, and nothing changes") {
    const Shop shop;
    const std::vector<std::vector<std::string>> wrong{{"--keep", "2 x 20"},
                                                      {"--keep", "soft"},
                                                      {"--keep", "2 x 20 x 0.15", "--wanted", "softer"},
                                                      {"--keep", "2 x 20 x 0.15", "--wanted", "0:nan"},
                                                      {"--keep", "1 x 5 x 0.15"},
                                                      {"--take", "nobody's"},
                                                      {"--drop", "nobody's"},
                                                      {"--name", "x"},
                                                      {"--by", "x"},
                                                      {"--wanted", "0:0.9"},
                                                      {"--take", "a", "--drop", "b"},
                                                      {"--keep", ""}};
    for (const auto& words : wrong) {
        INFO(words.front() << " " << words.back());
        const CommandRun run = shop.tries(words);
        CHECK(run.code == exit_bad_input);
        CHECK_FALSE(run.error.empty());
        CHECK(shop.listed().empty());
    }
}

TEST_CASE("a wish that is reserved is on the job with who wished it, and the valve's lift is the job's") {
    const Shop shop;
    const auto flow = runShimledger({"model", "flow", "set", "--db", shop.db, "--model", "FK-CEDAR-41",
                                     "--valve", "base", "--working-lift", "0.4"});
    INFO(flow.error);
    CHECK(flow.code == exit_done);
    const CommandRun reserved = runShimledger({"reserve", "--db", shop.db, "--job", "JOB-1001", "--wanted",
                                               "0:0.9", "--seconds", "1", "--by", "K. L."});
    INFO(reserved.error << reserved.out);
    REQUIRE((reserved.code == exit_done || reserved.code == exit_limit));
    const auto tries = shop.listed();
    REQUIRE(tries.size() == 1);
    CHECK(tries[0]["kept_as"] == "build");
    CHECK(tries[0]["wanted"] == "0:0.9");
    CHECK(tries[0]["made_by"] == "K. L.");
    // Curves are compared over the valve's own lift, unless another one is asked for.
    const auto steps = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"steps", "--db", shop.db, "--job", "JOB-1003", "--json"};
        words.insert(words.end(), more.begin(), more.end());
        return nlohmann::json::parse(runShimledger(words).out)["lifts_mm"].back().get<double>();
    };
    CHECK(steps({}) == Approx(0.4));
    CHECK(steps({"--working-lift", "0.2"}) == Approx(0.2));
}
