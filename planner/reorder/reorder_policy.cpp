#include "planner/reorder/reorder_policy.h"

#include <algorithm>

namespace shimledger::planner {

namespace {

std::string problemOf(const ReorderQuestion& q) {
    if (q.pack < 1) {
        return "The pack holds " + std::to_string(q.pack) + " pieces; it must hold at least 1.";
    }
    if (q.lot < 1 || q.minimum < 0 || q.reserved < 0 || q.on_order < 0 || q.usable_in_shelf_life < 0) {
        return "Order quantity must be at least 1, and no other quantity may be negative.";
    }
    if (!(q.service >= 0 && q.service < 1)) {
        return "The service level must be at least 0 and less than 1.";
    }
    return {};
}

int wholePacks(int pieces, int pack) {
    return (pieces + pack - 1) / pack * pack;
}

} // namespace

ReorderAnswer answerReorder(const ReorderQuestion& q, const LeadTimeDemand& demand) {
    ReorderAnswer answer;
    answer.problem = problemOf(q);
    if (!answer.problem.empty()) {
        return answer;
    }
    answer.reorder_point = demand.quantile(q.service);
    answer.order_up_to = answer.reorder_point + q.lot;
    answer.reason = "available " + std::to_string(q.available) + ", reserved " + std::to_string(q.reserved) +
                    ", on order " + std::to_string(q.on_order) + ", reorder point " +
                    std::to_string(answer.reorder_point) + ", pack of " + std::to_string(q.pack);
    const int position = q.available - q.reserved + q.on_order;
    if (position > answer.reorder_point) {
        return answer;
    }
    answer.order = wholePacks(std::max(answer.order_up_to - position, q.minimum), q.pack);
    if (q.usable_in_shelf_life > 0) {
        // What is there already ages too. One pack is allowed: less cannot be bought.
        const int room = std::max(0, q.usable_in_shelf_life - std::max(0, position));
        const int most = std::max(q.pack, room / q.pack * q.pack);
        if (answer.order > most) {
            answer.order = most;
            answer.reason += ", held back by shelf life";
        }
    }
    return answer;
}

} // namespace shimledger::planner
