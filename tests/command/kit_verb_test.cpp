// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cstdlib>

using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

const std::string recipes_csv =
    "name,jobs_a_year,legs,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,stack\n"
    "trail,30,2,10,13,20,6,4 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20\n"
    "race,20,2,10,13,20,6,6 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20\n";

/// Five sizes of one bore from one supplier.
std::string shopOfDiscs(const TemporaryFolder& folder) {
    ::setenv("XDG_CACHE_HOME", (folder / "cache").c_str(), 1); // nobody else's
    const std::string sheet = folder / "stock.csv";
    writeBytes(sheet, "kind,od_mm,id_mm,thickness_mm,condition,bin,quantity\n"
                      "shim,24,6,0.15,new,A1,4\nshim,24,6,0.20,new,A2,1\nshim,18,6,0.15,new,A3,1\n"
                      "shim,12,6,0.20,new,A4,1\nshim,30,6,0.30,new,A5,7\n");
    return shopOf(folder, "shop.db", sheet);
}

/// What of them is sold.
void addOffers(const std::string& shop) {
    const CommandRun supplier =
        runShimledger({"supplier", "add", "--db", shop, "--supplier", "Invented Discs", "--lead-time-days",
                       "7", "--currency", "EUR"});
    INFO(supplier.error);
    REQUIRE(supplier.code == exit_done);
    const CommandRun parts = runShimledger({"part", "list", "--db", shop, "--json"});
    INFO(parts.error);
    REQUIRE(parts.code == exit_done);
    for (const auto& part : nlohmann::json::parse(parts.out)) {
        const std::string code = part.contains("part") ? part["part"] : part["code"];
        const CommandRun offer =
            runShimledger({"supplier", "offer", "add", "--db", shop, "--supplier", "Invented Discs", "--part",
                           code, "--pack-size", "10", "--pack-price", "4.00"});
        INFO(offer.error);
        REQUIRE(offer.code == exit_done);
    }
}

} // namespace

TEST_CASE("kit says what to keep and writes it as a sheet") {
    const TemporaryFolder folder;
    const std::string shop = shopOfDiscs(folder);
    addOffers(shop);
    const std::string recipes = folder / "recipes.csv", sheet = folder / "kit.xlsx";
    writeBytes(recipes, recipes_csv);
    const CommandRun run = runShimledger(
        {"kit", "--db", shop, "--recipes", recipes, "--budget", "60", "--out", sheet, "--json"});
    INFO(run.error);
    REQUIRE((run.code == exit_done || run.code == exit_limit));
    const auto kit = nlohmann::json::parse(run.out);
    CHECK(kit["cost"].get<double>() <= 60);
    CHECK(kit["coverage"].get<double>() > 0.5);
    CHECK(kit["coverage_bound"].get<double>() >= kit["coverage"].get<double>());
    CHECK(kit["fresh_coverage"]["mean"].get<double>() >= kit["plain_coverage"].get<double>());
    CHECK(kit["sizes"].size() >= 3);
    for (const auto& size : kit["sizes"]) {
        CHECK(size["keep"].get<int>() == size["on_hand"].get<int>() + 10 * size["packs_to_buy"].get<int>());
        CHECK(size["id_mm"] == 6);
    }
    CHECK(kit["curve"].size() > 3);
    CHECK(readBytes(sheet).starts_with("PK"));
    REQUIRE(kit["dead"].size() == 1);
    CHECK(kit["dead"][0]["od_mm"] == 30);
    // In words, with a size locked out, and as much again by the same seed.
    const CommandRun words = runShimledger({"kit", "--db", shop, "--recipes", recipes, "--budget", "60"});
    CHECK_THAT(words.out, Contains("Of the season's jobs") && Contains("Reorder points size by size"));
    CHECK(words.out == runShimledger({"kit", "--db", shop, "--recipes", recipes, "--budget", "60"}).out);
    const CommandRun without = runShimledger(
        {"kit", "--db", shop, "--recipes", recipes, "--budget", "60", "--without", "24x6x0.15", "--json"});
    for (const auto& size : nlohmann::json::parse(without.out)["sizes"])
        CHECK_FALSE((size["od_mm"] == 24 && size["thickness_mm"] == 0.15));
}

TEST_CASE("kit refuses what it cannot plan from in a sentence") {
    const TemporaryFolder folder;
    const std::string shop = shopOfDiscs(folder);
    const std::string recipes = folder / "recipes.csv";
    writeBytes(recipes, recipes_csv);
    const auto refuses = [&](std::vector<std::string> more, const std::string& words) {
        std::vector<std::string> arguments{"kit", "--db", shop};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const CommandRun run = runShimledger(arguments);
        CAPTURE(more, run.error, run.out);
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error, Contains(words));
        CHECK(run.out.empty());
    };
    refuses({}, "give recipes");
    refuses({"--recipes", recipes}, "no supplier offers");
    addOffers(shop);
    refuses({"--recipes", recipes, "--budget", "0"}, "budget of 0");
    refuses({"--recipes-alone"}, "--recipes");
    refuses({"--recipes", recipes, "--keep", "99x6x0.10"}, "neither offered nor in stock");
    refuses({"--recipes", recipes, "--keep", "24x6x0.15", "--without", "24x6x0.15"},
            "both kept and left out");
    refuses({"--recipes", recipes, "--season", "2026-08-31..2026-03-01"}, "ends before it begins");
    const std::string wrong = folder / "wrong.csv";
    writeBytes(wrong, "name,jobs_a_year\na,1\n");
    refuses({"--recipes", wrong}, "lack the column");
    writeBytes(wrong, recipes_csv + "x,1,2,10,13,20,6,4 x 9 x 0.15\n");
    refuses({"--recipes", wrong}, "line 4");
    writeBytes(wrong, "");
    refuses({"--recipes", wrong}, "empty");
    // A stack that nothing can build: proved impossible where there is no other.
    writeBytes(wrong,
               "name,jobs_a_year,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,stack\n"
               "wide,5,10,13,20,6,4 x 40 x 0.15\n");
    const CommandRun none = runShimledger({"kit", "--db", shop, "--recipes", wrong});
    CHECK(none.code == exit_impossible);
    CHECK_THAT(none.out, Contains("no wanted stack can be built"));
}

TEST_CASE("kit counts with kept recipes, sets reorder points from its plan and takes them back") {
    const TemporaryFolder folder;
    const std::string shop = shopOfDiscs(folder);
    addOffers(shop);
    const std::string recipes = folder / "recipes.csv";
    writeBytes(recipes, recipes_csv);
    REQUIRE(runShimledger({"recipe", "import", recipes, "--db", shop}).code == exit_done);
    const auto points = [&] {
        std::string all;
        for (const auto& part :
             nlohmann::json::parse(runShimledger({"part", "list", "--db", shop, "--json"}).out))
            all += part["reorder_point"].dump() + " ";
        return all;
    };
    const std::string before = points();
    CHECK(runShimledger({"kit", "--db", shop, "--points-back"}).code == exit_bad_input);
    const CommandRun run = runShimledger({"kit", "--db", shop, "--budget", "60", "--set-points", "--json"});
    INFO(run.error);
    REQUIRE((run.code == exit_done || run.code == exit_limit));
    const auto kit = nlohmann::json::parse(run.out);
    CHECK(kit["points"]["changed"].size() >= 3);
    CHECK(points() != before);
    const CommandRun back = runShimledger({"kit", "--db", shop, "--points-back"});
    CHECK(back.code == exit_done);
    CHECK_THAT(back.out, Contains("reorder points were taken back"));
    CHECK(points() == before);
    CHECK(runShimledger({"kit", "--db", shop, "--points-back", "--set-points"}).code == exit_bad_input);
    const CommandRun without = runShimledger({"kit", "--db", shop, "--no-kept-recipes"});
    CHECK(without.code == exit_bad_input);
    CHECK_THAT(without.error, Contains("recipe add"));
}
