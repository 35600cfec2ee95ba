// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/master_changes.h"
#include "inventory/master_fields.h"
#include "inventory/recipe.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

const auto mm = Length::parseMillimetres;

Recipe plainRecipe(const std::string& name = "trail") {
    return {name,
            Decimal::parse("6"),
            2,
            "FORK",
            "compression",
            mm("10"),
            mm("13"),
            mm("20"),
            mm("6"),
            {},
            {},
            parseRecipeStack("4 x 24 x 0.10"),
            "",
            false};
}

} // namespace

TEST_CASE("stacks of recipes are read back as they are written, and what is no stack is refused by its row") {
    std::mt19937 random(7);
    for (int i = 0; i < 300; ++i) {
        std::vector<RecipeRow> rows;
        const int count = 1 + static_cast<int>(random() % 8);
        for (int r = 0; r < count; ++r) {
            RecipeRow row{1 + static_cast<int>(random() % 30),
                          Length::fromMicrometres(8000 + random() % 40000),
                          Length::fromMicrometres(50 + random() % 450),
                          {}};
            if (random() % 5 == 0) row.ring_id = Length::fromMicrometres(6000 + random() % 9000);
            rows.push_back(row);
        }
        CHECK(parseRecipeStack(recipeStackText(rows)) == rows);
    }
    CHECK(parseRecipeStack("4x24x0.10;;1 X 18 x 0.15 ;\n").size() == 2);
    CHECK(parseRecipeStack(" ; ").empty());
    for (const char* bad : {"4 x 24", "x 24 x 0.1", "0 x 24 x 0.1", "-1 x 24 x 0.1", "501 x 24 x 0.1",
                            "4 x 24 x 0", "4 x 0 x 0.1", "4 x 24 x 0,1", "4 x 24 x 0.1 ring", "4 24 0.1 1",
                            "four x 24 x 0.1", "4.5 x 24 x 0.1", "4 x 24 x 0.1 bore 12"}) {
        INFO(bad);
        CHECK_THAT(refusalOf([&] { static_cast<void>(parseRecipeStack(std::string("1 x 9 x 1;") + bad)); }),
                   Contains("row 2"));
    }
}

TEST_CASE("what changes of a recipe is kept with what stood there before, and two people do not overwrite") {
    SmallShop small;
    RecipeList recipes(small.shop);
    recipes.add(plainRecipe());
    CHECK_THAT(refusalOf([&] { recipes.add(plainRecipe()); }), Contains("is there already"));
    Recipe seen = recipes.get("trail");
    CHECK(seen == plainRecipe());
    Recipe changed = seen;
    changed.jobs_a_year = Decimal::parse("9.25");
    changed.model = "";
    changed.seat_diameter = mm("20.5");
    changed.stack = parseRecipeStack("3 x 24 x 0.10; 1 x 14 x 0.20");
    CHECK(recipes.update(changed, seen).size() == 4);
    CHECK(recipes.update(changed).empty());
    CHECK_THAT(refusalOf([&] { recipes.update(plainRecipe(), seen); }), Contains("somebody else"));
    recipes.retire("trail");
    CHECK(recipes.list().empty());
    CHECK(recipes.list(Retired::included).size() == 1);
    CHECK_THAT(refusalOf([&] { recipes.add(plainRecipe()); }), Contains("bring it back"));
    CHECK_THAT(refusalOf([&] { recipes.retire("trail"); }), Contains("retired already"));
    recipes.bringBack("trail");
    const auto history = MasterHistory(small.shop).ofRecipe("trail");
    REQUIRE(history.size() == 6);
    CHECK(history[0].field == "jobs_a_year");
    CHECK(history[0].before == "6");
    CHECK(history[0].after == "9.25");
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a recipe that cannot be is refused by a sentence, and nothing is there") {
    SmallShop small;
    RecipeList recipes(small.shop);
    const auto refused = [&](const std::function<void(Recipe&)>& spoil) {
        Recipe recipe = plainRecipe();
        spoil(recipe);
        return refusalOf([&] { recipes.add(recipe); });
    };
    CHECK_THAT(refused([](Recipe& r) { r.name = ""; }), Contains("name is empty"));
    CHECK_THAT(refused([](Recipe& r) { r.stack.clear(); }), Contains("has no stack"));
    CHECK_THAT(refused([](Recipe& r) { r.legs = 5; }), Contains("1 to 4"));
    CHECK_THAT(refused([](Recipe& r) { r.model = "NONE"; }), Contains("no component model 'NONE'"));
    CHECK_THAT(refused([](Recipe& r) { r.port_outer_diameter = mm("12"); }), Contains("not above"));
    CHECK_THAT(refused([](Recipe& r) { r.clamp_od = Length(); }), Contains("clamp diameter"));
    CHECK_THAT(refused([](Recipe& r) { r.jobs_a_year = Decimal::fromThousandths(-1); }),
               Contains("0 to 100000"));
    CHECK(recipes.list(Retired::included).empty());
}

TEST_CASE(
    "recipes go out as CSV and come in again with their changes, and bad lines are told by their column") {
    SmallShop small;
    addRecipes(small.shop);
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy = ShopFile::create(small.folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, small.folder / "out");
    CHECK(RecipeList(copy).list(Retired::included) == RecipeList(small.shop).list(Retired::included));
    CHECK(MasterHistory(copy).ofRecipe("race") == MasterHistory(small.shop).ofRecipe("race"));
    CHECK(verifyStock(copy).good());
    const std::string head = "recipe,jobs_a_year,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,"
                             "shim_id_mm,stack,legs\n";
    const auto imported = [&](const std::string& text) {
        writeBytes(small.folder / "recipes.csv", text);
        return refusalOf([&] { importFile(copy, small.folder / "recipes.csv"); });
    };
    CHECK_THAT(imported(head + "race,1,10,13,20,6,1 x 24 x 0.1,\n"), Contains("is there already"));
    CHECK_THAT(imported(head + "new,,10,13,20,6,1 x 24 x 0.1,\n"), Contains("jobs_a_year"));
    CHECK_THAT(imported(head + "new,1,ten,13,20,6,1 x 24 x 0.1,\n"), Contains("clamp_od_mm"));
    CHECK_THAT(imported(head + "new,1,10,13,20,6,1 x 24,\n"), Contains("stack"));
    CHECK_THAT(imported(head + "new,1,10,13,20,6,1 x 24 x 0.1,7\n"), Contains("legs"));
    CHECK_THAT(imported("recipe,jobs_a_year\nnew,1\n"), Contains("the column is missing"));
    CHECK_FALSE(RecipeList(copy).find("new"));
    CHECK(imported(head + "new,1.5,10,13,20,6,\"1 x 24 x 0.1; 2 x 14 x 0.2\",\n").empty());
    CHECK(RecipeList(copy).get("new").legs == 2);
    CHECK(RecipeList(copy).get("new").stack.size() == 2);
}

TEST_CASE("a recipe that was changed behind the program's back is found", "[file]") {
    SmallShop small;
    addRecipes(small.shop);
    REQUIRE(verifyStock(small.shop).good());
    SECTION("a number") {
        REQUIRE(RawDatabase(small.shop.path()).run("UPDATE recipes SET jobs_a_year_thousandths = 1").empty());
    }
    SECTION("the mark of being retired") {
        REQUIRE(RawDatabase(small.shop.path()).run("UPDATE recipes SET retired = 0").empty());
    }
    SECTION("a change that is taken away") {
        REQUIRE_FALSE(RawDatabase(small.shop.path()).run("DELETE FROM master_changes").empty());
        return;
    }
    CHECK_FALSE(verifyStock(small.shop).good());
}

TEST_CASE("changes that were kept before recipes came are the same afterwards, and none can be touched",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    writeBytes(path, readBytes(std::filesystem::path(SHIMLEDGER_TEST_DATA) / "shop_schema_7.db"));
    const auto all = [&](const std::string& columns) {
        return RawDatabase(path).value("SELECT group_concat(" + columns + ") FROM master_changes");
    };
    const std::string columns =
        "change_id || '|' || utc || '|' || kind || '|' || coalesce(part_id, '') || '|' || "
        "coalesce(bin_id, '') || '|' || coalesce(pack_size, '') || '|' || field || '|' "
        "|| item || '|' || before || '|' || after, ';'";
    const std::string kept = all(columns);
    REQUIRE(kept.size() > 100);
    ShopFile shop = ShopFile::open(path, fixedClock(test_time));
    CHECK(all(columns) == kept);
    CHECK(verifyStock(shop).good());
    RawDatabase raw(path);
    CHECK_THAT(raw.run("UPDATE master_changes SET after = 'x'"), Contains("never changed"));
    CHECK_THAT(raw.run("DELETE FROM master_changes"), Contains("never deleted"));
    CHECK_THAT(raw.run("INSERT OR REPLACE INTO master_changes SELECT * FROM master_changes"),
               Contains("never replaced"));
    CHECK(raw.value("SELECT count(*) FROM sqlite_schema WHERE name LIKE '%before%'") == "0");
}
