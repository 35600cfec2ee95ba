// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/path_memory.h"

using shimledger::planner::GroupSums;
using shimledger::planner::PathMemory;

namespace {

const std::vector<char> open{0, 0}, touching{1, 0};
const std::vector<GroupSums> sums{{0.5, 100, 400}}, like_them{{0.5, 105, 410}}, unlike_them{{0.5, 150, 410}};

PathMemory followedOnce() {
    PathMemory memory;
    memory.begin(sums);
    memory.note(0.1, {1, 2}, open);
    memory.note(0.2, {2, 4}, touching);
    return memory;
}

} // namespace

TEST_CASE("a stack near the last one is shown its next point, moved by what they differ", "[lift]") {
    PathMemory memory = followedOnce();
    memory.begin(sums);
    memory.note(0.1, {1.1, 2.1}, open);
    std::vector<double> deflection{1.1, 2.1};
    REQUIRE(memory.suggest(0.2, deflection));
    CHECK(deflection[0] == Approx(2.1));
    CHECK(deflection[1] == Approx(4.1));
    REQUIRE(memory.closed(0.2));
    CHECK(*memory.closed(0.2) == touching);
}

TEST_CASE("a stack far from the last one, with other contacts or at other lifts is shown nothing", "[lift]") {
    PathMemory memory = followedOnce();
    std::vector<double> deflection{1.9, 2.9};
    memory.begin(sums);
    memory.note(0.1, {1.9, 2.9}, touching);
    CHECK_FALSE(memory.suggest(0.2, deflection));
    CHECK(deflection[0] == Approx(1.9));
    CHECK_FALSE(memory.closed(0.2));
    CHECK_FALSE(memory.closed(0.3));
}

TEST_CASE("the first point of a stack much like the last one starts from it, another one's does not",
          "[lift]") {
    PathMemory memory = followedOnce();
    std::vector<double> deflection{0, 0};
    memory.begin(like_them);
    REQUIRE(memory.closed(0.1));
    REQUIRE(memory.suggest(0.1, deflection));
    CHECK(deflection == std::vector<double>{1, 2});
    memory.note(0.1, {1.1, 2.1}, open);

    deflection = {0, 0};
    memory.begin(unlike_them);
    REQUIRE(memory.closed(0.1));
    CHECK_FALSE(memory.suggest(0.1, deflection));
    CHECK(deflection == std::vector<double>{0, 0});
}

TEST_CASE("paths that begin at different points do not take each other's place", "[lift]") {
    PathMemory memory = followedOnce();
    memory.begin(sums);
    memory.note(0.3, {9, 9}, open);
    memory.begin(sums);
    std::vector<double> deflection{0, 0};
    REQUIRE(memory.closed(0.1));
    REQUIRE(memory.suggest(0.1, deflection));
    CHECK(deflection == std::vector<double>{1, 2});
    memory.begin(sums);
    REQUIRE(memory.closed(0.3));
    REQUIRE(memory.suggest(0.3, deflection));
    CHECK(deflection == std::vector<double>{9, 9});
    CHECK_FALSE(memory.closed(0.7));
}
