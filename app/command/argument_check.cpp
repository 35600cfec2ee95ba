// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/argument_check.h"

#include "app/command/verb_description.h"

#include "planner/units/near_name.h"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <vector>

namespace shimledger::command {

namespace {

std::string inMarks(const std::string& typed) {
    constexpr std::size_t most = 60;
    return "'" + typed.substr(0, most) + (typed.size() > most ? "..." : "") + "'";
}

/// Digits with a sign before them and no needless zeros: what every reader takes for the same number.
std::string whatIsWrongWithWhole(const std::string& typed) {
    constexpr std::int64_t most = 1'000'000'000; // no count, number of days or movement of a shop is greater
    std::int64_t value = 0;
    const std::size_t sign = !typed.empty() && typed.front() == '-' ? 1 : 0;
    const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
    if (error == std::errc::invalid_argument || end != typed.data() + typed.size())
        return inMarks(typed) + " is no whole number: write digits only, such as 12";
    if (error == std::errc::result_out_of_range || value < -most || value > most)
        return inMarks(typed) + " is out of range: a whole number of at most " + std::to_string(most);
    if (typed.size() > sign + 1 && typed[sign] == '0')
        return inMarks(typed) + " begins with a needless 0: write " + std::to_string(value);
    return {};
}

std::string whatIsWrongWithNumber(const std::string& typed) {
    double value = 0;
    const auto [end, error] =
        std::from_chars(typed.data(), typed.data() + typed.size(), value, std::chars_format::general);
    if (error == std::errc::result_out_of_range) return inMarks(typed) + " is out of range";
    if (error != std::errc() || end != typed.data() + typed.size() || !std::isfinite(value))
        return inMarks(typed) + " is no number: write digits with a decimal point, such as 0.25";
    return {};
}

/// The verb that the arguments had reached.
const CLI::App& reached(const CLI::App& app) {
    const CLI::App* verb = &app;
    for (auto next = verb->get_subcommands(); !next.empty(); next = verb->get_subcommands())
        verb = next.front();
    return *verb;
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

std::string pathOf(const CLI::App& verb) {
    const CLI::App* parent = verb.get_parent();
    if (parent == nullptr) return {};
    const std::string before = pathOf(*parent);
    return before.empty() ? verb.get_name() : before + " " + verb.get_name();
}

std::string unknownVerb(const CLI::App& at, const std::string& typed) {
    std::vector<std::string> names, inner, inner_paths;
    for (const CLI::App* verb : shownVerbs(at)) {
        names.push_back(verb->get_name());
        for (const CLI::App* below : shownVerbs(*verb)) {
            inner.push_back(below->get_name());
            inner_paths.push_back(verb->get_name() + " " + below->get_name());
        }
    }
    const std::string path = pathOf(at);
    const std::string noun = path.empty() ? "verb" : "verb of " + path;
    std::string text = "there is no " + noun + " " + inMarks(typed);
    if (nearName(typed, names).empty()) {
        if (const std::string below = nearName(typed, inner); !below.empty()) {
            const auto place = std::find(inner.begin(), inner.end(), below) - inner.begin();
            return text + ": did you mean '" + inner_paths[static_cast<std::size_t>(place)] + "'?";
        }
    }
    return text + nearNameText(typed, names, "there are " + listed(names));
}

std::string unexpected(const CLI::App& at, const std::string& typed) {
    if (typed.empty() || typed.front() != '-') {
        if (!shownVerbs(at).empty()) return unknownVerb(at, typed);
        return inMarks(typed) + " is one argument too many for '" + pathOf(at) +
               "': the value of an option stands behind its name, and words with blanks stand in quotes";
    }
    std::vector<std::string> options;
    for (const CLI::Option* option : at.get_options()) {
        for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
    }
    const std::string name = typed.substr(0, typed.find('='));
    const std::string path = pathOf(at);
    return inMarks(name) + " is no option" + (path.empty() ? std::string() : " of '" + path + "'") +
           nearNameText(name, options, "it has " + listed(options));
}

/// The option given more often than it may be; none: nullptr.
const CLI::Option* repeated(const CLI::App& at) {
    for (const CLI::Option* option : at.get_options()) {
        if (option->get_expected_max() == 1 && option->count() > 1) return option;
    }
    return nullptr;
}

} // namespace

void refuseMisreadValues(CLI::App& app) {
    for (CLI::Option* option : app.get_options()) {
        const std::string type = option->get_type_name();
        if (type.starts_with("INT")) {
            option->check([](const std::string& typed) { return whatIsWrongWithWhole(typed); });
        } else if (type.starts_with("FLOAT")) {
            option->check([](const std::string& typed) { return whatIsWrongWithNumber(typed); });
        } else if (type.starts_with("TEXT") &&
                   (option->get_name() != "--class" || app.get_name() != "reorder-class")) {
            option->check([](const std::string& typed) {
                return typed.empty() ? std::string("the value is empty: give one, or leave the option away")
                                     : std::string();
            });
        }
    }
    for (CLI::App* verb : app.get_subcommands([](CLI::App*) { return true; })) refuseMisreadValues(*verb);
}

std::string sentenceOf(const CLI::App& app, const CLI::ParseError& error) {
    const CLI::App& at = reached(app);
    const std::string message = error.what();
    const int kind = error.get_exit_code(); // its name is that of the verb, at times
    const bool required = kind == static_cast<int>(CLI::ExitCodes::RequiredError);
    if (required || kind == static_cast<int>(CLI::ExitCodes::ExtrasError)) {
        // A mistyped name is the reason when what it stands for is missing.
        const std::vector<std::string> rest = app.remaining(true);
        if (!rest.empty()) return unexpected(at, rest.front());
    }
    if (required) {
        if (message == "A subcommand is required") {
            std::vector<std::string> names;
            for (const CLI::App* verb : shownVerbs(at)) names.push_back(verb->get_name());
            return "say what to do" + (pathOf(at).empty() ? std::string() : " behind '" + pathOf(at) + "'") +
                   ": " + listed(names);
        }
        for (const CLI::Option* option : at.get_options()) {
            if (message == option->get_name() + " is required")
                return message + ": " + option->get_description();
        }
    }
    if (kind == static_cast<int>(CLI::ExitCodes::ConversionError)) {
        // Numbers are checked before they are converted; what is left is a value behind a flag.
        for (const CLI::Option* option : at.get_options()) {
            if (message.find(option->get_name() + " = ") != std::string::npos)
                return option->get_name() + " takes no value: write it alone";
        }
    }
    if (kind == static_cast<int>(CLI::ExitCodes::ArgumentMismatch)) {
        if (const CLI::Option* option = repeated(at))
            return option->get_name() + " is given " + std::to_string(option->count()) +
                   " times: give it once";
        const std::string about = message.substr(0, message.find(": "));
        for (const CLI::Option* option : at.get_options()) {
            if (about == option->get_name())
                return about + " needs a value behind it: " + option->get_description();
        }
    }
    return message;
}

} // namespace shimledger::command
