// SPDX-License-Identifier: GPL-3.0-or-later
// Every verb with every option, each given values that are wrong, nearly right, empty, negative, huge or no
// number: all are refused with a sentence that names the option or the value, and nothing changes.
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

/// What a value is, and with that what would be a bad one.
enum class Kind { whole, number, length, known, word, file, folder, date, money };

struct Option {
    std::string name; ///< "--job"; without dashes: it stands at that place
    std::string value;
    Kind kind = Kind::known;
};

struct Verb {
    Words words;
    std::vector<Option> options;
};

const std::map<Kind, Words>& badValues() {
    static const Words no_whole{"abc", "-1", "010", "0x10", "1.5", "1e3", "nan", "99999999999999999999",
                                "3 ",  "+3", "1,5", ""};
    static const Words no_number{"abc", "-1", "nan", "inf", "1e400", "1e308", "0x1p3", "0,3", "0.3mm", ""};
    static const Words no_length{"abc", "-5", "nan", "1e3", "0,5", "5mm", "0.0001", "99999999", "--", ""};
    static const Words no_name{"nope-at-all", "", "x\ny", std::string(5000, 'x')};
    static const Words no_word{"nope", "", std::string(5000, 'x')};
    static const Words no_file{"/no/such/file", "/"};
    static const Words no_date{"tomorrow", "2026-02-30", "26-03-01", "2026/03/01", "01.03.2026", ""};
    static const Words no_money{"abc", "-1", "1,50", "1.234", "1e3", "nan", "99999999999999999999", ""};
    static const std::map<Kind, Words> bad{{Kind::whole, no_whole},   {Kind::number, no_number},
                                           {Kind::length, no_length}, {Kind::known, no_name},
                                           {Kind::word, no_word},     {Kind::file, no_file},
                                           {Kind::date, no_date},     {Kind::money, no_money}};
    return bad;
}

/// The arguments with one option's value changed; the option is added when the verb does not need it.
Words argumentsOf(const Verb& verb, const std::string& shop, const std::string& changed,
                  const std::string& value) {
    Words arguments = verb.words;
    if (!shop.empty()) arguments.insert(arguments.end(), {"--db", shop});
    for (const Option& option : verb.options) {
        const bool optional = option.value.empty();
        if (optional && option.name != changed) continue;
        if (option.name.starts_with("--")) arguments.push_back(option.name);
        arguments.push_back(option.name == changed ? value : option.value);
    }
    return arguments;
}

std::string joined(const Words& words) {
    std::string text;
    for (const std::string& word : words) text += " '" + word.substr(0, 60) + "'";
    return text;
}

/// Empty if the run is as it must be for bad input.
std::string whatIsWrongWith(const CommandRun& run, const std::string& option, const std::string& value) {
    if (run.code != exit_bad_input)
        return "ends with " + std::to_string(run.code) + ": " + run.out.substr(0, 200);
    if (run.error.empty()) return "says nothing";
    for (const char* word : {"internal error", "json.exception", "terminate", "std::", "Could not convert"}) {
        if (run.error.find(word) != std::string::npos) return "speaks of itself";
    }
    if (run.error.size() > 1500) return "is too long";
    // One word or figure of the value is enough.
    bool value_named = false;
    std::string word;
    for (const char c : value + " ") {
        if (c != ' ' && c != '=' && c != '\n') {
            if (word.size() < 20) word += c;
            continue;
        }
        value_named = value_named || (!word.empty() && run.error.find(word) != std::string::npos);
        word.clear();
    }
    const std::string noun = option.starts_with("--") ? option.substr(2) : option;
    std::string plain = noun;
    std::replace(plain.begin(), plain.end(), '-', ' ');
    const bool option_named =
        run.error.find(noun) != std::string::npos || run.error.find(plain) != std::string::npos;
    if (!value_named && !option_named) return "names neither the option nor the value";
    return {};
}

/// With the values that they would be good with; "" where the option may be left out.
std::vector<Verb> shopVerbs(const TemporaryFolder& folder) {
    const std::string out = folder / "out.xlsx";
    const std::string shim = "SH-24.0-6-0.10";
    Verb search{{"substitute"}, {{"--job", "JOB-1003"}}};
    // Not --most-changed, whose -1 is said to be "no limit"; its like are tried below.
    for (const char* name : {"--other-groups", "--most-discs", "--keep", "--proposals"})
        search.options.push_back({name, "", Kind::whole});
    for (const char* name : {"--od-step", "--crossover-od", "--crossover-gap", "--height"})
        search.options.push_back({name, "", Kind::length});
    for (const char* name : {"--working-lift", "--low-speed-lift", "--low-speed-weight",
                             "--high-speed-weight", "--seconds", "--gap", "--choices-within"})
        search.options.push_back({name, "", Kind::number});
    search.options.insert(search.options.end(), {{"--leave-bin", "", Kind::known},
                                                 {"--model", "", Kind::word},
                                                 {"--tolerance", "", Kind::word},
                                                 {"--wanted", "", Kind::word},
                                                 {"--near", "", Kind::number}});
    const auto piece = [&](const char* name, bool job) {
        Verb verb{{"stock", name}, {{"--part", shim}, {"--bin", "A01"}, {"--quantity", "1", Kind::whole}}};
        if (job) verb.options.push_back({"--job", ""});
        return verb;
    };
    Verb move = piece("move", false);
    move.options.push_back({"--to", "A02"});
    Verb scrap = piece("scrap", true);
    scrap.options.push_back({"--reason", "bent"});
    const std::vector<Option> particulars{
        {"--clamp-od", "", Kind::length},   {"--port-inner", "", Kind::length},
        {"--port-outer", "", Kind::length}, {"--shim-id", "", Kind::length},
        {"--seat", "", Kind::length},       {"--preload", "", Kind::length},
        {"--due", "", Kind::date},          {"--priority", "", Kind::whole}};
    Verb open{{"job", "open"},
              {{"--like", "JOB-1002"},
               {"--legs", "", Kind::whole},
               {"--model", "", Kind::known},
               {"--kind", "", Kind::word}}};
    Verb change{{"job", "change"}, {{"--job", "JOB-1002"}}};
    open.options.insert(open.options.end(), particulars.begin(), particulars.end());
    change.options.insert(change.options.end(), particulars.begin(), particulars.end());
    return {
        search,
        {{"reserve"}, {{"--job", "JOB-1003"}, {"--proposal", "", Kind::whole}, {"--leave-bin", ""}}},
        {{"stock", "import"}, {{"PATH", "/no", Kind::file}}},
        {{"stock", "count"}, {{"--in", "/no", Kind::file}}},
        {{"stock", "count"}, {{"--out", out}, {"--cabinet", ""}, {"--paper", "", Kind::word}}},
        piece("receive", false),
        piece("issue", true),
        piece("return", true),
        scrap,
        move,
        {{"stock", "undo"}, {{"--movement", "1", Kind::whole}, {"--reason", "wrong"}}},
        {{"stock", "reading"}, {{"--part", shim}, {"--bin", "A01"}, {"--mm", "0.1", Kind::length}}},
        {{"stock", "expected"}, {{"--order", ""}}},
        {{"job", "show"}, {{"--job", "JOB-1003"}}},
        {{"job", "list"}, {{"--due-until", "", Kind::date}, {"--priority", "", Kind::whole}}},
        {{"job", "record"}, {{"--job", "JOB-1003"}, {"--out", out}, {"--paper", "", Kind::word}}},
        {{"job", "cost"}, {{"--job", "JOB-1003"}, {"--paper", "", Kind::word}}},
        {{"stock", "value"}, {{"--on", "", Kind::date}, {"--paper", "", Kind::word}}},
        {{"stock", "far-off"}, {{"--tolerance", "", Kind::word}, {"--limit", "", Kind::length}}},
        {{"order", "from-sheet"}, {{"--in", "/no", Kind::file}}},
        {{"job", "reopen"}, {{"--job", "JOB-1003"}}},
        {{"job", "target"}, {{"--job", "JOB-1003"}, {"STACK", "/no", Kind::file}}},
        {{"job", "pull"}, {{"--job", "JOB-1003"}, {"--bin", ""}, {"--part", ""}}},
        {{"job", "close"}, {{"--job", "JOB-1003"}}},
        {{"job", "cancel"}, {{"--job", "JOB-1003"}}},
        open,
        change,
        {{"pick"}, {{"--job", "JOB-1003"}, {"--out", out}, {"--paper", "", Kind::word}}},
        {{"reorder"}, {{"--out", out}, {"--make-possible", ""}, {"--paper", "", Kind::word}}},
        {{"kit"},
         {{"--budget", "", Kind::money},
          {"--drawers", "", Kind::whole},
          {"--within", "", Kind::number},
          {"--season", "", Kind::date},
          {"--recipes", "", Kind::file},
          {"--keep", "", Kind::word},
          {"--without", "", Kind::word},
          {"--seed", "", Kind::whole},
          {"--seconds", "", Kind::number},
          {"--paper", "", Kind::word}}},
        {{"recipe", "import"}, {{"FILE", "/no", Kind::file}}},
        {{"recipe", "from-jobs"}, {{"--job", "JOB-1003"}}},
        {{"order", "place"}, {{"--supplier", "Northgate Disc Works (invented)"}, {"--set", ""}}},
        {{"order", "receive"}, {{"--order", "PO-1"}}},
        {{"reorder-class"},
         {{"--class", "A"},
          {"--service", "", Kind::whole},
          {"--review", "", Kind::whole},
          {"--line-cost", "", Kind::money},
          {"--holding", "", Kind::whole},
          {"--cover", "", Kind::whole},
          {"--dead", "", Kind::whole}}},
        {{"labels"}, {{"--out", out}, {"--bin", ""}, {"--cabinet", ""}, {"--paper", "", Kind::word}}},
        {{"find", "24", "x", "6"}, {{"--most", "", Kind::whole}}},
        {{"history", "part"}, {{"CODE", shim}}},
        {{"history", "bin"}, {{"CODE", "A01"}}},
        {{"history", "job"}, {{"CODE", "JOB-1003"}}},
        {{"strip", "record"},
         {{"--job", "JOB-1003"}, {"--leg", "1", Kind::whole}, {"--row", "1 x 24.0 x 0.10"}}},
        {{"strip", "record"}, {{"--job", "JOB-1003"}, {"--rows", "/no", Kind::file}}},
        {{"strip", "show"}, {{"--job", "JOB-1003"}}},
        {{"strip", "form"}, {{"--job", "JOB-1003"}, {"--out", out}, {"--paper", "", Kind::word}}},
        {{"strip", "compare"},
         {{"--job", "JOB-1001"},
          {"--leg", "1", Kind::whole},
          {"--with", "2", Kind::whole},
          {"--working-lift", "", Kind::number}}},
        {{"strip", "put-away"}, {{"--job", "JOB-1003"}}},
        {{"wear", "show"}, {{"--job", "JOB-1003"}}},
        {{"wear", "kit"}, {{"--job", "JOB-1003"}}},
        {{"wear", "record"},
         {{"--job", "JOB-1003"},
          {"--place", "chrome"},
          {"--reason", "looked at"},
          {"--leg", "", Kind::whole},
          {"--part", ""},
          {"--percent", "", Kind::whole},
          {"--state", "", Kind::word},
          {"--decision", "", Kind::word},
          {"--quantity", "", Kind::whole}}},
        {{"oring"},
         {{"--bore", "24.4", Kind::length},
          {"--depth", "2.7", Kind::length},
          {"--width", "4.8", Kind::length},
          {"--depth-tolerance", "", Kind::length},
          {"--diameter-tolerance", "", Kind::length},
          {"--size", "", Kind::known}}},
    };
}

void writeStack(const std::string& path) {
    writeBytes(path,
               R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
        "shim_id_mm": 6}, "discs": [{"count": 3, "od_mm": 24, "thickness_mm": 0.10}]})");
}

std::vector<Verb> fileVerbs(const TemporaryFolder& folder) {
    const std::string stack = folder / "stack.json", stock = SHIMLEDGER_SEED_CATALOG "/stock.csv";
    writeStack(stack);
    return {{{"lift"},
             {{"STACK", stack, Kind::file},
              {"--pressures", "", Kind::number},
              {"--working-lift", "", Kind::number},
              {"--model", "", Kind::word},
              {"--tolerance", "", Kind::word}}},
            {{"substitute"},
             {{"STACK", stack, Kind::file},
              {"--stock", stock, Kind::file},
              {"--legs", "", Kind::whole},
              {"--leave-bin", ""}}}};
}

/// Tries every bad value of every option; what was not refused as it must be is told in one go.
int tryAll(const std::vector<Verb>& verbs, const std::string& shop, std::string& faults) {
    int tried = 0;
    for (const Verb& verb : verbs) {
        for (const Option& option : verb.options) {
            // A file that is to be written, and free words, have no bad values of this kind.
            if (option.name == "--out" || option.name == "--place" || option.name == "--reason") continue;
            for (const std::string& value : badValues().at(option.kind)) {
                if (option.name == "--class" && value.empty()) continue;      // every other class
                if (option.name == "--pressures" && value == "0,3") continue; // two pressures
                const Words arguments = argumentsOf(verb, shop, option.name, value);
                ++tried;
                const CommandRun run = runShimledger(arguments);
                const std::string wrong = whatIsWrongWith(run, option.name, value);
                if (!wrong.empty())
                    faults +=
                        joined(arguments) + "\n    " + wrong + "\n    " + run.error.substr(0, 300) + "\n";
            }
        }
    }
    return tried;
}

/// Everything in the shop file, as CSV.
std::map<std::string, std::string> everythingIn(const std::string& shop, const std::string& folder) {
    const CommandRun run = runShimledger({"stock", "export", "--db", shop, "--everything", "--out", folder});
    if (run.code != exit_done) throw std::runtime_error(run.error);
    std::map<std::string, std::string> tables;
    for (const auto& file : std::filesystem::directory_iterator(folder))
        tables[file.path().filename().string()] = readBytes(file.path().string());
    return tables;
}

} // namespace

TEST_CASE(
    "no bad value of any option of any verb on a shop is misread: a sentence, exit 2, nothing changed") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto before = everythingIn(shop, folder / "before");
    std::string faults;
    const int tried = tryAll(shopVerbs(folder), shop, faults);
    INFO(faults);
    CHECK(faults.empty());
    CHECK(tried >= 300);
    CHECK(everythingIn(shop, folder / "after") == before);
}

TEST_CASE("no bad row, assignment, size or stack that is typed as text is misread") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto before = everythingIn(shop, folder / "before");
    std::string faults;
    int tried = 0;
    const auto tryEach = [&](const Words& words, const std::string& option, const std::string& noun,
                             const Words& values) {
        for (const std::string& value : values) {
            Words arguments = words;
            arguments.insert(arguments.end(), {"--db", shop});
            if (!option.empty()) arguments.push_back(option);
            arguments.push_back(value);
            ++tried;
            const CommandRun run = runShimledger(arguments);
            const std::string wrong = whatIsWrongWith(run, noun, value);
            if (!wrong.empty())
                faults += joined(arguments) + "\n    " + wrong + "\n    " + run.error.substr(0, 300) + "\n";
        }
    };
    tryEach({"strip", "record", "--job", "JOB-1003"}, "--row", "row",
            {"1",
             "x",
             "1 x",
             "0 x 24.0 x 0.10",
             "-1 x 24.0 x 0.10",
             "1 x -24.0 x 0.10",
             "1 x 24.0 x -0.10",
             "1 x 24,0,0 x 0,10",
             "1.5 x 24.0 x 0.10",
             "99999999999 x 24.0 x 0.10",
             "1 x 24.0 x 0.10 !2 bent",
             "1 x 24.0 x 0.10 !-1 bent",
             "1 x 24.0 x 0.10 !1",
             "1 x 24.0 x nan",
             "1 x inf x 0.10",
             "1 x 24.0 x 1e3",
             "1 x 24.0 x 0.10005",
             "1 x 24.0 x NOPE-PART",
             "1 x 24000000 x 0.10",
             "1 x 0 x 0.10",
             "1 x 24.0 x 0"});
    tryEach({"job", "open", "--like", "JOB-1002"}, "--target", "row",
            {"x", "4 x", "4", "0 x 24.0 x 0.10", "-1 x 24.0 x 0.10", "4 x 24,0 x 0,10", "4 x 24.0 x 0",
             "4 x 24.0 x -1", "4 x 24.0 x 0.10 ring 8", "4 x 24.0 x nan", "4 x 24.0 x 0.10; ; x",
             "4.5 x 24.0 x 0.10", "99999999999 x 24.0 x 0.10", "4 x 24.0 x 0.10 x 3", "4 x 24.0 x 0.10005",
             "4 x 5 x 0.10", ";", "4 * 24 * 0.1"});
    tryEach({"order", "place", "--supplier", "Northgate Disc Works (invented)"}, "--set", "--set",
            {"SH-24.0-6-0.10", "=3", "SH-24.0-6-0.10=", "SH-24.0-6-0.10=x", "SH-24.0-6-0.10=-1",
             "SH-24.0-6-0.10=1.5", "SH-24.0-6-0.10=999999999999", "NOPE=1", "SH-24.0-6-0.10=1@A01",
             "sh-24.0-6-0.10=1", "SH-24.0-6-0.10=1 ", "SH-24.0-6-0.10=+1", "SH-24.0-6-0.10=0x1"});
    tryEach({"find"}, "", "MEASURED",
            {"", "x", "abc", "-24 x 6", "nan x 6", "1.024,0 x 6", "1e3 x 6", "24 x 6 x 0.1 x 3 x 5",
             "24 x 6 banana", "0 x 0", "99999999 x 6"});
    tryEach({"history"}, "", "CODE", {"part", "banana", "job"});
    INFO(faults);
    CHECK(faults.empty());
    CHECK(tried >= 60);
    CHECK(everythingIn(shop, folder / "after") == before);
}

TEST_CASE("no STACK.json that is wrong in one place is misread") {
    const TemporaryFolder folder;
    const std::string stack = folder / "stack.json";
    const std::string valve =
        R"("valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6})";
    const std::string discs = R"("discs": [{"count": 3, "od_mm": 24, "thickness_mm": 0.10}])";
    Words texts{"",
                " ",
                "{",
                "[]",
                "null",
                "7",
                "\"x\"",
                "{}",
                "{} {}",
                "{" + valve + "}",
                "{" + discs + "}",
                "{" + valve + ", \"discs\": {}}",
                "{" + valve + ", \"discs\": []}",
                "{" + valve + ", \"discs\": [7]}",
                "{" + valve + "," + discs + "," + discs + "}",
                "{" + valve + "," + valve + "," + discs + "}",
                "{" + valve + "," + discs + ", \"extra\": 1}",
                "{" + valve + "," + discs + ",}",
                "\xff\xfe",
                "{" + valve + "," + discs + ", \"material\": {\"elastic_modulus_mpa\": -1}}",
                "{" + valve + "," + discs + ", \"material\": {\"elastic_modulus_mpa\": 1e308}}",
                "{" + valve + "," + discs + ", \"material\": {\"elastic_modulus_mpa\": 0}}",
                "{" + valve + "," + discs + ", \"material\": {\"poisson_ratio\": 0.7}}",
                "{" + valve + "," + discs + ", \"material\": {\"poisson_ratio\": \"0.3\"}}",
                "{" + valve + "," + discs + ", \"material\": {\"Poisson_ratio\": 0.3}}",
                "{" + valve + "," + discs + ", \"material\": {\"tensile_strength_mpa\": -5}}"};
    const Words bad_rows{R"("count": -1, "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": 0, "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": 1.5, "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": 1e9, "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": "3", "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": 3, "od_mm": -24, "thickness_mm": 0.1)",
                         R"("count": 3, "od_mm": 24, "thickness_mm": 0)",
                         R"("count": 3, "od_mm": 24, "thickness_mm": 1e308)",
                         R"("count": 3, "od_mm": 24, "thickness_mm": 0.1, "count": 4)",
                         R"("count": 3, "od_mm": 24)",
                         R"("count": 3, "OD_mm": 24, "thickness_mm": 0.1)",
                         R"("count": null, "od_mm": 24, "thickness_mm": 0.1)",
                         R"("count": 3, "od_mm": 8, "thickness_mm": 0.1)",
                         R"("count": 3, "od_mm": 24, "thickness_mm": NaN)",
                         R"("count": 3, "od_mm": 24, "thickness_mm": 0.1, "ring_id_mm": 30)",
                         R"("count": 18446744073709551617, "od_mm": 24, "thickness_mm": 0.1)"};
    for (const std::string& row : bad_rows) texts.push_back("{" + valve + ", \"discs\": [{" + row + "}]}");
    for (const char* change :
         {"clamp_od_mm\": -1", "clamp_od_mm\": 0", "clamp_od_mm\": 90", "clamp_od_mm\": \"10\"",
          "clamp_od_mm\": 1e9", "clamp_od_mm\": 10.00001", "Clamp_od_mm\": 10"}) {
        std::string text = "{" + valve + "," + discs + "}";
        text.replace(text.find("clamp_od_mm\": 10"), 16, change);
        texts.push_back(text);
    }
    for (const std::string& text : texts) {
        writeBytes(stack, text);
        const CommandRun run = runShimledger({"lift", stack});
        INFO(text << "\n" << run.out.substr(0, 200) << run.error);
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error,
                   Contains("stack.json") && !Contains("json.exception") && !Contains("internal error"));
    }
}

TEST_CASE("no bad value of the verbs on files alone is misread") {
    const TemporaryFolder folder;
    std::string faults;
    const int tried = tryAll(fileVerbs(folder), "", faults);
    INFO(faults);
    CHECK(faults.empty());
    CHECK(tried >= 40);
}

TEST_CASE("a mistyped verb or option is told with the one that is near") {
    const auto told = [](const Words& arguments) {
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK(run.out.empty());
        return run.error;
    };
    CHECK_THAT(told({"stok"}), Contains("no verb 'stok': did you mean 'stock'?"));
    CHECK_THAT(told({"STOCK", "verify"}), Contains("did you mean 'stock'?"));
    CHECK_THAT(told({"verify", "--db", "x"}), Contains("did you mean 'stock verify'?"));
    CHECK_THAT(told({"banana"}), Contains("there are demo, lift"));
    CHECK_THAT(told({}), Contains("say what to do") && Contains("substitute"));
    CHECK_THAT(told({"stock", "imprt", "--db", "x"}),
               Contains("no verb of stock 'imprt': did you mean 'import'?"));
    CHECK_THAT(told({"job"}), Contains("say what to do behind 'job'") && Contains("pull"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--jbo", "J"}),
               Contains("'--jbo' is no option of 'job show': did you mean '--job'?"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--Job=J"}), Contains("did you mean '--job'?"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--zzzzzz"}), Contains("it has --help, --db, --job"));
    CHECK_THAT(told({"job", "show", "--db", "x"}), Contains("--job is required: Job"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--job"}), Contains("--job needs a value"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--job", "A", "--job", "B"}),
               Contains("--job is given 2 times"));
    CHECK_THAT(told({"job", "show", "--db", "x", "--job", "A", "B"}),
               Contains("'B' is one argument too many"));
}

TEST_CASE("names that differ in capitals or by a slip are told with the right one") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto told = [&](Words arguments) {
        arguments.insert(arguments.end(), {"--db", shop});
        const CommandRun run = runShimledger(arguments);
        INFO(joined(arguments) << run.out);
        CHECK(run.code == exit_bad_input);
        return run.error;
    };
    CHECK_THAT(told({"job", "show", "--job", "job-1003"}), Contains("did you mean 'JOB-1003'?"));
    CHECK_THAT(told({"pick", "--job", "JOB-103", "--out", folder / "x.xlsx"}),
               Contains("did you mean 'JOB-1003'?"));
    CHECK_THAT(told({"history", "part", "SH-24-6-0.10"}), Contains("did you mean 'SH-24.0-6-0.10'?"));
    CHECK_THAT(told({"substitute", "--job", "JOB-1003", "--leave-bin", "A0l"}),
               Contains("no bin 'A0l': did you mean 'A0"));
    CHECK_THAT(told({"labels", "--bin", "A0l", "--out", folder / "x.xlsx"}), Contains("did you mean 'A0"));
    CHECK_THAT(told({"labels", "--cabinet", "a", "--out", folder / "x.xlsx"}), Contains("did you mean 'A'?"));
    CHECK_THAT(told({"labels", "--cabinet", "B", "--bin", "A01", "--out", folder / "x.xlsx"}),
               Contains("bin 'A01' is not in cabinet 'B'"));
    CHECK_THAT(told({"stock", "count", "--cabinet", "a", "--out", folder / "x.csv"}),
               Contains("did you mean 'A'?"));
    CHECK_THAT(told({"order", "place", "--supplier", "northgate disc works (invented)"}),
               Contains("did you mean 'Northgate Disc Works (invented)'?"));
    CHECK_THAT(told({"reorder-class", "--class", "a", "--service", "970"}), Contains("did you mean 'A'?"));
    CHECK_THAT(told({"oring", "--bore", "24.4", "--depth", "2.7", "--width", "4.8", "--size", "p18"}),
               Contains("did you mean 'P18'?"));
    CHECK_THAT(told({"job", "open", "--model", "fk-alder-36"}), Contains("did you mean 'FK-ALDER-36'?"));
}

TEST_CASE("a shop file's own files are no place for what a verb writes or reads", "[file]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto told = [&](const Words& arguments) {
        const CommandRun run = runShimledger(arguments);
        INFO(joined(arguments) << run.out);
        CHECK(run.code == exit_bad_input);
        return run.error;
    };
    CHECK_THAT(told({"stock", "export", "--db", shop, "--everything", "--out", shop + "-journal"}),
               Contains("belongs to a shop file"));
    CHECK_THAT(told({"rescue", "--db", shop, "--out", folder / "none/out"}), Contains("there is no folder"));
    CHECK_THAT(told({"rescue", "--db", shop, "--out", shop + "-journal"}),
               Contains("belongs to a shop file"));
    CHECK_THAT(told({"restore", "--db", folder / ".", "--from", shop}), Contains("is a folder"));
}

TEST_CASE("what was once taken for something else is refused with what would be right") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder), stack = folder / "stack.json";
    writeStack(stack);
    const auto told = [&](const Words& arguments) {
        const CommandRun run = runShimledger(arguments);
        INFO(joined(arguments) << run.out);
        CHECK(run.code == exit_bad_input);
        return run.error;
    };
    CHECK_THAT(told({"reorder-class", "--db", shop, "--class", "A", "--service", "98"}),
               Contains("98 looks like per cent: write 980"));
    CHECK_THAT(told({"lift", stack, "--pressures", "1e308"}),
               Contains("--pressures has 1e+308: give MPa from 0"));
    CHECK_THAT(told({"lift", stack, "--pressures", "0.1,0.1"}), Contains("ascending"));
    CHECK_THAT(told({"lift", stack, "--pressures", "1,,2"}), Contains("no row of numbers"));
    CHECK_THAT(told({"lift", stack, "--pressures", "1,2,"}), Contains("no row of numbers"));
    CHECK_THAT(told({"lift", stack, "--pressures", "1;2"}), Contains("no row of numbers"));
    CHECK_THAT(told({"lift", stack, "--model", "warp", "--friction", "0.1"}), Contains("--friction"));
    CHECK_THAT(told({"job", "pull", "--db", shop, "--job", "JOB-1003", "--bin", "A01", "--used", "--new"}),
               Contains("excludes"));
    CHECK_THAT(told({"job", "pull", "--db", shop, "--job", "JOB-1003", "--found", "2"}),
               Contains("give --bin as well"));
    CHECK_THAT(told({"wear", "record", "--db", shop, "--job", "JOB-1003", "--place", "chrome"}),
               Contains("say what was found"));
    CHECK_THAT(told({"stock", "export", "--db", shop, "--everything", "--out", folder / "none/out"}),
               Contains("there is no folder"));
    CHECK_THAT(told({"stock", "export", "--db", shop, "--everything", "--out", "postgresql://host/shop"}),
               Contains("no file is written"));
    // What was typed does not steer the terminal when it comes back.
    CHECK(told({"stock", "import", "--db", shop, folder / "a\x1b[31m\a.csv"}).find('\x1b') ==
          std::string::npos);
    CHECK(told({"\x1b[31mlift"}).find('\x1b') == std::string::npos);
    CHECK_THAT(told({"lift", stack, "--json=abc"}), Contains("--json takes no value"));
    CHECK_THAT(told({"lift", stack, "--pressures", "0.1", "--working-lift", "0.2"}), Contains("excludes"));
    CHECK_THAT(told({"substitute", "--db", shop, "--job", "JOB-1003", "--legs", "3"}),
               Contains("a job has its own number of legs"));
    CHECK_THAT(told({"substitute", "--db", shop, "--job", "JOB-1003", "--most-changed", "-2"}),
               Contains("--most-changed"));
    CHECK_THAT(told({"substitute", "--db", shop, "--job", "JOB-1003", "--plan-seconds", "5"}),
               Contains("--all-jobs"));
    CHECK_THAT(told({"stock", "receive", "--db", shop, "--part", "SH-24.0-6-0.10", "--bin", "A01",
                     "--quantity", "010"}),
               Contains("begins with a needless 0: write 10"));
    CHECK_THAT(told({"order", "place", "--db", shop, "--supplier", "Northgate Disc Works (invented)", "--set",
                     "SH-24.0-6-0.10=1", "--set", "SH-24.0-6-0.10=3"}),
               Contains("names part 'SH-24.0-6-0.10' twice"));
    CHECK_THAT(
        told({"wear", "record", "--db", shop, "--job", "JOB-1003", "--place", "chrome", "--percent", "-1"}),
        Contains("chrome"));
    CHECK_THAT(told({"job", "pull", "--db", shop, "--job", "JOB-1003", "--part", "SH-24.0-6-0.10"}),
               Contains("give --bin as well"));
    CHECK_THAT(told({"job", "change", "--db", shop, "--job", "JOB-1003", "--customer", "", "--note", "x"}),
               Contains("--customer: the value is empty"));
    writeBytes(folder / "count.csv", "bin,part,condition,books,counted,note\r\n");
    CHECK_THAT(told({"stock", "count", "--db", shop, "--in", folder / "count.csv", "--cabinet", "A"}),
               Contains("--cabinet") && Contains("--out"));
    CHECK_THAT(told({"stock", "count", "--db", shop, "--out", folder / "new.csv", "--preview"}),
               Contains("--preview") && Contains("--in"));
}

TEST_CASE("a delivery with an unknown bin, a line named twice or both all and some lines is not received") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const CommandRun placed =
        runShimledger({"order", "place", "--db", shop, "--supplier", "Quill and Harrow Seals (invented)",
                       "--order", "PO-T", "--json"});
    REQUIRE(placed.code == exit_done);
    const std::string line = std::to_string(nlohmann::json::parse(placed.out)["lines"][0]["line"].get<int>());
    const auto told = [&](Words arguments) {
        arguments.insert(arguments.end(), {"--db", shop, "--order", "PO-T"});
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        return run.error;
    };
    const auto before = everythingIn(shop, folder / "before");
    CHECK_THAT(told({"order", "receive", "--all", "--bin", "A0l"}),
               Contains("no bin 'A0l': did you mean 'A0"));
    CHECK_THAT(told({"order", "receive", "--line", line + "=1@A0l"}),
               Contains("no bin 'A0l': did you mean 'A0"));
    CHECK_THAT(told({"order", "receive", "--line", line + "=1", "--line", line + "=2"}), Contains("twice"));
    CHECK_THAT(told({"order", "receive", "--line", line + "=1", "--all"}), Contains("give one of them"));
    CHECK_THAT(told({"order", "receive", "--line", "999=1"}),
               Contains("its open lines are") && Contains(line));
    for (const char* bad : {"=0", "=-1", "=x", "", "=1.5", "=99999999999999999999"})
        CHECK_THAT(told({"order", "receive", "--line", line + bad, "--bin", "A01"}), !Contains("internal"));
    CHECK(everythingIn(shop, folder / "after") == before);
}

TEST_CASE("a new place of wear that is nearly called like a known one is written down with a question") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const auto note = [&](const char* place) {
        const CommandRun run = runShimledger(
            {"wear", "record", "--db", shop, "--job", "JOB-1003", "--place", place, "--state", "worn"});
        CHECK(run.code == exit_done);
        return run.error;
    };
    CHECK_THAT(note("chrom"), Contains("did you mean 'chrome'?"));
    CHECK(note("chrome").empty());
    CHECK(note("top yoke").empty());
}

TEST_CASE("a stock file whose columns or kinds are nearly called right is refused, not read in part") {
    const TemporaryFolder folder;
    const std::string stack = folder / "stack.json", stock = folder / "stock.csv";
    writeStack(stack);
    const auto told = [&](const std::string& bytes) {
        writeBytes(stock, bytes);
        const CommandRun run = runShimledger({"substitute", stack, "--stock", stock});
        CHECK(run.code == exit_bad_input);
        return run.error;
    };
    const std::string header = "kind,od_mm,id_mm,thickness_mm,condition,bin,quantity";
    CHECK_THAT(told(header + "\nShimm,24.0,6.0,0.10,new,A1,9\n"),
               Contains("line 2") && Contains("'Shimm' is no kind"));
    CHECK_THAT(told(header + ",quantity\nshim,24.0,6.0,0.10,new,A1,9,8\n"), Contains("both the quantity"));
    CHECK_THAT(told(header + ",mesured_mm\nshim,24.0,6.0,0.10,new,A1,9,0.1\n"),
               Contains("'mesured_mm' the measured_mm?"));
    CHECK_THAT(told("kind;od_mm\nshim;24.0\n"), Contains("'id_mm' is missing"));
}

TEST_CASE(
    "a folder with a table under nearly its name is not imported in part, and what is passed over is told") {
    const TemporaryFolder folder;
    std::filesystem::create_directory(folder / "in");
    for (const char* file : {"bins.csv", "component_models.csv"})
        std::filesystem::copy_file(std::filesystem::path(SHIMLEDGER_SEED_CATALOG) / file,
                                   std::filesystem::path(folder / "in") / file);
    writeBytes(folder / "in/notes.csv", "x\n");
    for (const char* name : {"Stock.csv", "stock.xlsx"}) {
        writeBytes(folder / (std::string("in/") + name), "x\n");
        const CommandRun run =
            runShimledger({"stock", "import", "--db", folder / "new.db", "--create", folder / "in"});
        CHECK(run.code == exit_bad_input);
        CHECK_THAT(run.error, Contains(name) && Contains("no line names the columns"));
        CHECK_FALSE(std::filesystem::exists(folder / "new.db"));
        std::filesystem::remove(folder / (std::string("in/") + name));
    }
    const CommandRun run =
        runShimledger({"stock", "import", "--db", folder / "new.db", "--create", folder / "in"});
    CHECK(run.code == exit_done);
    CHECK_THAT(run.out, Contains("Passed over: notes.csv"));
}
