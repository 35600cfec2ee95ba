// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

using namespace shimledger::command;

namespace {

/// A stack file of one valve with these rows as JSON, and `shimledger lift` with the warp model on it.
class WarpLift {
public:
    explicit WarpLift(const std::string& rows, double clamp_mm = 10) {
        writeBytes(m_stack,
                   R"({"valve": {"clamp_od_mm": )" + std::to_string(clamp_mm) +
                       R"(, "port_inner_diameter_mm": 18, "port_outer_diameter_mm": 22, "shim_id_mm": 3},
                                "discs": [)" +
                       rows + "]}");
    }
    [[nodiscard]] CommandRun run(std::vector<std::string> options = {}) const {
        std::vector<std::string> arguments{"lift", m_stack, "--model", "warp"};
        arguments.insert(arguments.end(), options.begin(), options.end());
        return runShimledger(arguments);
    }

private:
    TemporaryFolder m_folder;
    std::string m_stack = m_folder / "stack.json";
};

const char* const lone = R"({"count": 1, "od_mm": 24, "thickness_mm": 0.15})";

bool oneSentence(const std::string& text) {
    return !text.empty() && text.find('\n') == text.size() - 1;
}

} // namespace

TEST_CASE("A stack that cannot exist is refused by the warp model in one sentence that names the row") {
    for (const char* rows : {R"({"count": 0, "od_mm": 24, "thickness_mm": 0.15})",
                             R"({"count": 1, "od_mm": 24, "thickness_mm": -0.15})",
                             R"({"count": 1, "od_mm": 9, "thickness_mm": 0.15})"}) {
        const CommandRun run = WarpLift(rows).run();
        INFO(run.error);
        CHECK(run.code == 2);
        CHECK(run.error.find("disc row 1") != std::string::npos);
        CHECK(oneSentence(run.error));
        CHECK(run.out.empty());
    }
    const CommandRun none = WarpLift("").run();
    CHECK(none.code == 2);
    CHECK(none.error.find("at least one disc") != std::string::npos);
}

TEST_CASE("Working lifts and pressures that make no sense are refused by the warp model") {
    const WarpLift stack(lone);
    for (const char* lift : {"0", "-0.1", "5.1", "nan", "inf"}) {
        const CommandRun run = stack.run({"--working-lift", lift});
        INFO(lift << ": " << run.error);
        CHECK(run.code == 2);
        CHECK(run.error.find("working") != std::string::npos);
        CHECK(oneSentence(run.error));
    }
    for (const char* pressures : {"0.2,0.1", "-0.1", "0.1,nan"}) {
        const CommandRun run = stack.run({"--pressures", pressures});
        CHECK(run.code == 2);
        CHECK(oneSentence(run.error));
    }
}

TEST_CASE("Further than the warped curve can be followed it gives what is known and exit code 4") {
    const WarpLift stack(lone);
    const CommandRun run = stack.run({"--pressures", "0.1,0.3,100000", "--json"});
    CHECK(run.code == 4);
    const auto told = nlohmann::json::parse(run.out);
    CHECK(told["points"].size() == 2);
    CHECK(run.out.find("20 times the load") != std::string::npos);

    const CommandRun far = stack.run({"--working-lift", "5", "--json"});
    CHECK((far.code == 0 || far.code == 4));
    CHECK(nlohmann::json::parse(far.out)["points"].size() > 5);
}

TEST_CASE("A form that was not checked against finite elements is told as a caution") {
    const CommandRun wide = WarpLift(lone, 16.5).run({"--working-lift", "0.2"});
    CHECK(wide.code == 0);
    CHECK(wide.out.find("warping was checked for 20 to 65 % only") != std::string::npos);
    const CommandRun narrow = WarpLift(lone, 4).run({"--working-lift", "0.2"});
    CHECK(narrow.code == 0);
    CHECK(narrow.out.find("17 % of the OD") != std::string::npos);
    CHECK(WarpLift(lone).run({"--working-lift", "0.2"}).out.find("Caution") == std::string::npos);
}
