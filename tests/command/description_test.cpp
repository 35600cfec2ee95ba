// SPDX-License-Identifier: GPL-3.0-or-later
// The man page and the completion against what --help says, which the parser itself writes.
#include "tests/command/command_run.h"

#include <catch2/catch.hpp>

#include <regex>
#include <set>

using namespace shimledger::command;
using Catch::Matchers::Contains;

namespace {

using Words = std::vector<std::string>;

struct Verb {
    Words words;
    std::set<std::string> options;
};

/// Every verb that the help lists below `words`, with the long options that its own help lists.
void collect(const Words& words, std::vector<Verb>& verbs) {
    Words asked = words;
    asked.emplace_back("--help");
    std::istringstream help(runShimledger(asked).out);
    Verb verb{words, {}};
    Words below;
    bool listing = false;
    std::smatch found;
    static const std::regex name("^  ([a-z][a-z-]*)( .*)?$");
    static const std::regex option("^  (?:-[a-z],)?(--[a-z][a-z0-9-]*)( .*)?$");
    for (std::string line; std::getline(help, line);) {
        if (line.starts_with("Subcommands:")) listing = true;
        if (listing && std::regex_match(line, found, name)) below.push_back(found[1]);
        if (!listing && std::regex_match(line, found, option)) verb.options.insert(found[1]);
    }
    verbs.push_back(verb);
    for (const std::string& inner : below) {
        Words next = words;
        next.push_back(inner);
        collect(next, verbs);
    }
}

std::vector<Verb> verbsOfHelp() {
    std::vector<Verb> verbs;
    collect({}, verbs);
    return verbs;
}

std::string pathOf(const Verb& verb) {
    std::string path = "shimledger";
    for (const std::string& word : verb.words) path += " " + word;
    return path;
}

std::string escaped(const std::string& text) {
    return std::regex_replace(text, std::regex("-"), "\\-");
}

/// From `start` to the first `end` behind it; empty where `start` is not there.
std::string between(const std::string& text, const std::string& start, const std::string& end) {
    const auto from = text.find(start);
    return from == std::string::npos ? "" : text.substr(from, text.find(end, from + start.size()) - from);
}

} // namespace

TEST_CASE("the man page has every verb and every option that the help has") {
    const std::string page = runShimledger({"describe", "man"}).out;
    const auto verbs = verbsOfHelp();
    CHECK(verbs.size() > 40);
    std::size_t options = 0;
    for (const Verb& verb : verbs) {
        INFO(pathOf(verb));
        const bool group = !verb.words.empty() && verb.options == std::set<std::string>{"--help"} &&
                           page.find("\n.SS " + escaped(pathOf(verb)) + " ") != std::string::npos;
        if (group) continue; // stands there by the verbs below it
        const std::string section = verb.words.empty()
                                        ? between(page, ".SH OPTIONS\n", ".SH VERBS")
                                        : between(page, "\n.SS " + escaped(pathOf(verb)) + "\n", "\n.S");
        CHECK_FALSE(section.empty());
        for (const std::string& option : verb.options) {
            if (option == "--help" && !verb.words.empty()) continue; // said once, at the head
            INFO(option);
            CHECK(section.find("\\fB" + escaped(option) + "\\fR") != std::string::npos);
            ++options;
        }
    }
    CHECK(options > 150);
}

TEST_CASE("the completion has every verb and every option that the help has") {
    const std::string script = runShimledger({"describe", "bash"}).out;
    for (const Verb& verb : verbsOfHelp()) {
        INFO(pathOf(verb));
        std::string words =
            between(script, "    \"" + pathOf(verb) + "\")\n        words=\"", "\"\n        valued");
        CHECK_FALSE(words.empty());
        words = " " + words.substr(words.find("words=\"") + 7) + " ";
        for (const std::string& option : verb.options) CHECK_THAT(words, Contains(" " + option + " "));
        if (verb.words.empty()) continue;
        CHECK_THAT(script, Contains("\"" + pathOf(verb) + "\" |") ||
                               Contains("\"" + pathOf(verb) + "\")\n            path"));
    }
}

TEST_CASE("the verb that writes both is hidden and refuses another form") {
    CHECK(runShimledger({"--help"}).out.find("describe") == std::string::npos);
    CHECK(runShimledger({"nothing-near"}).error.find("describe") == std::string::npos);
    CHECK(runShimledger({"describe", "man"}).out.find("describe") == std::string::npos);
    const CommandRun run = runShimledger({"describe", "html"});
    CHECK(run.code == exit_bad_input);
    CHECK_THAT(run.error, Contains("'html' is no form"));
}

TEST_CASE("the version names number, commit, libraries and the schema that a new shop file has", "[file]") {
    const CommandRun run = runShimledger({"--version"});
    CHECK(run.code == exit_done);
    CHECK(std::regex_search(run.out, std::regex("^shimledger [0-9]+\\.[0-9]+\\.[0-9]+\n")));
    CHECK(std::regex_search(run.out, std::regex("\ncommit (unknown|[0-9a-f]{7,}( with changes)?)\n")));
    for (const char* library :
         {"SQLite 3.", "libxlsxwriter 1.", "fmt 9.", "CLI11 2.", "libzip 1.", "Boost 1."})
        CHECK_THAT(run.out, Contains(library));
    const TemporaryFolder folder;
    const std::string head = readBytes(demoShop(folder)).substr(0, 100);
    // SQLite's file head: user_version is the big-endian number at 60.
    int schema = 0;
    for (std::size_t i = 60; i < 64; ++i) schema = schema * 256 + static_cast<unsigned char>(head[i]);
    CHECK_THAT(run.out, Contains("\nshop files of schema " + std::to_string(schema) + "\n"));
}
