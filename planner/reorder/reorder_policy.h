// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/shelf_service.h"

#include <string>

namespace shimledger::planner {

/// What decides how many pieces one part needs now; pieces unless said.
struct ReorderQuestion {
    int available = 0; ///< on the shelf, reservations not taken off
    int reserved = 0;
    int on_order = 0;
    int pack = 1;                 ///< >= 1
    int minimum = 0;              ///< least order
    int usable_in_shelf_life = 0; ///< pieces used within the shelf life; 0 = keeps for ever
};

struct ReorderAnswer {
    int order = 0;          ///< pieces, whole packs
    bool held_back = false; ///< by shelf life
    std::string reason;
    std::string problem; ///< one sentence when the question is wrong; then nothing is ordered
};

/// The order that a policy asks for. Bad figures are named in `problem`, so that the rest of a plan still
/// comes.
[[nodiscard]] ReorderAnswer answerReorder(const ReorderQuestion& question, const ShelfPolicy& policy);

} // namespace shimledger::planner
