#include "tests/command/command_run.h"

#include <catch2/catch.hpp>

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
