#include "planner/reorder/reorder_policy.h"

#include <catch2/catch.hpp>

using namespace shimledger::planner;

TEST_CASE("a part at its reorder point is bought in whole packs, with the reason in words") {
    const LeadTimeDemand demand(2, 2, {{1, 1}}); // smallest s with P(D<=s) >= 0.99 is 6 (row E122)
    ReorderQuestion question{2, 4, 0, 10, 0, 0.99, 1, 0};
    const auto answer = answerReorder(question, demand);
    CHECK(answer.reorder_point == 6);
    CHECK(answer.order == 10);
    CHECK(answer.reason == "available 2, reserved 4, on order 0, reorder point 6, pack of 10");
    question.on_order = 10;
    CHECK(answerReorder(question, demand).order == 0);
}

TEST_CASE("no more is bought than is used within the shelf life, unless one pack") {
    const LeadTimeDemand demand(2, 2, {{1, 1}});
    CHECK(answerReorder({0, 0, 0, 5, 0, 0.99, 30, 12}, demand).order == 10);
    CHECK(answerReorder({0, 0, 0, 20, 0, 0.99, 30, 12}, demand).order == 20);
    CHECK(answerReorder({0, 0, 0, 5, 0, 0.99, 30, 0}, demand).order == 40);
}

TEST_CASE("a pack of zero or an impossible service level is named and nothing is ordered") {
    const LeadTimeDemand demand(2, 2, {{1, 1}});
    const auto answer = answerReorder({0, 0, 0, 0, 0, 0.9, 1, 0}, demand);
    CHECK(answer.order == 0);
    CHECK(answer.problem == "The pack holds 0 pieces; it must hold at least 1.");
    CHECK_FALSE(answerReorder({0, 0, 0, 1, 0, 1.0, 1, 0}, demand).problem.empty());
}
