#pragma once

#include <string>

namespace CLI {
class App;
}

namespace shimledger::command {

/// All verbs with all options as they are declared: as a manual page in roff ("man") or as what bash
/// completes
/// ("bash"). Hidden verbs are left out. InputError for another form.
[[nodiscard]] std::string describeVerbs(const CLI::App& app, const std::string& form,
                                        const std::string& version);

} // namespace shimledger::command
