// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <sstream>
#include <string>
#include <vector>

using namespace shimledger::command;

namespace {

std::string jobList(const std::string& shop) {
    return runShimledger({"job", "list", "--db", shop}).out;
}

/// "4 x 24.0 x 0.10", a row each; what is needed and on hand stands beside them and differs by job.
std::vector<std::string> targetRows(const std::string& shop, const std::string& job) {
    std::istringstream shown(runShimledger({"job", "show", "--db", shop, "--job", job}).out);
    std::vector<std::string> rows;
    bool inside = false;
    for (std::string line; std::getline(shown, line); inside = inside && !line.empty()) {
        if (inside && line.find(" x ") != std::string::npos) rows.push_back(line.substr(0, 20));
        inside = inside || line.rfind("target", 0) == 0;
    }
    REQUIRE(rows.size() > 2);
    return rows;
}

} // namespace

TEST_CASE("A job is opened like an earlier one, with the same target, and can be searched at once") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun opened = runShimledger({"job", "open", "--db", shop, "--like", "JOB-1003", "--customer",
                                             "Somebody (invented)", "--due", "2999-12-31"});
    CHECK(opened.code == exit_done);
    CHECK(opened.out.find("JOB-1011 is open: FK-CEDAR-41, base valve, 2 legs") == 0);
    CHECK(opened.out.find("Somebody") == std::string::npos); // customers stay in the shop file
    CHECK(jobList(shop).find("JOB-1011") != std::string::npos);
    CHECK(targetRows(shop, "JOB-1011") == targetRows(shop, "JOB-1003"));
    CHECK(runShimledger({"stock", "verify", "--db", shop}).code == exit_done);
}

TEST_CASE("A job on a new model says what kind it is, and a bad one leaves no trace") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string before = jobList(shop);
    std::vector<std::string> words = {"job",          "open", "--db",         shop, "--model",   "SK-NEW",
                                      "--valve",      "base", "--clamp-od",   "10", "--shim-id", "6",
                                      "--port-inner", "13",   "--port-outer", "20"};
    const CommandRun unknown = runShimledger(words);
    CHECK(unknown.code == exit_bad_input);
    CHECK(unknown.error.find("--kind shock") != std::string::npos);
    words.insert(words.end(), {"--kind", "shock", "--target", "2 x 24 x 0.15; 1 x 9 x 0.10"});
    CHECK(runShimledger(words).code == exit_bad_input); // the second disc is smaller than the clamp
    words.back() = "2 x 24 x zero";
    CHECK(runShimledger(words).code == exit_bad_input);
    CHECK(jobList(shop) == before);
    words.back() = "2 x 24 x 0.15";
    const CommandRun opened = runShimledger(words);
    CHECK(opened.code == exit_done);
    CHECK(opened.out.find("SK-NEW, base valve, 1 leg") != std::string::npos); // a shock has one
    const CommandRun like_a_fork = runShimledger(
        {"job", "open", "--db", shop, "--like", "JOB-1003", "--model", "SK-OTHER", "--kind", "shock"});
    CHECK(like_a_fork.out.find("SK-OTHER, base valve, 1 leg") != std::string::npos);
}

TEST_CASE("A job is changed by what is said of it, and keeps the rest") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto change = [&](const std::string& option, const std::string& value) {
        return runShimledger({"job", "change", "--db", shop, "--job", "JOB-1003", option, value});
    };
    CHECK(jobList(shop).find("JOB-1003") != 0);
    CHECK(change("--priority", "9").code == exit_done);
    CHECK(change("--due", "none").code == exit_done);
    CHECK(jobList(shop).find("JOB-1003") == 0); // the most urgent comes first
    CHECK(change("--priority", "10").code == exit_bad_input);
    CHECK(change("--priority", "-1").code == exit_bad_input);
    CHECK(change("--priority", "9").code == exit_bad_input); // as it is
    CHECK(change("--due", "tomorrow").code == exit_bad_input);
    CHECK(change("--clamp-od", "60").code == exit_bad_input); // the target does not reach so far
    const CommandRun history = runShimledger({"job", "show", "--db", shop, "--job", "JOB-1003"});
    CHECK(history.out.find("FK-CEDAR-41, base valve") != std::string::npos);
}

TEST_CASE(
    "Ended jobs leave the list until they are asked for, and show what was built when they are looked at") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto on = [&](std::vector<std::string> words) {
        words.insert(words.end(), {"--db", shop});
        return runShimledger(words);
    };
    const auto listed = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"job", "list", "--json"});
        const CommandRun run = on(words);
        INFO(run.error);
        REQUIRE(run.code == exit_done);
        return nlohmann::json::parse(run.out);
    };
    const auto all = listed({}).size();
    REQUIRE(on({"reserve", "--job", "JOB-1002"}).code == exit_done);
    REQUIRE(on({"job", "close", "--job", "JOB-1002", "--issue"}).code == exit_done);
    CHECK(listed({}).size() == all - 1);
    CHECK(listed({"--all"}).size() == all);
    REQUIRE(listed({"--ended"}).size() == 1);
    CHECK(listed({"--ended"})[0]["status"] == "closed");
    CHECK(jobList(shop).find("JOB-1002") == std::string::npos);

    const auto shown = nlohmann::json::parse(on({"job", "show", "--job", "JOB-1002", "--json"}).out);
    CHECK(shown["built"]["accepted_stack"] == true);
    CHECK(shown["built"]["pieces"].size() > 3);
    CHECK(shown["built"]["deviation"].is_number());
    const std::string told = on({"job", "show", "--job", "JOB-1002"}).out;
    CHECK(told.find("piston face first, as accepted") != std::string::npos);
    CHECK(told.find("in place of 5 x 24.0 x 0.10") != std::string::npos);

    CHECK(on({"job", "reopen", "--job", "JOB-1002"}).out.find("was closed and is pulled again") !=
          std::string::npos);
    CHECK(on({"job", "reopen", "--job", "JOB-1002"}).code == exit_bad_input);
    CHECK(listed({}).size() == all);
    CHECK(on({"stock", "verify"}).code == exit_done);
}

TEST_CASE("The list is narrowed by customer, due day, priority and words, and marks late jobs") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto change = [&](const std::string& job, const std::string& option, const std::string& value) {
        REQUIRE(runShimledger({"job", "change", "--db", shop, "--job", job, option, value}).code ==
                exit_done);
    };
    change("JOB-1003", "--customer", "=SUM(A1) (invented)");
    change("JOB-1003", "--priority", "9");
    const auto codes = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"job", "list", "--json", "--db", shop});
        const CommandRun run = runShimledger(words);
        std::vector<std::string> found;
        for (const auto& job : nlohmann::json::parse(run.out)) found.push_back(job["job"]);
        return found;
    };
    CHECK(codes({"--customer", "=sum"}) == std::vector<std::string>{"JOB-1003"});
    CHECK(codes({"--priority", "9"}) == std::vector<std::string>{"JOB-1003"});
    CHECK(codes({"--find", "priority9 jOb-10"}) == std::vector<std::string>{"JOB-1003"});
    CHECK(codes({"--find", "no such thing"}).empty());
    CHECK(codes({"--due-until", "1999-01-01"}).empty());
    for (const auto& words : std::vector<std::vector<std::string>>{
             {"--all", "--ended"}, {"--late", "--ended"}, {"--due-until", "soon"}, {"--priority", "10"}}) {
        std::vector<std::string> line{"job", "list", "--db", shop};
        line.insert(line.end(), words.begin(), words.end());
        CHECK(runShimledger(line).code == exit_bad_input);
    }
}

TEST_CASE("A job's target comes from a STACK.json or from rows, and another valve is told") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto stack = [&](const std::string& clamp) {
        writeBytes(folder / "stack.json", R"({"valve": {"clamp_od_mm": )" + clamp +
                                              R"(, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
            "shim_id_mm": 6}, "discs": [{"count": 3, "od_mm": 24, "thickness_mm": 0.15}]})");
        return folder / "stack.json";
    };
    const auto target = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"job", "target", "--db", shop, "--job", "JOB-1003"});
        return runShimledger(words);
    };
    const CommandRun other = target({stack("9.5")});
    CHECK(other.code == exit_bad_input);
    CHECK(other.error.find("stack.json: the stack is for another valve") != std::string::npos);
    const CommandRun taken = target({stack("9.5"), "--valve-too", "--json"});
    INFO(taken.error);
    REQUIRE(taken.code == exit_done);
    CHECK(nlohmann::json::parse(taken.out)["changed"] == true);
    CHECK(target({stack("9.5")}).out.find("had that target already") != std::string::npos);
    CHECK(target({"--rows", "2 x 24 x 0.15; 1 x 18 x 0.10"}).out.find("a target of 2 rows") !=
          std::string::npos);
    CHECK(target({}).code == exit_bad_input);
    CHECK(target({stack("9.5"), "--rows", "2 x 24 x 0.15"}).code == exit_bad_input);
    CHECK(target({"--rows", "2 x 24 x 0.15", "--valve-too"}).code == exit_bad_input);
    CHECK(target({"/no/such/file"}).code == exit_bad_input);
}
