// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/master_verbs.h"

#include <functional>
#include <list>

namespace CLI {
class App;
}

namespace shimledger::command {

/// The verbs part, bin, supplier and model, filled from the arguments.
struct MasterCommandLine {
    std::list<MasterVerb> verbs; ///< one for each verb; none of them moves

    /// Adds them to the program; `chosen` is set to what the arguments ask for. This struct must stay where
    /// it is until that has run.
    void addTo(CLI::App& app, const char* footer, std::function<int(Streams&)>& chosen);
};

} // namespace shimledger::command
