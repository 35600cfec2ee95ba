// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"

#include <atomic>
#include <cstdlib>
#include <new>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

// Counts every allocation of this test program; allocations themselves are left to malloc.
namespace {

std::atomic<long> allocations{0};

void* countedAllocation(std::size_t size) {
    ++allocations;
    if (void* memory = std::malloc(size > 0 ? size : 1)) return memory;
    throw std::bad_alloc();
}

} // namespace

void* operator new(std::size_t size) {
    return countedAllocation(size);
}
void* operator new[](std::size_t size) {
    return countedAllocation(size);
}
// std::stable_sort asks this way; left out, its memory would come from one allocator and go to another.
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations;
    return std::malloc(size > 0 ? size : 1);
}
void* operator new[](std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations;
    return std::malloc(size > 0 ? size : 1);
}
void operator delete(void* memory) noexcept {
    std::free(memory);
}
void operator delete[](void* memory) noexcept {
    std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}
void operator delete[](void* memory, std::size_t) noexcept {
    std::free(memory);
}

TEST_CASE("an evaluation allocates nothing once its workspace is warm", "[lift]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec stack({mm(10), mm(13), mm(20), mm(6), {}, {}},
                          parseStackText("3 x 24 x 0.15, 1 x 16 x 0.10, 2 x 24 x 0.15, 1 x 22 x 0.15, "
                                         "1 x 18 x 0.20, 1 x 14 x 0.25"));
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    const std::vector<double> lifts{0.05, 0.1, 0.2, 0.3};
    std::vector<double> pressures(lifts.size()), back(lifts.size());
    for (const Regime regime : {Regime::small, Regime::large}) {
        REQUIRE(model.pressuresAtLifts(grouped.sums, lifts, regime, workspace, pressures).converged);
        REQUIRE(model.liftsAtPressures(grouped.sums, pressures, regime, workspace, back).converged);

        const long before = allocations;
        const bool there =
            model.pressuresAtLifts(grouped.sums, lifts, regime, workspace, pressures).converged;
        const bool and_back =
            model.liftsAtPressures(grouped.sums, pressures, regime, workspace, back).converged;
        const long made = allocations - before;
        CHECK(there);
        CHECK(and_back);
        CHECK(made == 0);
    }
    const long before = allocations;
    delete new int(1); // the counter itself counts
    const std::vector<int> counted(3);
    CHECK(allocations > before);
}
