// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verb_description.h"

#include "planner/units/input_error.h"

#include <CLI/CLI.hpp>

#include <vector>

namespace shimledger::command {

std::vector<const CLI::App*> shownVerbs(const CLI::App& app) {
    return app.get_subcommands([](const CLI::App* verb) { return !verb->get_group().empty(); });
}

namespace {

/// "shimledger stock import"
std::string pathOf(const CLI::App& verb) {
    const CLI::App* parent = verb.get_parent();
    return parent == nullptr ? verb.get_name() : pathOf(*parent) + " " + verb.get_name();
}

bool takesValue(const CLI::Option& option) {
    return option.get_items_expected_max() > 0;
}

/// Every option that is shown, without the help that every verb has.
std::vector<const CLI::Option*> shownOptions(const CLI::App& verb) {
    std::vector<const CLI::Option*> options;
    for (const CLI::Option* option : verb.get_options()) {
        if (!option->get_group().empty() && option != verb.get_help_ptr()) options.push_back(option);
    }
    return options;
}

/// Text that roff shows as it is.
std::string roff(const std::string& text) {
    std::string shown;
    for (const char letter : text) {
        const bool starts_line = shown.empty() || shown.back() == '\n';
        if (starts_line && (letter == '.' || letter == '\'')) shown += "\\&";
        if (letter == '\\') {
            shown += "\\e";
        } else if (letter == '-') {
            shown += "\\-";
        } else {
            shown += letter;
        }
    }
    return shown;
}

void manOption(const CLI::Option& option, std::string& page) {
    page += ".TP\n\\fB" + roff(option.get_name()) + "\\fR";
    if (!option.get_positional() && takesValue(option)) {
        const std::string type = option.get_type_name();
        page += type.starts_with("INT") || type.starts_with("FLOAT") ? " \\fINUMBER\\fR" : " \\fITEXT\\fR";
    }
    page += "\n" + roff(option.get_description());
    if (option.get_required()) page += " (required)";
    if (!option.get_default_str().empty()) page += roff(" (default: " + option.get_default_str() + ")");
    page += "\n";
}

/// A verb of its own, or those below it.
void manVerb(const CLI::App& verb, std::string& page) {
    const auto below = shownVerbs(verb);
    for (const CLI::App* inner : below) manVerb(*inner, page);
    if (!below.empty()) return;
    page += ".SS " + roff(pathOf(verb)) + "\n" + roff(verb.get_description()) + ".\n";
    for (const CLI::Option* option : shownOptions(verb)) manOption(*option, page);
}

std::string manPage(const CLI::App& app, const std::string& version) {
    // No day in the head: the same sources give the same page.
    std::string page = ".TH SHIMLEDGER 1 \"\" \"Shimledger " + version + "\" \"User Commands\"\n";
    page += ".SH NAME\nshimledger \\- parts inventory and shim\\-kit planner for a suspension shop\n";
    page += ".SH SYNOPSIS\n.B shimledger\n\\fIVERB\\fR [\\fIOPTION\\fR ...]\n";
    page +=
        ".SH DESCRIPTION\nKeeps the drawers of a suspension shop on a ledger, in one file a shop, and plans "
        "stacks of discs that open\nlike the one that is wanted from the discs that are there. "
        "\\fBshimledger\\fR \\fIVERB\\fR \\fB\\-\\-help\\fR\ntells the options of one verb.\n";
    page += ".SH OPTIONS\n";
    for (const CLI::Option* option : shownOptions(app)) manOption(*option, page);
    page +=
        ".TP\n\\fB\\-\\-help\\fR\n" + roff(app.get_help_ptr()->get_description()) + "; every verb has it\n";
    page += ".SH VERBS\n";
    for (const CLI::App* verb : shownVerbs(app)) manVerb(*verb, page);
    page += ".SH NOTES\n" + roff(app.get_footer()) + "\n";
    page += ".SH SEE ALSO\n.BR shimledger\\-desk (1)\n";
    return page;
}

std::string listed(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
    return text;
}

/// Which words lead to a verb (`steps`), and what may follow at it (`cases`).
void bashVerb(const CLI::App& verb, std::string& steps, std::string& cases) {
    std::vector<std::string> words, valued;
    for (const CLI::App* inner : shownVerbs(verb)) {
        words.push_back(inner->get_name());
        steps += (steps.empty() ? "\"" : " | \\\n            \"") + pathOf(*inner) + "\"";
    }
    bool has_place = false;
    for (const CLI::Option* option : shownOptions(verb)) {
        if (option->get_positional()) {
            has_place = true;
            continue;
        }
        words.push_back(option->get_name());
        if (takesValue(*option)) valued.push_back(option->get_name());
    }
    words.push_back("--help");
    cases += "    \"" + pathOf(verb) + "\")\n        words=\"" + listed(words) + "\"\n        valued=\"" +
             listed(valued) + "\"\n" + (has_place ? "        place=1\n" : "") + "        ;;\n";
    for (const CLI::App* inner : shownVerbs(verb)) bashVerb(*inner, steps, cases);
}

std::string bashCompletion(const CLI::App& app) {
    std::string steps, cases;
    bashVerb(app, steps, cases);
    return "# What bash completes behind shimledger; written by: shimledger describe bash\n"
           "_shimledger() {\n"
           "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
           "    local path=shimledger words= valued= place= i\n"
           "    for ((i = 1; i < COMP_CWORD; i++)); do\n"
           "        case \"$path ${COMP_WORDS[i]}\" in\n        " +
           steps +
           ")\n            path=\"$path ${COMP_WORDS[i]}\" ;;\n        esac\n    done\n"
           "    case $path in\n" +
           cases +
           "    esac\n"
           "    COMPREPLY=()\n"
           "    # The value of an option, and what stands at a place, is a file or a word of the user's.\n"
           "    [[ \" $valued \" == *\" $before \"* ]] && return\n"
           "    [[ $place && $word != -* ]] && return\n"
           "    COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
           "}\n"
           "complete -o default -F _shimledger shimledger\n";
}

} // namespace

std::string describeVerbs(const CLI::App& app, const std::string& form, const std::string& version) {
    if (form == "man") return manPage(app, version);
    if (form == "bash") return bashCompletion(app);
    throw InputError("'" + form + "' is no form: write man or bash");
}

} // namespace shimledger::command
