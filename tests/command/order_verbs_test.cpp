// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

const std::string supplier = "Quill and Harrow Seals (invented)";

nlohmann::json ordersOf(const std::string& shop) {
    const CommandRun run = runShimledger({"order", "list", "--db", shop, "--all", "--json"});
    REQUIRE(run.code == exit_done);
    return nlohmann::json::parse(run.out);
}

} // namespace

TEST_CASE("The plan is ordered with a line changed, comes in two deliveries, and is closed by the second") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun placed = runShimledger({"order", "place", "--db", shop, "--supplier", supplier, "--set",
                                             "OS-48-59-11=2", "--order", "PO-7"});
    INFO(placed.error);
    REQUIRE(placed.code == exit_done);
    CHECK_THAT(placed.out, Contains("PO-7 is on order"));
    auto order = ordersOf(shop)[0];
    CHECK(order["order"] == "PO-7");
    int line = 0, received = 0;
    for (const auto& entry : order["lines"]) {
        if (entry["part"] != "OS-48-59-11") continue;
        CHECK(entry["packs"] == 2);
        line = entry["line"];
    }
    REQUIRE(line > 0);
    REQUIRE(runShimledger(
                {"order", "receive", "--db", shop, "--order", "PO-7", "--line", std::to_string(line) + "=1"})
                .code == exit_done);
    order = ordersOf(shop)[0];
    for (const auto& entry : order["lines"]) received += entry["received"].get<int>();
    CHECK(received == 1);
    const CommandRun rest = runShimledger({"order", "receive", "--db", shop, "--order", "PO-7", "--all"});
    INFO(rest.error);
    CHECK(rest.code == exit_done);
    CHECK_THAT(rest.out, Contains("the order is closed"));
    CHECK(ordersOf(shop)[0]["closed"] == true);
    CHECK(runShimledger({"order", "list", "--db", shop}).out == "No order is open.\n");
}

TEST_CASE("Orders that make no sense are refused in one sentence, exit code 2") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto refused = [&](std::vector<std::string> arguments, const std::string& sentence) {
        arguments.insert(arguments.begin() + 2, {"--db", shop});
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error, Contains(sentence));
    };
    refused({"order", "place", "--supplier", "Nobody"}, "there is no supplier 'Nobody'");
    refused({"order", "place", "--supplier", supplier, "--set", "OS-48-59-11"}, "PART=PACKS");
    refused({"order", "place", "--supplier", supplier, "--set", "OS-48-59-11=x"}, "PART=PACKS");
    refused({"order", "place", "--supplier", supplier, "--set", "SH-24.0-6-0.10=1"}, "does not offer");
    refused({"order", "receive", "--order", "PO-9", "--all"}, "PO-9");
    CHECK(ordersOf(shop).empty());
}

TEST_CASE("A class of parts is set and shown, figures out of range are refused") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger(
        {"reorder-class", "--db", shop, "--class", "A", "--service", "995", "--line-cost", "3.50"});
    CHECK(run.code == exit_done);
    CHECK_THAT(run.out, Contains("class A: service 995 per mille") && Contains("line 3.50"));
    CHECK(runShimledger({"reorder-class", "--db", shop, "--class", "A", "--service", "1000"}).code ==
          exit_bad_input);
    CHECK(runShimledger({"reorder-class", "--db", shop, "--service", "900"}).code == exit_bad_input);
}
