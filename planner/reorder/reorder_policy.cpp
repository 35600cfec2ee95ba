// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/reorder_policy.h"

#include <algorithm>

namespace shimledger::planner {

namespace {

std::string problemOf(const ReorderQuestion& q) {
    if (q.pack < 1) {
        return "The pack holds " + std::to_string(q.pack) + " pieces; it must hold at least 1.";
    }
    if (q.minimum < 0 || q.reserved < 0 || q.on_order < 0 || q.usable_in_shelf_life < 0) {
        return "No quantity but what is available may be negative.";
    }
    return {};
}

int wholePacks(int pieces, int pack) {
    return (pieces + pack - 1) / pack * pack;
}

} // namespace

ReorderAnswer answerReorder(const ReorderQuestion& q, const ShelfPolicy& policy) {
    ReorderAnswer answer;
    answer.problem = problemOf(q);
    if (!answer.problem.empty()) {
        return answer;
    }
    answer.reason = "available " + std::to_string(q.available) + ", reserved " + std::to_string(q.reserved) +
                    ", on order " + std::to_string(q.on_order) + ", reorder point " +
                    std::to_string(policy.reorder_point) + ", pack of " + std::to_string(q.pack);
    const int position = q.available - q.reserved + q.on_order;
    if (position > policy.reorder_point) {
        return answer;
    }
    answer.order = wholePacks(std::max(policy.orderUpTo() - position, q.minimum), q.pack);
    if (q.usable_in_shelf_life > 0) {
        // What is there already ages too. One pack is allowed: less cannot be bought.
        const int room = std::max(0, q.usable_in_shelf_life - std::max(0, position));
        const int most = std::max(q.pack, room / q.pack * q.pack);
        if (answer.order > most) {
            answer.order = most;
            answer.held_back = true;
            answer.reason += ", held back by shelf life";
        }
    }
    return answer;
}

} // namespace shimledger::planner
