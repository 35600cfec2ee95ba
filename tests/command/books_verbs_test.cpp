// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace shimledger::command;

namespace {

struct Shop {
    TemporaryFolder folder;
    std::string file = demoShop(folder);

    CommandRun on(std::vector<std::string> words) const {
        words.insert(words.end(), {"--db", file});
        return runShimledger(words);
    }
    nlohmann::json json(std::vector<std::string> words) const {
        words.emplace_back("--json");
        const CommandRun run = on(words);
        INFO(run.error);
        REQUIRE(run.code == exit_done);
        return nlohmann::json::parse(run.out);
    }
};

} // namespace

TEST_CASE(
    "What a job used is told as JSON, CSV and workbook, with its method, and the record names no drawer") {
    const Shop shop;
    REQUIRE(shop.on({"stock", "issue", "--part", "SH-24.0-6-0.10", "--bin", "A01", "--quantity", "2", "--job",
                     "JOB-1001"})
                .code == exit_done);
    const auto costs = shop.json({"job", "cost", "--job", "JOB-1001"});
    CHECK(costs["total"]["EUR"] == "1.62");
    CHECK(costs["lines"][0]["price"]["from"] == "offered");
    CHECK(costs["method"].size() == 4);
    const std::string csv = shop.folder / "c.csv", book = shop.folder / "c.xlsx";
    CHECK(shop.on({"job", "cost", "--job", "JOB-1001", "--out", csv}).code == exit_done);
    CHECK(readBytes(csv).find("JOB-1001,") != std::string::npos);
    CHECK(shop.on({"job", "cost", "--job", "JOB-1001", "--out", book}).code == exit_done);
    CHECK(shop.on({"job", "cost", "--job", "JOB-1002"}).out.find("Nothing was used") == 0);

    const std::string record = shop.folder / "r.xlsx";
    const auto told = shop.json({"job", "record", "--job", "JOB-1001", "--out", record});
    CHECK(told["valves"][0]["stack"].size() > 2);
    CHECK(told.dump().find("A01") == std::string::npos);
    CHECK(shop.on({"job", "record", "--job", "JOB-1001", "--out", shop.folder / "r.csv"}).code ==
          exit_bad_input);
    CHECK(shop.on({"job", "record", "--job", "JOB-1001", "--out", book}).code ==
          exit_bad_input); // another kind
}

TEST_CASE("The value of the stock is told for a day, and not for one that is yet to come") {
    const Shop shop;
    const auto value = shop.json({"stock", "value"});
    CHECK(value["by_kind"].size() > 5);
    CHECK(value["by_cabinet"].size() > 3);
    CHECK(shop.json({"stock", "value", "--on", "2001-01-01"})["lots"].empty());
    CHECK(shop.on({"stock", "value", "--on", "2999-01-01"}).code == exit_bad_input);
    CHECK(shop.on({"stock", "value", "--out", shop.folder / "v.xlsx"}).code == exit_done);
    CHECK(shop.on({"stock", "value", "--out", shop.folder / "v.csv"}).code == exit_done);
    CHECK(shop.on({"stock", "value"}).out.find("Method: ") != std::string::npos);
}

TEST_CASE("Lots that read too far off are listed by the allowance that is asked for") {
    const Shop shop;
    REQUIRE(shop.on({"stock", "reading", "--part", "SH-24.0-6-0.10", "--bin", "A01", "--mm", "0.149"}).code ==
            exit_done);
    const auto far = shop.json({"stock", "far-off"});
    REQUIRE_FALSE(far.empty());
    CHECK(far[0]["bin"] == "A01");
    CHECK(far[0]["like"] == "SH-24.0-6-0.15");
    CHECK(shop.json({"stock", "far-off", "--limit", "1"}).empty());
    CHECK(shop.json({"stock", "far-off", "--all"}).size() > far.size());
    CHECK(shop.on({"stock", "far-off", "--limit", "0"}).code == exit_bad_input);
}

TEST_CASE("The reorder sheet goes out and comes back as an order, once") {
    const Shop shop;
    const std::string sheet = shop.folder / "reorder.xlsx";
    REQUIRE(shop.on({"reorder", "--out", sheet}).code == exit_done);
    const auto preview = shop.json({"order", "from-sheet", "--in", sheet, "--preview"});
    CHECK(preview["changes"].empty());
    CHECK(shop.json({"order", "list"}).empty());
    const auto placed = shop.json({"order", "from-sheet", "--in", sheet});
    REQUIRE_FALSE(placed["orders"].empty());
    CHECK(shop.json({"order", "list"}).size() == placed["orders"].size());
    const CommandRun again = shop.on({"order", "from-sheet", "--in", sheet});
    CHECK(again.code == exit_bad_input);
    CHECK(again.error.find("on order from") != std::string::npos);
    CHECK(shop.on({"order", "from-sheet", "--in", sheet, "--supplier", "Nobody"}).code == exit_bad_input);
    CHECK(shop.on({"order", "from-sheet", "--in", shop.file}).code == exit_bad_input);
}
