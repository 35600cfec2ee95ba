// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"
#include "tests/sanitized.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger::command;

namespace {

int verifyCode(const std::string& shop) {
    return runShimledger({"stock", "verify", "--db", shop}).code;
}

/// The line of a count sheet that begins with `start`, with `counted` in the cell before the reason.
std::string countedLine(const std::string& sheet, const std::string& start, const std::string& counted) {
    const std::size_t begin = sheet.find("\n" + start);
    REQUIRE(begin != std::string::npos);
    return sheet.substr(begin + 1, sheet.find('\r', begin + 1) - begin - 2) + counted + ",\r\n";
}

} // namespace

TEST_CASE("Help tells the verbs and the exit codes, and a misspelt verb is bad input") {
    const CommandRun help = runShimledger({"--help"});
    CHECK(help.code == exit_done);
    for (const char* word : {"demo", "lift", "substitute", "reserve", "stock", "pick", "reorder", "backup",
                             "0 done", "3 proved impossible"}) {
        INFO(word);
        CHECK(help.out.find(word) != std::string::npos);
    }
    CHECK(runShimledger({"sustitute"}).code == exit_bad_input);
    CHECK(runShimledger({}).code == exit_bad_input);
    CHECK(runShimledger({"pick", "--db", "x"}).code == exit_bad_input);
}

TEST_CASE("demo ends with a shop, a pick list and a reorder sheet, and names no customer", "[file]") {
    const TemporaryFolder folder;
    const std::string demo = folder / "demo";
    const CommandRun run = runShimledger({"demo", demo, "--catalog", SHIMLEDGER_SEED_CATALOG});
    REQUIRE(run.code == exit_done);
    CHECK(readBytes(demo + "/pick-list.xlsx").substr(0, 2) == "PK");
    CHECK(readBytes(demo + "/reorder.xlsx").substr(0, 2) == "PK");
    CHECK(verifyCode(demo + "/shop.db") == exit_done);
    CHECK(run.out.find("Placeholder") == std::string::npos);
    const CommandRun again = runShimledger({"demo", demo, "--catalog", SHIMLEDGER_SEED_CATALOG});
    CHECK(again.code == exit_bad_input);
    CHECK(again.error.find("not an empty folder") != std::string::npos);
}

TEST_CASE(
    "A job is reserved, picked and given a sheet, and a second reservation of the last discs is refused",
    "[server]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK(runShimledger({"pick", "--db", shop, "--job", "JOB-1007", "--out", folder / "p.xlsx"}).code ==
          exit_bad_input); // nothing reserved yet
    REQUIRE(runShimledger({"reserve", "--db", shop, "--job", "JOB-1007"}).code == exit_done);
    const CommandRun twice = runShimledger({"reserve", "--db", shop, "--job", "JOB-1007"});
    CHECK(twice.code == exit_bad_input);
    CHECK(twice.error.find("holds reservations already") != std::string::npos);
    const CommandRun pick =
        runShimledger({"pick", "--db", shop, "--job", "JOB-1007", "--out", folder / "p.xlsx"});
    CHECK(pick.code == exit_done);
    CHECK(pick.out.find("Caution: ") != std::string::npos);
    CHECK(readBytes(folder / "p.xlsx").substr(0, 2) == "PK");
    const CommandRun show = runShimledger({"job", "show", "--db", shop, "--job", "JOB-1007"});
    CHECK(show.code == exit_done);
    CHECK(show.out.find("reserved") != std::string::npos);
    CHECK(show.out.find("Invention") == std::string::npos); // the customer
    CHECK(verifyCode(shop) == exit_done);
}

TEST_CASE("All open jobs are reserved by one plan, and a plan needs to know of which shop") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK(runShimledger({"reserve", "--db", shop}).code == exit_bad_input);
    CHECK(runShimledger({"substitute", "--all-jobs"}).code == exit_bad_input);
    CHECK(runShimledger({"reserve", "--db", shop, "--all-jobs", "--job", "JOB-1007"}).code == exit_bad_input);
    CHECK(runShimledger({"reserve", "--db", shop, "--all-jobs", "--proposal", "2"}).code == exit_bad_input);
#ifdef SHIMLEDGER_SANITIZED
    const char* const seconds = "10"; // on a busy machine three do not reach the last job
#else
    const char* const seconds = "3";
#endif
    const CommandRun plan =
        runShimledger({"substitute", "--db", shop, "--all-jobs", "--plan-seconds", seconds, "--json"});
    CHECK(plan.code == exit_impossible); // one of them cannot be built
    const CommandRun all = runShimledger({"reserve", "--db", shop, "--all-jobs", "--plan-seconds", seconds});
    CHECK(all.code == exit_done);
    CHECK(all.out.find("Reserved for JOB-1007: ") != std::string::npos);
    CHECK(all.out.find("Reserved for JOB-1005: ") == std::string::npos);
    CHECK(runShimledger({"pick", "--db", shop, "--job", "JOB-1007", "--out", folder / "p.xlsx"}).code ==
          exit_done);
    CHECK(verifyCode(shop) == exit_done);
}

TEST_CASE("an impossible job is told the cheapest purchase that would make it possible, and the sheet takes "
          "it in") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger({"substitute", "--db", shop, "--job", "JOB-1005", "--json"});
    CHECK(run.code == exit_impossible);
    const auto json = nlohmann::json::parse(run.out);
    REQUIRE(json["purchase"]["pieces"].size() == 1);
    CHECK(json["purchase"]["sentence"].get<std::string>().find("25.0 x 8.0") != std::string::npos);
    CHECK(
        runShimledger({"substitute", "--db", shop, "--job", "JOB-1002", "--json"}).out.find("\"purchase\"") ==
        std::string::npos);
    const std::string sheet = folder / "r.xlsx";
    const CommandRun reorder =
        runShimledger({"reorder", "--db", shop, "--out", sheet, "--make-possible", "JOB-1005", "--json"});
    REQUIRE(reorder.code == exit_done);
    const auto part = json["purchase"]["pieces"][0]["part"].get<std::string>();
    std::int64_t bought = 0;
    const std::string text =
        reorder.out.substr(reorder.out.find('{'), reorder.out.rfind('}') + 1 - reorder.out.find('{'));
    const auto plan = nlohmann::json::parse(text);
    for (const auto& order : plan["orders"]) {
        for (const auto& line : order["lines"]) {
            if (line["part"] == part)
                bought += line["packs"].get<std::int64_t>() * line["pack_size"].get<std::int64_t>();
        }
    }
    CHECK(bought >= json["purchase"]["pieces"][0]["pieces"].get<std::int64_t>());
    const CommandRun possible =
        runShimledger({"reorder", "--db", shop, "--out", sheet, "--make-possible", "JOB-1001"});
    CHECK(possible.code == exit_bad_input);
    CHECK(possible.error.find("needs no purchase") != std::string::npos);
}

TEST_CASE("reserve says what is impossible with exit code 3 and changes nothing") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger({"reserve", "--db", shop, "--job", "JOB-1005"});
    CHECK(run.code == exit_impossible);
    CHECK(run.out.find("25.0") != std::string::npos);
    CHECK(runShimledger({"reserve", "--db", shop, "--job", "JOB-1002", "--proposal", "99"}).code ==
          exit_bad_input);
    CHECK(runShimledger({"reserve", "--db", shop, "--job", "JOB-9999"}).code == exit_bad_input);
    const CommandRun list = runShimledger({"job", "list", "--db", shop});
    CHECK(list.code == exit_done);
    CHECK(list.out.find("JOB-1005") != std::string::npos);
    CHECK(list.out.find(" reserved") == std::string::npos);
}

TEST_CASE("reorder writes the sheet, and as JSON gives packs with their reasons") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger({"reorder", "--db", shop, "--out", folder / "r.xlsx", "--json"});
    REQUIRE(run.code == exit_done);
    const auto json = nlohmann::json::parse(run.out);
    REQUIRE_FALSE(json["orders"].empty());
    const auto& line = json["orders"][0]["lines"][0];
    CHECK(line["packs"].get<int>() >= 1);
    CHECK(line["reason"].get<std::string>().find("available ") == 0);
    REQUIRE(json["quality"].size() == 1);
    CHECK(json["quality"][0]["proved"] == true);
    CHECK(readBytes(folder / "r.xlsx").substr(0, 2) == "PK");
    CHECK(runShimledger({"reorder", "--db", shop, "--out", folder / "r.xlsx", "--paper", "a5"}).code ==
          exit_bad_input);
}

TEST_CASE("A sheet for a folder that is not there is refused in one sentence") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun run = runShimledger({"reorder", "--db", shop, "--out", folder / "none/r.xlsx"});
    CHECK(run.code == exit_bad_input);
    CHECK(run.error.find("there is no folder") != std::string::npos);
    CHECK(std::count(run.error.begin(), run.error.end(), '\n') == 1);
}

TEST_CASE("Stock is exported, previewed, and refused as a whole when a line is bad", "[server]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK(runShimledger({"stock", "export", "--db", shop, "--out", folder / "stock.csv"}).code == exit_done);
    CHECK(readBytes(folder / "stock.csv").substr(0, 5) == "kind,");
    CHECK(runShimledger({"stock", "export", "--db", shop, "--out", folder / "stock.csv"}).code ==
          exit_bad_input); // exists
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\r\nZ01,Z,9001\r\nZ02,Z,soon\r\n");
    const std::string before = contentsOf(folder, shop);
    const CommandRun bad = runShimledger({"stock", "import", "--db", shop, folder / "bins.csv"});
    CHECK(bad.code == exit_bad_input);
    CHECK(bad.error.find("line 3, column 3") != std::string::npos);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\r\nZ01,Z,9001\r\n");
    const CommandRun preview =
        runShimledger({"stock", "import", "--db", shop, folder / "bins.csv", "--preview"});
    CHECK(preview.code == exit_done);
    CHECK(preview.out.find("1 bins") != std::string::npos);
    CHECK(runShimledger({"stock", "import", "--db", shop, folder / "bins.csv"}).code == exit_done);
    CHECK(runShimledger({"stock", "import", "--db", shop, folder / "bins.csv"}).code == exit_bad_input);
}

TEST_CASE("A count sheet goes out, comes back, shows its differences first and posts them", "[server]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    REQUIRE(runShimledger({"stock", "count", "--db", shop, "--out", folder / "count.csv"}).code == exit_done);
    const std::string sheet = readBytes(folder / "count.csv");
    const std::string header = sheet.substr(0, sheet.find('\n') + 1);
    writeBytes(folder / "in.csv", header + countedLine(sheet, "A01,SH-24.0-6-0.10", "3"));
    const CommandRun preview =
        runShimledger({"stock", "count", "--db", shop, "--in", folder / "in.csv", "--preview"});
    CHECK(preview.code == exit_done);
    CHECK(preview.out.find("5 in the books, 3 counted") != std::string::npos);
    CHECK(preview.out.find("would be corrected") != std::string::npos);
    const CommandRun posted = runShimledger({"stock", "count", "--db", shop, "--in", folder / "in.csv"});
    CHECK(posted.code == exit_done);
    CHECK(posted.out.find("1 corrected") != std::string::npos);
    const CommandRun again = runShimledger({"stock", "count", "--db", shop, "--in", folder / "in.csv"});
    CHECK(again.out.find("0 corrected") != std::string::npos);
    CHECK(verifyCode(shop) == exit_done);
    writeBytes(folder / "in.csv", header + countedLine(sheet, "A01,SH-24.0-6-0.10", "some"));
    CHECK(runShimledger({"stock", "count", "--db", shop, "--in", folder / "in.csv"}).code == exit_bad_input);
    CHECK(runShimledger({"stock", "count", "--db", shop}).code == exit_bad_input);
}

TEST_CASE("backup makes a whole copy and never overwrites one", "[file]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK(runShimledger({"backup", "--db", shop, "--out", folder / "copy.db"}).code == exit_done);
    CHECK(verifyCode(folder / "copy.db") == exit_done);
    CHECK(runShimledger({"backup", "--db", shop, "--out", folder / "copy.db"}).code == exit_bad_input);
}

TEST_CASE("A file that is no shop file is bad input and stays as it was") {
    const TemporaryFolder folder;
    writeBytes(folder / "letter.txt", "Dear Sir");
    for (const std::vector<std::string>& arguments :
         {std::vector<std::string>{"stock", "verify", "--db", folder / "letter.txt"},
          std::vector<std::string>{"job", "list", "--db", folder / "letter.txt"},
          std::vector<std::string>{"job", "list", "--db", folder / "none.db"}}) {
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK_FALSE(run.error.empty());
    }
    CHECK(readBytes(folder / "letter.txt") == "Dear Sir");
}

TEST_CASE("No output of any verb goes over the shop file, its log or a person's own file", "[file]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    REQUIRE(runShimledger({"reserve", "--db", shop, "--job", "JOB-1001"}).code == exit_done);
    writeBytes(folder / "own.xlsx", "PK a person's own workbook");
    const std::vector<std::vector<std::string>> verbs{{"pick", "--db", shop, "--job", "JOB-1001"},
                                                      {"reorder", "--db", shop},
                                                      {"labels", "--db", shop, "--bin", "A01"},
                                                      {"strip", "form", "--db", shop, "--job", "JOB-1001"},
                                                      {"stock", "count", "--db", shop},
                                                      {"stock", "export", "--db", shop},
                                                      {"backup", "--db", shop}};
    for (const auto& verb : verbs) {
        INFO(verb[0]);
        for (const std::string& target : {shop, shop + "-wal", shop + "-shm", std::string("/dev/null")}) {
            INFO(target);
            std::vector<std::string> arguments = verb;
            arguments.insert(arguments.end(), {"--out", target});
            CHECK(runShimledger(arguments).code == exit_bad_input);
        }
        std::vector<std::string> arguments = verb;
        arguments.insert(arguments.end(), {"--out", folder / "own.xlsx"});
        CHECK(runShimledger(arguments).code == exit_bad_input);
    }
    CHECK(readBytes(folder / "own.xlsx") == "PK a person's own workbook");
    CHECK(runShimledger({"stock", "verify", "--db", shop}).code == exit_done);
    CHECK(runShimledger({"labels", "--db", shop, "--bin", "A01", "--out", folder / "own.xlsx", "--force"})
              .code == exit_done);
    CHECK(readBytes(folder / "own.xlsx").substr(0, 4) == "PK\3\4");
}
