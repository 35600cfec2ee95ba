#pragma once

#include "planner/reorder/lead_time_demand.h"

#include <string>

namespace shimledger::planner {

/// What decides one part's order; pieces unless said.
struct ReorderQuestion {
    int available = 0; ///< on the shelf, reservations not taken off
    int reserved = 0;
    int on_order = 0;
    int pack = 1;                 ///< >= 1
    int minimum = 0;              ///< least order
    double service = 0.95;        ///< wanted P(D <= reorder point), 0..1, 1 excluded
    int lot = 1;                  ///< wanted order quantity, >= 1
    int usable_in_shelf_life = 0; ///< pieces used within the shelf life; 0 = keeps for ever
};

struct ReorderAnswer {
    int reorder_point = 0;
    int order_up_to = 0;
    int order = 0; ///< pieces, whole packs
    std::string reason;
    std::string problem; ///< one sentence when the question is wrong; then nothing is ordered
};

/// Bad figures are named in `problem`, so that the rest of a plan still comes.
[[nodiscard]] ReorderAnswer answerReorder(const ReorderQuestion& question, const LeadTimeDemand& demand);

} // namespace shimledger::planner
