#include <catch2/catch.hpp>

#include "planner/mechanics/path_memory.h"

using shimledger::planner::PathMemory;

namespace {

const std::vector<char> open{0, 0}, touching{1, 0};

PathMemory followedOnce() {
    PathMemory memory;
    memory.begin(0);
    memory.note(0.1, {1, 2}, open);
    memory.note(0.2, {2, 4}, touching);
    return memory;
}

} // namespace

TEST_CASE("a stack near the last one is shown its next point, moved by what they differ", "[lift]") {
    PathMemory memory = followedOnce();
    memory.begin(0);
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
    memory.begin(0);
    memory.note(0.1, {1.9, 2.9}, touching);
    CHECK_FALSE(memory.suggest(0.2, deflection));
    CHECK(deflection[0] == Approx(1.9));
    CHECK_FALSE(memory.closed(0.2));
    CHECK_FALSE(memory.closed(0.3));
}

TEST_CASE("what was followed in one regime says nothing in the other", "[lift]") {
    PathMemory memory = followedOnce();
    memory.begin(1);
    CHECK_FALSE(memory.closed(0.1));
}
