// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/reorder_policy.h"

#include <catch2/catch.hpp>

using namespace shimledger::planner;

namespace {

ShelfPolicy policy(int point, int lot) {
    ShelfPolicy chosen;
    chosen.reorder_point = point;
    chosen.lot = lot;
    return chosen;
}

} // namespace

TEST_CASE("a part at its reorder point is bought in whole packs, with the reason in words") {
    ReorderQuestion question{2, 4, 0, 10, 0, 0};
    const auto answer = answerReorder(question, policy(6, 1));
    CHECK(answer.order == 10);
    CHECK(answer.reason == "available 2, reserved 4, on order 0, reorder point 6, pack of 10");
    question.on_order = 10;
    CHECK(answerReorder(question, policy(6, 1)).order == 0);
}

TEST_CASE("no more is bought than is used within the shelf life, unless one pack") {
    CHECK(answerReorder({0, 0, 0, 5, 0, 12}, policy(6, 30)).order == 10);
    CHECK(answerReorder({0, 0, 0, 5, 0, 12}, policy(6, 30)).held_back);
    CHECK(answerReorder({0, 0, 0, 20, 0, 12}, policy(6, 30)).order == 20);
    CHECK(answerReorder({0, 0, 0, 5, 0, 0}, policy(6, 30)).order == 40);
    CHECK_FALSE(answerReorder({0, 0, 0, 5, 0, 200}, policy(6, 30)).held_back);
}

TEST_CASE("a pack of zero is named and nothing is ordered") {
    const auto answer = answerReorder({0, 0, 0, 0, 0, 0}, policy(6, 1));
    CHECK(answer.order == 0);
    CHECK(answer.problem == "The pack holds 0 pieces; it must hold at least 1.");
    CHECK_FALSE(answerReorder({0, -1, 0, 1, 0, 0}, policy(6, 1)).problem.empty());
}
