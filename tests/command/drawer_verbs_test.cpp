// SPDX-License-Identifier: GPL-3.0-or-later
#include "command_run.h"

#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <sstream>

using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

/// Runs a verb on the shop; fails the test unless it ends with `code`.
CommandRun on(const std::string& shop, std::vector<std::string> arguments, int code = exit_done) {
    arguments.insert(arguments.end(), {"--db", shop});
    CommandRun run = runShimledger(arguments);
    INFO(run.error);
    CHECK(run.code == code);
    return run;
}

} // namespace

TEST_CASE("a new shop whose import is refused, or only previewed, is not left behind") {
    const TemporaryFolder folder;
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nA1,A,first\n");
    const auto import = [&](const std::string& more) {
        std::vector<std::string> words{"stock",           "import",   "--db",
                                       folder / "new.db", "--create", folder / "bins.csv"};
        if (!more.empty()) words.push_back(more);
        return runShimledger(words);
    };
    const CommandRun refused = import("");
    CHECK(refused.code == exit_bad_input);
    CHECK_THAT(refused.error, Contains("1 problem. Nothing was imported."));
    CHECK_FALSE(std::filesystem::exists(folder / "new.db"));
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nA1,A,1\n");
    CHECK(import("--preview").code == exit_done);
    CHECK_FALSE(std::filesystem::exists(folder / "new.db"));
    CHECK(import("").code == exit_done);
    CHECK(std::filesystem::exists(folder / "new.db"));
}

TEST_CASE("find names the part that was measured, as text and as JSON") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK_THAT(on(shop, {"find", "23.9", "x", "6", "x", "0.148"}).out,
               Contains("Nearest: shim 24.0 x 6.0 x 0.15 (SH-24.0-6-0.15)") &&
                   Contains("thickness 0.002 mm under"));
    const auto root = nlohmann::json::parse(on(shop, {"find", "18.6 x 3.5 oring", "--json"}).out);
    CHECK(root["matches"][0]["standard"] == "ISO 3601-1 code 210");
    CHECK_THAT(on(shop, {"find", "24", "gear"}, exit_bad_input).error, Contains("names no kind of part"));
}

TEST_CASE("verbs that take a size as it is measured take commas and marked units, options in mm say so") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string right = on(shop, {"find", "23.9 x 6 x 0.148"}).out;
    CHECK(on(shop, {"find", "23,9 x 6 x 0,148"}).out == right);
    CHECK(on(shop, {"find", "23.9mm x 6 mm x 148um"}).out == right);
    CHECK_THAT(on(shop, {"find", "0.945 x 0.0059 in"}, exit_bad_input).error,
               Contains("is 0.945 in millimetres or in inches?"));
    CHECK_THAT(
        on(shop, {"strip", "record", "--job", "JOB-1003", "--leg", "1", "--row", "5 24,0 0,099 0.004in"}).out,
        Contains("0.102"));
    CHECK_THAT(on(shop, {"strip", "record", "--job", "JOB-1003", "--leg", "1", "--row", "5 24 1.000,5"},
                  exit_bad_input)
                   .error,
               Contains("more than one decimal sign"));
    CHECK_THAT(on(shop, {"part", "add", "--kind", "shim", "--od", "22,5", "--id", "6", "--thickness", "0.1"},
                  exit_bad_input)
                   .error,
               Contains("--od") && Contains("millimetres with a decimal point"));
}

TEST_CASE("a verb that finds no shop file says how one is made") {
    const TemporaryFolder folder;
    CHECK_THAT(on(folder / "none.db", {"bin", "list"}, exit_bad_input).error,
               Contains("there is no file") && Contains("stock import --create"));
}

TEST_CASE("pieces are issued, moved, scrapped and undone, and the history tells it") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string part = "SH-24.0-6-0.15";
    CHECK_THAT(
        on(shop, {"stock", "issue", "--part", part, "--bin", "a03", "--quantity", "1", "--reason", "sample"})
            .out,
        Contains("1 of SH-24.0-6-0.15 was pulled from A03 (sample)."));
    on(shop, {"stock", "move", "--part", part, "--bin", "A03", "--to", "A04", "--quantity", "1"});
    on(shop, {"stock", "scrap", "--part", part, "--bin", "A04", "--quantity", "1"}, exit_bad_input);
    on(shop, {"stock", "scrap", "--part", part, "--bin", "A04", "--quantity", "1", "--reason", "bent"});
    const auto told = nlohmann::json::parse(on(shop, {"history", "part", part, "--json"}).out);
    const std::int64_t scrapped = told.back()["number"].get<std::int64_t>();
    on(shop, {"stock", "undo", "--movement", std::to_string(scrapped), "--reason", "it was straight"});
    CHECK_THAT(on(shop, {"history", "bin", "A04"}).out,
               Contains("was scrapped from A04 (bent); undone by movement") && Contains("it was straight"));
    on(shop, {"history", "drawer", "A04"}, exit_bad_input);
    CHECK_THAT(
        on(shop, {"stock", "issue", "--part", part, "--bin", "A03", "--quantity", "100000"}, exit_bad_input)
            .error,
        Contains("cannot issue 100000"));
    on(shop, {"stock", "verify"});
}

TEST_CASE(
    "readings of a lot are written down with their mean and spread, and a slipped digit is refused whole") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::vector<std::string> lot{"stock", "reading", "--part", "SH-24.0-6-0.12",
                                       "--bin", "A02",     "--mm"};
    std::vector<std::string> bad = lot;
    bad.insert(bad.end(), {"0.119", "1.19"});
    CHECK_THAT(on(shop, bad, exit_bad_input).error, Contains("has a digit slipped?"));
    std::vector<std::string> good = lot;
    good.insert(good.end(), {"0.118", "0.120", "0.122"});
    CHECK_THAT(on(shop, good).out,
               Contains("3 readings of SH-24.0-6-0.12 in A02: mean 0.120, 0.118 to 0.122, standard "
                        "deviation 0.0020 mm"));
}

TEST_CASE(
    "from strip to put-away on the command line: record, compare, reserve, pull by scan, put away, close") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string job = "JOB-1001";
    CHECK_THAT(on(shop, {"strip", "record", "--job", job, "--leg", "1", "--row", "3 x 20 x 0.101 !1 bent",
                         "--row", "1 x 18 x 0.099"})
                   .out,
               Contains("SH-20.0-6-0.10") && Contains("1 scrap: bent"));
    writeBytes(folder / "leg2.txt", "3 x 20 x 0.10\r\n1 x 18 x 0.15\n\n");
    on(shop, {"strip", "record", "--job", job, "--leg", "2", "--rows", folder / "leg2.txt"});
    CHECK_THAT(on(shop, {"strip", "compare", "--job", job}).out,
               Contains("row 2: leg 1 has 1 x 18.0 x 0.099, leg 2 has 1 x 18.0 x 0.15") &&
                   Contains("leg 2 is up to"));
    CHECK_THAT(on(shop, {"strip", "show", "--job", job}).out, Contains("Leg 2 of JOB-1001"));
    on(shop, {"strip", "put-away", "--job", job}, exit_bad_input);
    on(shop, {"strip", "record", "--job", job, "--row", "3 x 20 x 1.01 SH-20.0-6-0.10"}, exit_bad_input);
    on(shop, {"reserve", "--job", job});
    CHECK_THAT(on(shop, {"job", "pull", "--job", job, "--bin", "nowhere"}, exit_bad_input).error,
               Contains("there is no bin 'nowhere'"));
    CHECK_THAT(on(shop, {"job", "pull", "--job", job}).out, Contains("All of JOB-1001 is pulled"));
    CHECK_THAT(on(shop, {"strip", "put-away", "--job", job}).out, Contains("used"));
    CHECK_THAT(on(shop, {"job", "close", "--job", job}).out, Contains("0 issued, 0 released"));
    on(shop, {"job", "cancel", "--job", job}, exit_bad_input);
    on(shop, {"stock", "verify"});
}

TEST_CASE("an inspection is written down, makes the kit, and puts off what may wait") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string job = "JOB-1001";
    CHECK_THAT(on(shop, {"wear", "show", "--job", job}).out, Contains("not looked at"));
    on(shop, {"wear", "kit", "--job", job, "--apply"}, exit_bad_input);
    on(shop, {"wear", "record", "--job", job, "--leg", "1", "--part", "OS-43-54-11", "--state", "worn",
              "--decision", "defer", "--reason", "weeps, holds"});
    on(shop, {"wear", "record", "--job", job, "--place", "chrome", "--note", "one scratch"});
    CHECK_THAT(on(shop, {"wear", "kit", "--job", job}).out, Contains("Deferred: 1 of OS-43-54-11"));
    CHECK_THAT(on(shop, {"wear", "deferred"}).out, Contains("1 of OS-43-54-11, put off by JOB-1001"));
    on(shop, {"wear", "record", "--job", job, "--part", "OS-43-54-11", "--state", "fine"}, exit_bad_input);
}

TEST_CASE("oring says what fits a groove, or plainly that nothing does") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK_THAT(on(shop, {"oring", "--bore", "24.4", "--depth", "2.7", "--width", "4.8", "--size", "210"}).out,
               Contains("ISO 3601-1 code 210, 18.64 x 3.53 fits") && Contains("ask its maker"));
    const auto root = nlohmann::json::parse(
        on(shop, {"oring", "--rod", "19", "--depth", "0.2", "--width", "4.8", "--json"}, exit_impossible)
            .out);
    CHECK(root["choices"].empty());
    on(shop, {"oring", "--depth", "2.7", "--width", "4.8"}, exit_bad_input);
    on(shop, {"oring", "--bore", "24", "--rod", "19", "--depth", "2.7", "--width", "4.8"}, exit_bad_input);
}

TEST_CASE(
    "a count that leaves jobs short names them, marks them in every list, and release takes the mark away") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string job = "JOB-1001";
    on(shop, {"reserve", "--job", job});
    on(shop, {"stock", "count", "--out", folder / "count.csv"});
    // A drawer that the job holds discs in is found empty.
    std::istringstream sheet(readBytes(folder / "count.csv"));
    std::string line, counted, bin, part;
    while (std::getline(sheet, line)) {
        if (line.ends_with('\r')) line.pop_back();
        if (line.starts_with("bin,")) counted = line + '\n';
        if (!bin.empty() || line.find(" for " + job + ",,,") == std::string::npos) continue;
        const std::size_t comma = line.find(',');
        bin = line.substr(0, comma);
        part = line.substr(comma + 1, line.find(',', comma + 1) - comma - 1);
        counted += line.substr(0, line.size() - 1) + "0,lost\n"; // before: laid_aside, counted, reason
    }
    REQUIRE_FALSE(bin.empty());
    writeBytes(folder / "counted.csv", counted);
    const auto preview = nlohmann::json::parse(
        on(shop, {"stock", "count", "--in", folder / "counted.csv", "--preview", "--json"}).out);
    CHECK(preview["posted"] == false);
    REQUIRE(preview["jobs_left_short"].size() == 1);
    CHECK(preview["jobs_left_short"][0]["job"] == job);
    CHECK_FALSE(on(shop, {"job", "list"}).out.find("short since the count") != std::string::npos);
    CHECK_THAT(on(shop, {"stock", "count", "--in", folder / "counted.csv"}).out,
               Contains(job + " is left short: ") && Contains("of " + part + " in " + bin) &&
                   Contains("The least urgent job loses first"));
    CHECK_THAT(on(shop, {"job", "list"}).out, Contains("reserved, short since the count of "));
    CHECK_THAT(on(shop, {"job", "show", "--job", job}).out, Contains(job + " is short since the count of "));
    on(shop, {"stock", "verify"});
    CHECK_THAT(on(shop, {"release", "--job", job, "--reason", "plan again"}).out,
               Contains("were released by " + job) && Contains("(plan again)") &&
                   Contains("Nothing is reserved for " + job + " any more."));
    CHECK(on(shop, {"job", "list"}).out.find("short since the count") == std::string::npos);
    CHECK_THAT(on(shop, {"release", "--job", job}).out, Contains("Nothing was reserved for " + job));
    on(shop, {"release", "--job", "JOB-9999"}, exit_bad_input);
    CHECK_THAT(on(shop, {"job", "pull", "--job", job, "--part", part}, exit_bad_input).error,
               Contains("give --bin as well"));
    on(shop, {"stock", "verify"});
}

TEST_CASE("labels and count sheets are written as sheets, and a delivery without an order is booked") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    CHECK_THAT(on(shop, {"labels", "--bin", "A01", "--bin", "A02", "--out", folder / "labels.xlsx"}).out,
               Contains("2 labels"));
    CHECK(readBytes(folder / "labels.xlsx").starts_with("PK"));
    on(shop, {"stock", "count", "--out", folder / "count.xlsx", "--cabinet", "A"});
    CHECK(readBytes(folder / "count.xlsx").starts_with("PK"));
    on(shop, {"stock", "count", "--out", folder / "none.xlsx", "--cabinet", "Q"}, exit_bad_input);
    on(shop, {"stock", "receive", "--part", "SH-24.0-6-0.12", "--bin", "A02", "--quantity", "10"});
    on(shop, {"stock", "receive", "--part", "SH-24.0-6-0.12", "--bin", "Q99", "--quantity", "10"},
       exit_bad_input);
    CHECK_THAT(on(shop, {"stock", "expected"}).out, Contains("Nothing is expected"));
    const std::string stock = "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity,part\n";
    writeBytes(folder / "stock.csv", stock + "shim,24.0,6.0,0.12,,used,A02,4,\n");
    CHECK_THAT(on(shop, {"stock", "import", folder / "stock.csv", "--preview"}).out,
               Contains("SH-24.0-6-0.12:") &&
                   Contains("Would post 1 movements, which change the stock of 1 part"));
}
