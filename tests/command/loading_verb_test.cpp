// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace shimledger::command;
using Catch::Contains;

namespace {

/// Two thick discs, one of which the drawers hold, and thin ones of the same cube sum.
struct Files {
    TemporaryFolder folder;
    std::string stack = folder / "stack.json", stock = folder / "stock.csv";

    Files() {
        writeBytes(stack, R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13,)"
                          R"( "port_outer_diameter_mm": 20, "shim_id_mm": 6},)"
                          R"( "discs": [{"count": 2, "od_mm": 24, "thickness_mm": 0.20}]})");
        writeBytes(stock, "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                          "shim,24,6,0.10,,new,A1,16\r\nshim,24,6,0.25,,new,A2,1\r\n");
    }

    [[nodiscard]] CommandRun run(std::vector<std::string> more) const {
        std::vector<std::string> words{"substitute", stack, "--stock", stock, "--legs", "1", "--height", "2"};
        words.insert(words.end(), more.begin(), more.end());
        return runShimledger(words);
    }
};

} // namespace

TEST_CASE("substitute tells of each proposal how far the middles differ and how far the loading curves do") {
    const Files files;
    const auto middle = nlohmann::json::parse(files.run({"--json", "--model", "large"}).out);
    for (const auto& proposal : middle["proposals"]) {
        const auto& warp = proposal["warp"];
        CHECK(warp["middle_deviation"].get<double>() ==
              Approx(proposal["signed_deviation"].get<double>()).margin(1e-3));
    }
    const CommandRun run = files.run({"--json", "--compare-loading"});
    CHECK(run.code == exit_done);
    const auto loading = nlohmann::json::parse(run.out);
    REQUIRE_FALSE(loading["proposals"].empty());
    CHECK_THAT(loading["message"].get<std::string>(), Contains("compared while the pressure rises"));
    for (const auto& proposal : loading["proposals"]) {
        const auto& warp = proposal["warp"];
        CHECK(warp["loading_deviation"].get<double>() ==
              Approx(proposal["signed_deviation"].get<double>()).margin(2e-3));
        CHECK(warp["middle_deviation"] != warp["loading_deviation"]);
    }
    // The band is of the target's tolerance, and what is compared with it is how far the curves are apart.
    CHECK(loading["proposals"][0]["max_deviation"].get<double>() < 0.05);
    CHECK(loading["proposals"][0]["within_scatter"] == true);
    // Sixteen thin discs stretch less and rub more than two thick ones: what is closest depends on what
    // counts.
    const auto plain = files.run({"--compare-loading"});
    CHECK_THAT(plain.out, Contains("Without friction, in the middle of the loop"));
}
