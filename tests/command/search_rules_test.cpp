// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <atomic>
#include <chrono>
#include <csignal>
#include <thread>

using namespace shimledger::command;

namespace {

/// A nine-group crossover stack, three sizes short, and two hundred bins: a search of many seconds.
struct LongSearch {
    TemporaryFolder folder;

    LongSearch() {
        std::string discs, stock = "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n";
        const auto disc = [&](int count, int od, const char* thickness) {
            discs += (discs.empty() ? R"({"count": )" : R"(, {"count": )") + std::to_string(count) +
                     R"(, "od_mm": )" + std::to_string(od) + R"(, "thickness_mm": )" + thickness + "}";
        };
        disc(5, 24, "0.10");
        disc(1, 14, "0.10");
        disc(3, 23, "0.15");
        disc(2, 21, "0.15");
        for (const int od : {19, 17, 15}) disc(1, od, "0.15");
        for (const int od : {13, 12}) disc(1, od, "0.20");
        writeBytes(
            folder / "stack.json",
            R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,)"
            R"( "shim_id_mm": 6}, "discs": [)" +
                discs + "]}");
        int bin = 0;
        for (const char* thickness : {"0.10", "0.15", "0.20", "0.12", "0.25", "0.11", "0.30", "0.08", "0.13",
                                      "0.18", "0.22", "0.16", "0.09", "0.14", "0.17"}) {
            for (int od = 12; od <= 24; ++od) {
                const bool is_short =
                    (od == 24 && bin < 13) || ((od == 23 || od == 21) && bin >= 13 && bin < 26);
                stock += "shim," + std::to_string(od) + ",6," + thickness + ",,new,B" + std::to_string(bin) +
                         "," + std::to_string(is_short ? 3 : 4 + bin % 19) + "\r\n";
                ++bin;
            }
        }
        writeBytes(folder / "stock.csv", stock);
    }

    [[nodiscard]] CommandRun run(std::vector<std::string> more) const {
        std::vector<std::string> words{
            "substitute", folder / "stack.json", "--stock", folder / "stock.csv", "--move-ods", "--gap", "0",
            "--json"};
        words.insert(words.end(), more.begin(), more.end());
        return runShimledger(words);
    }
};

bool someoneListens() {
    struct sigaction now {};
    return ::sigaction(SIGINT, nullptr, &now) == 0 && now.sa_handler != SIG_DFL && now.sa_handler != SIG_IGN;
}

} // namespace

TEST_CASE("Ctrl-C ends a long search with the best so far, told as found and not proved") {
    const LongSearch search;
    struct sigaction before {};
    REQUIRE(::sigaction(SIGINT, nullptr, &before) == 0);
    std::atomic<bool> over = false;
    std::thread person([&over] { // presses Ctrl-C every five seconds, but never when it would end the tests
        while (!over) {
            for (int wait = 0; wait < 500 && !over; ++wait)
                std::this_thread::sleep_for(std::chrono::milliseconds(10));
            if (!over && someoneListens()) ::kill(::getpid(), SIGINT);
        }
    });
    // The handler of the tests themselves must survive a signal that comes when the search has just ended.
    std::signal(SIGINT, [](int) {});
    const CommandRun run = search.run({"--seconds", "600"});
    over = true;
    person.join();
    ::sigaction(SIGINT, &before, nullptr);
    CHECK(run.code == exit_limit);
    const auto json = nlohmann::json::parse(run.out);
    CHECK(json["status"] == "found_not_proved");
    CHECK(json["seconds"].get<double>() < 300);
    // A busy machine may not have found any yet.
    for (const auto& proposal : json["proposals"])
        CHECK_FALSE(proposal.contains("warp")); // nobody waits for it
}

TEST_CASE("A time limit that comes first gives the best so far and exit code 4") {
    const CommandRun run = LongSearch().run({"--seconds", "2"});
    CHECK(run.code == exit_limit);
    const auto json = nlohmann::json::parse(run.out);
    CHECK(json["status"] == "found_not_proved");
    for (const auto& proposal : json["proposals"]) CHECK(json["lower_bound"] <= proposal["max_deviation"]);
}

TEST_CASE("The rules on gap and choices are refused by their name where they make no sense") {
    const LongSearch search;
    const auto refused = [&](const char* option, const char* value, const char* words) {
        const CommandRun run = runShimledger({"substitute", search.folder / "stack.json", "--stock",
                                              search.folder / "stock.csv", option, value});
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error, Catch::Contains(words));
    };
    refused("--gap", "-1", "--gap must be a number from 0 to 99 %");
    refused("--choices-within", "-1", "--choices-within must be a number");
}
