// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace shimledger::command {

/// The verbs below one; those of no group are hidden, as they are for packages and not for people.
[[nodiscard]] std::vector<const CLI::App*> shownVerbs(const CLI::App& app);

/// All verbs with all options as they are declared: as a manual page in roff ("man") or as what bash
/// completes ("bash"). Hidden verbs are left out. InputError for another form.
[[nodiscard]] std::string describeVerbs(const CLI::App& app, const std::string& form,
                                        const std::string& version);

} // namespace shimledger::command
