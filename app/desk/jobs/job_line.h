// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/state_mark.h"
#include "inventory/job.h"

#include <QString>

namespace shimledger::desk {

/// One job in the list, with where it stands in words and as a mark.
struct JobLine {
    inventory::Job job;
    StateMark mark = StateMark::unknown;
    QString situation_text; ///< "2 sizes short", "can be built", "reserved"
    int days_late = 0;      ///< since its due day; 0: it is not late

    bool operator==(const JobLine&) const = default;
};

} // namespace shimledger::desk
