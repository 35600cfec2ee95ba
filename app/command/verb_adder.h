// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"

#include <CLI/CLI.hpp>

#include <functional>

namespace shimledger::command {

/// What every verb needs: the shop file, the help's foot, and to be the one that runs.
class VerbAdder {
public:
    VerbAdder(const char* footer, std::function<int(Streams&)>& chosen)
        : m_footer(footer), m_chosen(chosen) {}

    template <typename Verb>
    CLI::App* add(CLI::App& parent, const char* name, const char* help, Verb& verb,
                  int (*run)(const Verb&, Streams&)) const {
        CLI::App* sub = parent.add_subcommand(name, help);
        sub->footer(m_footer);
        sub->add_option("--db", verb.shop_file, "Shop file")->required();
        std::function<int(Streams&)>& chosen = m_chosen;
        sub->callback([&verb, run, &chosen] {
            chosen = [&verb, run](Streams& streams) { return run(verb, streams); };
        });
        return sub;
    }

private:
    const char* m_footer;
    std::function<int(Streams&)>& m_chosen;
};

/// A verb of verbs.
inline CLI::App* addGroup(CLI::App& app, const char* name, const char* help) {
    CLI::App* sub = app.add_subcommand(name, help);
    sub->require_subcommand(1);
    return sub;
}

} // namespace shimledger::command
