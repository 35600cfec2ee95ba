// SPDX-License-Identifier: GPL-3.0-or-later
// part, bin, supplier and model: a shop's own data without a CSV file.
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>

using namespace shimledger;
using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

using Words = std::vector<std::string>;

CommandRun on(const std::string& shop, Words arguments, int code = exit_done) {
    arguments.insert(arguments.end(), {"--db", shop});
    CommandRun run = runShimledger(arguments);
    INFO(run.error);
    CHECK(run.code == code);
    return run;
}

nlohmann::json listed(const std::string& shop, Words arguments) {
    arguments.emplace_back("--json");
    return nlohmann::json::parse(on(shop, std::move(arguments)).out);
}

/// The one of that name; null: it is not listed.
nlohmann::json oneOf(const nlohmann::json& list, const char* key, const std::string& name) {
    for (const auto& one : list) {
        if (one[key] == name) return one;
    }
    return nullptr;
}

/// A shop without anything.
std::string emptyShop(const TemporaryFolder& folder) {
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nZ1,Z,1\n");
    return shopOf(folder, "own.db", folder / "bins.csv");
}

constexpr const char* face = "SH-24.0-6-0.10";
constexpr const char* discs = "Northgate Disc Works (invented)";

std::map<std::string, std::string> everythingIn(const std::string& shop, const std::string& folder) {
    const CommandRun run = runShimledger({"stock", "export", "--db", shop, "--everything", "--out", folder});
    if (run.code != exit_done) throw std::runtime_error(run.error);
    std::map<std::string, std::string> tables;
    for (const auto& file : std::filesystem::directory_iterator(folder))
        tables[file.path().filename().string()] = readBytes(file.path().string());
    return tables;
}

} // namespace

TEST_CASE("a shop is set up and its first delivery booked by verbs alone") {
    const TemporaryFolder folder;
    const std::string shop = emptyShop(folder);
    CHECK_THAT(on(shop, {"bin", "add", "--bin", "A01..A52", "--cabinet", "A"}).out,
               Contains("Bins A01 to A52 (52) are there, in cabinet A."));
    CHECK_THAT(on(shop, {"part", "add", "--kind", "shim", "--od", "24", "--id", "6", "--thickness", "0.10",
                         "--reorder-point", "6", "--class", "A"})
                   .out,
               Contains("Part SH-24.0-6-0.10 is in the catalogue: shim 24.0 x 6.0 x 0.10."));
    on(shop, {"part", "add", "--part", "OIL", "--kind", "fluid", "--description", "oil VG 15"});
    CHECK_THAT(on(shop, {"part", "add", "--standard", "210", "--material", "NBR"}).out,
               Contains("O-ring 18.64 x 3.53"));
    on(shop, {"supplier", "add", "--supplier", "Discs", "--lead-time-days", "7", "--currency", "EUR",
              "--freight", "9.50"});
    CHECK_THAT(
        on(shop, {"supplier", "offer", "add", "--supplier", "Discs", "--part", face, "--pack-size", "10",
                  "--pack-price", "4.10", "--break", "20=3.50", "--break", "5=3.80"})
            .out,
        Contains("Discs offers SH-24.0-6-0.10 in packs of 10, 4.10 a pack, 3.80 from 5 packs, 3.50 from "
                 "20 packs."));
    on(shop, {"model", "add", "--model", "FK-1", "--kind", "fork", "--description", "a fork"});
    on(shop, {"model", "valve", "set", "--model", "FK-1", "--valve", "compression", "--clamp-od", "10",
              "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"});
    on(shop, {"model", "wear-part", "set", "--model", "FK-1", "--part", "OIL", "--quantity", "450"});
    on(shop, {"stock", "receive", "--part", face, "--bin", "A07", "--quantity", "20"});
    // The model's valve saves typing its sizes for every job.
    on(shop, {"job", "open", "--job", "J-1", "--model", "FK-1", "--valve", "compression", "--target",
              "2 x 24.0 x 0.10"});
    on(shop, {"job", "open", "--job", "J-2", "--model", "FK-1", "--clamp-od", "11"});
    const auto bins = listed(shop, {"bin", "list"});
    REQUIRE(bins.size() == 53);
    CHECK(bins[1]["bin"] == "A01");
    CHECK(bins[52]["walking_order"].get<int>() == bins[51]["walking_order"].get<int>() + 10);
    const auto parts = listed(shop, {"part", "list"});
    CHECK(parts.size() == 3);
    const auto shim = oneOf(parts, "part", face);
    CHECK(shim["od_mm"] == 24.0);
    CHECK(shim["thickness_mm"] == 0.1);
    CHECK(shim["section_mm"].is_null());
    CHECK(shim["reorder_point"] == 6);
    CHECK(shim["retired"] == false);
    const auto ring = listed(shop, {"part", "list", "--kind", "o_ring"});
    REQUIRE(ring.size() == 1);
    CHECK(ring[0]["size_code"] == "210");
    CHECK(oneOf(parts, "part", "OIL")["unit"] == "ml");
    const auto offers = listed(shop, {"supplier", "offer", "list"});
    REQUIRE(offers.size() == 1);
    CHECK(offers[0]["breaks"][0]["from_packs"] == 5);
    CHECK(offers[0]["pack_price"] == "4.10");
    CHECK(offers[0]["priced_on"].is_string());
    const auto model = listed(shop, {"model", "list"})[0];
    CHECK(model["legs"] == 2);
    CHECK(model["valves"][0]["port_outer_diameter_mm"] == 20.0);
    CHECK(model["wear_parts"][0]["quantity_per_leg"] == 450);
    CHECK_THAT(on(shop, {"stock", "verify"}).out, Contains("True"));
}

TEST_CASE("the flow of a model's valve is said by model flow, told by model list, and dropped again") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    on(shop, {"model", "valve", "set", "--model", "FK-LARCH-45", "--valve", "compression", "--clamp-od", "10",
              "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"});
    CHECK(on(shop, {"model", "flow", "set", "--model", "FK-LARCH-45", "--valve", "compression", "--piston",
                    "28", "--oil-density-kg-m3", "850", "--oil-40c-mm2-s", "15", "--oil-100c-mm2-s", "3.5"})
              .out ==
          "The piston diameter of valve 'compression' of model FK-LARCH-45 became 28.0 mm; there was none "
          "before.\n"
          "The oil's density of valve 'compression' of model FK-LARCH-45 became 850; there was none before.\n"
          "The oil's viscosity at 40 C of valve 'compression' of model FK-LARCH-45 became 15; there was none "
          "before.\n"
          "The oil's viscosity at 100 C of valve 'compression' of model FK-LARCH-45 became 3.5; there was "
          "none before.\n");
    CHECK_THAT(on(shop, {"model", "list"}).out, Contains("piston_mm 28.0, oil_density_kg_m3 850"));
    const auto model = oneOf(listed(shop, {"model", "list"}), "model", "FK-LARCH-45");
    CHECK(model["valves"][0]["flow"]["oil_100c_mm2_s"] == 3.5);
    CHECK(model["valves"][0]["flow"]["shaft_mm"].is_null());
    CHECK_THAT(on(shop, {"history", "model", "FK-LARCH-45"}).out, Contains("piston diameter of valve"));
    on(shop,
       {"model", "flow", "set", "--model", "FK-LARCH-45", "--valve", "compression", "--piston", "none"});
    CHECK_THAT(on(shop, {"model", "flow", "drop", "--model", "FK-LARCH-45", "--valve", "compression"}).out,
               Contains("was taken away; it was 850"));
    const auto refused = [&](std::vector<std::string> arguments, const std::string& part) {
        arguments.insert(arguments.end(), {"--db", shop});
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error, Contains(part));
    };
    refused({"model", "flow", "set", "--model", "FK-LARCH-45", "--valve", "compression"}, "say what changes");
    refused({"model", "flow", "set", "--model", "FK-LARCH-45", "--valve", "compresion", "--piston", "28"},
            "compression");
    refused({"model", "flow", "set", "--model", "FK-LARCH-45", "--valve", "compression", "--piston", "wide"},
            "--piston");
    refused({"model", "flow", "set", "--model", "FK-LARCH", "--valve", "compression", "--piston", "28"},
            "FK-LARCH-45");
    CHECK_THAT(on(shop, {"stock", "verify"}).out, Contains("True"));
}

TEST_CASE("what is changed is told, kept and shown in the history") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK(on(shop, {"part", "change", "--part", face, "--reorder-point", "20", "--note", "check each"}).out ==
          "The reorder point of part SH-24.0-6-0.10 became 20; before it was 16.\n"
          "The note of part SH-24.0-6-0.10 became 'check each'; there was none before.\n");
    CHECK(on(shop, {"part", "change", "--part", face, "--note", "check each"}).out ==
          "It is so already: nothing was changed.\n");
    CHECK_THAT(on(shop, {"part", "change", "--part", face, "--note", "none", "--class", "none"}).out,
               Contains("The note of") && Contains("was taken away; it was 'check each'") &&
                   Contains("The class of") && Contains("it was 'A'"));
    CHECK_THAT(on(shop, {"bin", "change", "--bin", "a01", "--cabinet", "North"}).out,
               Contains("The cabinet of bin A01 became 'North'"));
    CHECK_THAT(
        on(shop, {"supplier", "change", "--supplier", discs, "--lead-time-days", "12", "--freight", "none"})
            .out,
        Contains("became 12; before it was 9.") && Contains("was taken away; it was 9.50."));
    CHECK_THAT(on(shop, {"supplier", "offer", "change", "--supplier", discs, "--part", face, "--pack-size",
                         "10", "--pack-price", "8.50"})
                   .out,
               Contains("became 8.50; before it was 8.10.") &&
                   Contains("The day of the price of a pack of 10"));
    CHECK_THAT(on(shop, {"supplier", "offer", "change", "--supplier", discs, "--part", face, "--pack-size",
                         "10", "--break", "none"})
                   .out,
               Contains("from 5 packs on, was taken away; it was 7.53."));
    CHECK_THAT(on(shop, {"model", "change", "--model", "FK-ALDER-36", "--description", "an old fork"}).out,
               Contains("The description of model FK-ALDER-36 became 'an old fork'"));
    const std::string told = on(shop, {"history", "part", face}).out;
    CHECK_THAT(told, Contains("The reorder point of part SH-24.0-6-0.10 became 20; before it was 16."));
    CHECK_THAT(told, Contains("became 8.50; before it was 8.10."));
    CHECK(told.rfind("was pulled from") < told.rfind("The reorder point")); // movements came before
    const auto json = listed(shop, {"history", "part", face});
    CHECK(json.back()["field"] == "price_break");
    CHECK(json.back()["before"] == "7.12");
    CHECK(json.back()["after"] == "");
    CHECK_THAT(on(shop, {"history", "bin", "A01"}).out, Contains("The cabinet of bin A01"));
    CHECK_THAT(on(shop, {"history", "supplier", discs}).out, Contains("The lead time of supplier"));
    CHECK_THAT(on(shop, {"history", "model", "FK-ALDER-36"}).out, Contains("The description of model"));
    on(shop, {"reorder-class", "--class", "A", "--cover", "6"});
    CHECK_THAT(on(shop, {"history", "class", "A"}).out, Contains("The longest cover of class A became 6"));
    CHECK_THAT(on(shop, {"stock", "verify"}).out, Contains("True"));
}

TEST_CASE("what is retired leaves the lists, takes nothing in and can be brought back") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto all = listed(shop, {"part", "list"}).size();
    CHECK_THAT(on(shop, {"part", "retire", "--part", face}).out,
               Contains("Part SH-24.0-6-0.10 was retired.") && Contains("still there in A01"));
    CHECK(listed(shop, {"part", "list"}).size() == all - 1);
    const auto with = listed(shop, {"part", "list", "--retired"});
    CHECK(with.size() == all);
    CHECK(oneOf(with, "part", face)["retired"] == true);
    CHECK(oneOf(listed(shop, {"supplier", "offer", "list"}), "part", face).is_null());
    CHECK_THAT(
        on(shop, {"stock", "receive", "--part", face, "--bin", "A01", "--quantity", "1"}, exit_bad_input)
            .error,
        Contains("the part is retired"));
    on(shop, {"stock", "issue", "--part", face, "--bin", "A01", "--quantity", "1"});
    CHECK(on(shop, {"find", "24 x 6 x 0.10", "--json"}).out.find(face) == std::string::npos);
    CHECK_THAT(on(shop, {"part", "retire", "--part", face}, exit_bad_input).error,
               Contains("retired already"));
    CHECK_THAT(on(shop, {"part", "change", "--part", "SH-24.0-6-0.1", "--note", "x"}, exit_bad_input).error,
               Contains("did you mean 'SH-24.0-6-0.10', which is retired?"));
    CHECK_THAT(on(shop, {"part", "add", "--kind", "shim", "--od", "24", "--id", "6", "--thickness", "0.10"},
                  exit_bad_input)
                   .error,
               Contains("is in the catalogue already, retired: bring it back"));
    on(shop, {"part", "bring-back", "--part", face});
    on(shop, {"stock", "receive", "--part", face, "--bin", "A01", "--quantity", "1"});

    CHECK_THAT(on(shop, {"bin", "retire", "--bin", "A01..A03"}).out, Contains("Bin A01 was retired.") &&
                                                                         Contains("Bin A03 was retired.") &&
                                                                         Contains("still in A01"));
    CHECK_THAT(
        on(shop, {"stock", "receive", "--part", face, "--bin", "A01", "--quantity", "1"}, exit_bad_input)
            .error,
        Contains("the bin is retired"));
    CHECK(oneOf(listed(shop, {"bin", "list"}), "bin", "A02").is_null());
    CHECK_THAT(on(shop, {"labels", "--out", folder / "l.xlsx", "--bin", "A01"}, exit_bad_input).error,
               Contains("is retired"));
    on(shop, {"bin", "bring-back", "--bin", "A01..A03"});
    on(shop, {"supplier", "retire", "--supplier", discs});
    CHECK(oneOf(listed(shop, {"supplier", "list"}), "supplier", discs).is_null());
    CHECK_THAT(
        on(shop, {"order", "place", "--supplier", discs, "--set", std::string(face) + "=1"}, exit_bad_input)
            .error,
        Contains("does not offer"));
    on(shop, {"model", "retire", "--model", "FK-ALDER-36"});
    CHECK_THAT(on(shop,
                  {"job", "open", "--model", "FK-ALDER-36", "--valve", "mid", "--clamp-od", "10",
                   "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"},
                  exit_bad_input)
                   .error,
               Contains("component model 'FK-ALDER-36' is retired"));
    CHECK_THAT(on(shop, {"stock", "verify"}).out, Contains("True"));
}

TEST_CASE("a size that was typed wrong is put right before anything is booked, and never after") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    on(shop,
       {"part", "add", "--part", "SLIP", "--kind", "shim", "--od", "24", "--id", "6", "--thickness", "1.0"});
    CHECK_THAT(on(shop, {"part", "change", "--part", "SLIP", "--thickness", "0.10"}).out,
               Contains("became 0.10 mm; before it was 1.00 mm."));
    CHECK_THAT(on(shop, {"part", "change", "--part", face, "--thickness", "0.15"}, exit_bad_input).error,
               Contains("keeps its kind, unit and sizes") && Contains("retire it and add the right part"));
}

TEST_CASE("every kind of part can be added by the sizes that its kind needs, and by no others") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::map<std::string, Words> sizes{{"shim", {"--od", "21", "--id", "6", "--thickness", "0.11"}},
                                             {"bushing", {"--id", "33", "--od", "36", "--length", "12"}},
                                             {"oil_seal", {"--id", "33", "--od", "46", "--length", "11"}},
                                             {"dust_seal", {"--id", "33", "--od", "46", "--length", "11"}},
                                             {"o_ring", {"--id", "12.34", "--section", "1.5"}},
                                             {"snap_ring", {"--od", "33", "--thickness", "1.2"}},
                                             {"washer", {"--id", "6", "--od", "12", "--thickness", "1"}},
                                             {"fluid", {"--part", "NEW-OIL", "--description", "oil"}},
                                             {"other", {"--part", "NEW-THING", "--description", "thing"}}};
    for (const auto& [kind, typed] : sizes) {
        INFO(kind);
        Words words{"part", "add", "--kind", kind};
        words.insert(words.end(), typed.begin(), typed.end());
        on(shop, words);
        words.insert(words.end(), {"--part", "BAD", kind == "o_ring" ? "--od" : "--section", "2"});
        if (kind != "other") on(shop, words, exit_bad_input);
    }
}

TEST_CASE(
    "no bad value of the verbs of a shop's own data is misread, each is one sentence, nothing changes") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    on(shop, {"bin", "retire", "--bin", "A02"});
    const auto before = everythingIn(shop, folder / "before");
    const Words add{"part", "add", "--part", "NEW", "--kind", "shim"};
    const Words change{"part", "change", "--part", face};
    const Words supplier{"supplier",         "add", "--supplier", "New",
                         "--lead-time-days", "7",   "--currency", "EUR"};
    const Words offer{"supplier", "offer",       "add", "--supplier",   discs, "--part",
                      face,       "--pack-size", "3",   "--pack-price", "9.00"};
    const Words offered{"supplier", "offer", "change",      "--supplier", discs,
                        "--part",   face,    "--pack-size", "10"};
    const Words valve{"model", "valve", "set", "--model", "FK-ALDER-36", "--valve", "mid"};
    const Words valve_sizes{"--clamp-od", "10", "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"};
    const auto with = [](Words words, const Words& more) {
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    /// What is typed, and a word that the sentence must have.
    std::vector<std::pair<Words, std::string>> bad{
        {{"part"}, "add, change"},
        {{"part", "add"}, "--kind"},
        {{"part", "add", "--kind", "shim"}, "no outer diameter"},
        {{"part", "add", "--kind", "other"}, "give it a code"},
        {{"part", "add", "--kind", "shims"}, "--kind"},
        {{"part", "add", "--kind", "none"}, "--kind"},
        {add, "no outer diameter"},
        {with(add, {"--od", "24", "--id", "24", "--thickness", "0.1"}), "not below"},
        {with(add, {"--od", "24", "--id", "6", "--thickness", "0"}), "above 0"},
        {with(add, {"--od", "24", "--id", "6", "--thickness", "0.1", "--length", "3"}), "length"},
        {with(add, {"--od", "24", "--id", "6", "--thickness", "0.1", "--unit", "ml"}), "fluids"},
        {with(add, {"--od", "24", "--id", "6", "--thickness", "0.1", "--reorder-point", "many"}),
         "--reorder-point"},
        {{"part", "add", "--part", face, "--kind", "shim", "--od", "24", "--id", "6", "--thickness", "0.1"},
         "in the catalogue already"},
        {{"part", "add", "--part", " X", "--kind", "shim", "--od", "24", "--id", "6", "--thickness", "0.1"},
         "blank"},
        {{"part", "add", "--part", std::string(101, 'x'), "--kind", "shim", "--od", "24", "--id", "6",
          "--thickness", "0.1"},
         "100 bytes"},
        {{"part", "add", "--standard", "9999"}, "--standard"},
        {{"part", "add", "--standard", "210", "--id", "5"}, "--id"},
        {{"part", "add", "--standard", "210", "--kind", "o_ring"}, "--kind"},
        {{"part", "add", "--standard", "210", "--thickness", "1"}, "thickness"},
        {change, "say what changes"},
        {with(change, {"--kind", "washer"}), "keeps its kind"},
        {with(change, {"--od", "23"}), "keeps its kind"},
        {with(change, {"--od", "none"}), "no outer diameter"},
        {with(change, {"--unit", "mm"}), "keeps its kind"},
        {with(change, {"--unit", "none"}), "--unit"},
        {with(change, {"--class", ""}), "--class"},
        {with(change, {"--note", "\xff"}), "UTF-8"},
        {with(change, {"--shelf-life-months", "0"}), "--shelf-life-months"},
        {with(change, {"--shelf-life-months", "1201"}), "--shelf-life-months"},
        {with(change, {"--colour", "red"}), "--colour"},
        {with(change, {"--note", "a", "--note", "b"}), "--note"},
        {{"part", "change", "--note", "x"}, "--part"},
        {{"part", "change", "--part", "NOPE", "--note", "x"}, "NOPE"},
        {{"part", "retire", "--part", "NOPE"}, "NOPE"},
        {{"part", "retire"}, "--part"},
        {{"part", "bring-back", "--part", face}, "not retired"},
        {{"part", "delete", "--part", face}, "delete"},
        {{"part", "list", "--kind", "shims"}, "--kind"},
        {{"bin", "add", "--bin", "A01"}, "there already"},
        {{"bin", "add", "--bin", "A02"}, "retired: bring it back"},
        {{"bin", "add", "--bin", "Z1..A9"}, "Z1..A9"},
        {{"bin", "add", "--bin", "Z9..Z1"}, "Z1..Z9"},
        {{"bin", "add", "--bin", "Z01..Z2000"}, "digits"},
        {{"bin", "add", "--bin", "Z0001..Z2000"}, "1000"},
        {{"bin", "add", "--bin", "A00..A05"}, "there already"},
        {{"bin", "add", "--bin", "Z1", "--walking-order", "-1"}, "--walking-order"},
        {{"bin", "add", "--bin", "Z1", "--walking-order", "1.5"}, "--walking-order"},
        {{"bin", "add"}, "--bin"},
        {{"bin", "change", "--bin", "A01"}, "say what changes"},
        {{"bin", "change", "--bin", "A01", "--walking-order", "none"}, "--walking-order"},
        {{"bin", "change", "--bin", "NOPE", "--note", "x"}, "NOPE"},
        {{"bin", "change", "--bin", "A98..A99", "--note", "x"}, "A98"},
        {{"bin", "retire", "--bin", "A02"}, "retired already"},
        {{"bin", "retire", "--bin", "A01..A02"}, "retired already"},
        {{"bin", "bring-back", "--bin", "A01"}, "not retired"},
        {{"bin", "list", "--cabinet", "NOPE"}, "NOPE"},
        {{"supplier", "add", "--supplier", "New"}, "--lead-time-days"},
        {{"supplier", "add", "--supplier", "New", "--lead-time-days", "7"}, "--currency"},
        {{"supplier", "add", "--supplier", discs, "--lead-time-days", "7", "--currency", "EUR"},
         "there already"},
        {{"supplier", "add", "--supplier", "New", "--lead-time-days", "7", "--currency", "euro"}, "euro"},
        {{"supplier", "add", "--supplier", "New", "--lead-time-days", "-7", "--currency", "EUR"},
         "--lead-time-days"},
        {{"supplier", "add", "--supplier", "New", "--lead-time-days", "9999", "--currency", "EUR"}, "3650"},
        {with(supplier, {"--freight", "9,50"}), "--freight"},
        {with(supplier, {"--minimum-order", "-1"}), "--minimum-order"},
        {with(supplier, {"--lead-time-spread-days", "x"}), "--lead-time-spread-days"},
        {{"supplier", "change", "--supplier", discs}, "say what changes"},
        {{"supplier", "change", "--supplier", discs, "--currency", "USD"}, "keeps its currency"},
        {{"supplier", "change", "--supplier", discs, "--lead-time-days", "none"}, "--lead-time-days"},
        {{"supplier", "change", "--supplier", "Northgate", "--note", "x"}, "Northgate"},
        {{"supplier", "retire", "--supplier", "Nope"}, "Nope"},
        {{"supplier", "bring-back", "--supplier", discs}, "not retired"},
        {{"supplier", "offer"}, "add, change"},
        {{"supplier", "offer", "add", "--supplier", discs, "--part", face}, "--pack-price"},
        {{"supplier", "offer", "add", "--supplier", discs, "--part", face, "--pack-size", "10",
          "--pack-price", "9"},
         "already"},
        {{"supplier", "offer", "add", "--supplier", discs, "--part", "NOPE", "--pack-price", "9"}, "NOPE"},
        {{"supplier", "offer", "add", "--supplier", "Nope", "--part", face, "--pack-price", "9"}, "Nope"},
        {{"supplier", "offer", "add", "--supplier", discs, "--part", face, "--pack-size", "0", "--pack-price",
          "9"},
         "--pack-size"},
        {{"supplier", "offer", "add", "--supplier", discs, "--part", face, "--pack-size", "2.5",
          "--pack-price", "9"},
         "--pack-size"},
        {with(offer, {"--break", "5"}), "PACKS=PRICE"},
        {with(offer, {"--break", "=5"}), "PACKS=PRICE"},
        {with(offer, {"--break", "x=5"}), "PACKS=PRICE"},
        {with(offer, {"--break", "05=5"}), "PACKS=PRICE"},
        {with(offer, {"--break", "-5=5"}), "PACKS=PRICE"},
        {with(offer, {"--break", "5=3,80"}), "--break"},
        {with(offer, {"--break", "1=3.80"}), "2 to 1000000"},
        {with(offer, {"--break", "5=9.50"}), "dearer"},
        {with(offer, {"--break", "5=8.00", "--break", "5=8.00"}), "there already"},
        {with(offer, {"--break", "5=7.00", "--break", "9=8.00"}), "dearer"},
        {with(offer, {"--priced-on", "tomorrow"}), "--priced-on"},
        {offered, "say what changes"},
        {with(offered, {"--pack-price", "none"}), "--pack-price"},
        {with(offered, {"--pack-price", "1.00"}), "dearer"},
        {{"supplier", "offer", "change", "--supplier", discs, "--part", face, "--pack-size", "11",
          "--pack-price", "9"},
         "packs of 11"},
        {{"supplier", "offer", "retire", "--supplier", discs, "--part", face}, "packs of 1"},
        {{"supplier", "offer", "bring-back", "--supplier", discs, "--part", face, "--pack-size", "10"},
         "not retired"},
        {{"model", "add", "--model", "NEW"}, "--kind"},
        {{"model", "add", "--model", "NEW", "--kind", "bike"}, "--kind"},
        {{"model", "add", "--model", "NEW", "--kind", "fork", "--legs", "5"}, "--legs"},
        {{"model", "add", "--model", "NEW", "--kind", "fork", "--legs", "0"}, "--legs"},
        {{"model", "add", "--model", "FK-ALDER-36", "--kind", "fork"}, "there already"},
        {{"model", "change", "--model", "FK-ALDER-36"}, "say what changes"},
        {{"model", "change", "--model", "FK-ALDER", "--note", "x"}, "FK-ALDER"},
        {{"model", "change", "--model", "FK-ALDER-36", "--kind", "none"}, "--kind"},
        {{"model", "retire", "--model", "NOPE"}, "NOPE"},
        {{"model", "bring-back", "--model", "FK-ALDER-36"}, "not retired"},
        {valve, "--clamp-od"},
        {with(with(valve, valve_sizes), {"--seat", "-1"}), "seat"},
        {with(with(valve, valve_sizes), {"--preload", "x"}), "--preload"},
        {with(valve, {"--clamp-od", "10", "--port-inner", "20", "--port-outer", "13", "--shim-id", "6"}),
         "above"},
        {with(valve, {"--clamp-od", "0", "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"}),
         "above 0"},
        {{"model", "valve", "drop", "--model", "FK-ALDER-36", "--valve", "mid"}, "mid"},
        {{"model", "wear-part", "set", "--model", "FK-ALDER-36", "--part", "NOPE"}, "NOPE"},
        {{"model", "wear-part", "set", "--model", "FK-ALDER-36", "--part", "BU-36-40-12", "--quantity", "0"},
         "1 or more"},
        {{"model", "wear-part", "set", "--model", "FK-ALDER-36", "--part", "BU-36-40-12", "--quantity", "x"},
         "--quantity"},
        {{"model", "wear-part", "drop", "--model", "FK-ALDER-36", "--part", face}, face},
        {{"history", "supplier", "Nope"}, "Nope"},
        {{"history", "model", "NOPE"}, "NOPE"},
        {{"history", "class", "NOPE"}, "NOPE"},
        {{"history", "drawer", "A01"}, "drawer"},
    };
    for (const char* option : {"--od", "--id", "--thickness", "--section", "--length"}) {
        for (const char* value : {"abc", "-5", "nan", "1e3", "0,5", "5mm", "0.0001", "99999999", "--", ""})
            bad.emplace_back(with(change, {option, value}),
                             std::string(value) == "-5" ? "must be above 0" : option + 2);
    }
    for (const char* value :
         {"abc", "-1", "010", "0x10", "1.5", "1e3", "nan", "99999999999999999999", "+3", "1,5", ""})
        bad.emplace_back(with(change, {"--reorder-point", value}), "reorder");
    for (const char* value : {"abc", "-1", "1,50", "1.234", "1e3", "nan", "99999999999999999999", ""})
        bad.emplace_back(with(offered, {"--pack-price", value}), "pack-price");
    std::string faults;
    for (auto [words, says] : bad) {
        const bool group = words == Words{"part"} || words == Words{"supplier", "offer"};
        if (!group) words.insert(words.end(), {"--db", shop});
        const CommandRun run = runShimledger(words);
        const bool one_sentence = !run.error.empty() &&
                                  std::count(run.error.begin(), run.error.end(), '\n') == 1 &&
                                  run.error.size() < 700;
        if (run.code == exit_bad_input && one_sentence && run.error.find(says) != std::string::npos) continue;
        std::string typed;
        for (const std::string& word : words) typed += " " + word.substr(0, 60);
        faults += typed + "\n    ends with " + std::to_string(run.code) + ": " + run.error.substr(0, 300) +
                  run.out.substr(0, 200) + "\n";
    }
    INFO(faults);
    CHECK(faults.empty());
    CHECK(bad.size() > 150);
    CHECK(everythingIn(shop, folder / "after") == before);
}
