// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/job_verbs.h"
#include "app/command/sheet_back_verbs.h"
#include "app/command/shop_verbs.h"

#include <functional>

namespace CLI {
class App;
}

namespace shimledger::command {

/// The verbs of drawers, strips and wear, filled from the arguments.
struct ShopCommandLine {
    JobVerb open, change;
    JobListVerb job_list;
    JobTargetVerb job_target;
    JobTriesVerb job_tries;
    JobValveVerb job_valves;
    JobReopenVerb reopen;
    OrderSheetVerb order_sheet;
    FarOffVerb far_off;
    BooksVerb job_record, job_costs, stock_value;
    FindVerb find;
    HistoryVerb history;
    StripVerb strip_record, strip_show, strip_form, strip_compare, strip_put_away;
    WearVerb wear_show, wear_record, wear_kit, wear_deferred;
    ORingVerb o_ring;
    LabelsVerb labels;
    CountVerb count;
    FlowVerb receive, expected, issue, give_back, scrap, move, undo, reading, pull, release, close, cancel;

    /// Adds them to the program, whose `stock` and `job` are there already; `chosen` is set to what the
    /// arguments ask for. This struct must stay where it is until that has run.
    void addTo(CLI::App& app, const char* footer, std::function<int(Streams&)>& chosen);
};

} // namespace shimledger::command
