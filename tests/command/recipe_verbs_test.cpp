// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

CommandRun on(const std::string& shop, std::vector<std::string> words, int code = exit_done) {
    words.insert(words.end(), {"--db", shop});
    CommandRun run = runShimledger(words);
    INFO(run.error);
    CHECK(run.code == code);
    return run;
}

const std::vector<std::string> sizes{
    "--clamp-od", "10", "--port-inner-diameter", "13", "--port-outer-diameter", "20", "--shim-id", "6"};

std::vector<std::string> withSizes(std::vector<std::string> words) {
    words.insert(words.end(), sizes.begin(), sizes.end());
    return words;
}

} // namespace

TEST_CASE("recipes are added, changed, retired, listed and told of in their history") {
    const TemporaryFolder folder;
    const std::string shop = folder / "shop.db", sheet = folder / "stock.csv";
    writeBytes(sheet, "kind,od_mm,id_mm,thickness_mm,condition,bin,quantity\nshim,24,6,0.15,new,A1,4\n");
    on(shop, {"stock", "import", "--create", sheet});
    const std::vector<std::string> add = withSizes({"recipe", "add", "--recipe", "trail", "--jobs-a-year",
                                                    "6.5", "--stack", "4 x 24 x 0.15; 1 x 12 x 0.2"});
    CHECK_THAT(on(shop, add).out, Contains("Recipe trail is there"));
    CHECK_THAT(on(shop, add, exit_bad_input).error, Contains("is there already"));
    CHECK_THAT(on(shop, {"recipe", "change", "--recipe", "trail", "--jobs-a-year", "8"}).out,
               Contains("became 8; before it was 6.5"));
    CHECK_THAT(on(shop, {"recipe", "change", "--recipe", "trail"}, exit_bad_input).error,
               Contains("say what changes"));
    CHECK_THAT(on(shop, {"recipe", "change", "--recipe", "trial", "--note", "x"}, exit_bad_input).error,
               Contains("did you mean 'trail'"));
    CHECK_THAT(
        on(shop, {"recipe", "change", "--recipe", "trail", "--stack", "4 x 8 x 0.15"}, exit_bad_input).error,
        Contains("can exist"));
    CHECK_THAT(on(shop, {"recipe", "change", "--recipe", "trail", "--model", "NO"}, exit_bad_input).error,
               Contains("no model 'NO'"));
    const auto listed = nlohmann::json::parse(on(shop, {"recipe", "list", "--json"}).out);
    REQUIRE(listed.size() == 1);
    CHECK(listed[0]["jobs_a_year"] == 8);
    CHECK(listed[0]["stack"] == "4 x 24.0 x 0.15; 1 x 12.0 x 0.20");
    on(shop, {"recipe", "retire", "--recipe", "trail"});
    CHECK_THAT(on(shop, {"recipe", "list"}).out, Contains("There are none"));
    CHECK_THAT(on(shop, {"recipe", "list", "--retired"}).out, Contains("retired"));
    on(shop, {"recipe", "bring-back", "--recipe", "trail"});
    CHECK_THAT(on(shop, {"history", "recipe", "trail"}).out, Contains("jobs a year of recipe trail"));
    CHECK_THAT(on(shop, {"recipe", "from-jobs"}, exit_bad_input).error, Contains("--closed"));
    CHECK_THAT(on(shop, {"recipe", "from-jobs", "--closed"}, exit_bad_input).error,
               Contains("no job was closed"));
    const std::string file = folder / "recipes.csv";
    writeBytes(
        file,
        "recipe,jobs_a_year,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,stack\n"
        "trail,8,10,13,20,6,4 x 24 x 0.15; 1 x 12 x 0.2\nmore,2,10,13,20,6,3 x 24 x 0.15\n");
    const CommandRun imported = on(shop, {"recipe", "import", file});
    CHECK_THAT(imported.out, Contains("Recipe trail was there already") && Contains("Recipe more is there"));
    writeBytes(file, "nonsense\n");
    CHECK_THAT(on(shop, {"recipe", "import", file}, exit_bad_input).error, Contains("recipes.csv"));
}
