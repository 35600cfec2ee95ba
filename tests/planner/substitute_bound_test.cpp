#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/curve_judge.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

Length um(int micrometres) {
    return Length::fromMicrometres(micrometres);
}

/// A taper of three to six sizes, every second one with a crossover in it, some with a raised seat.
StackSpec randomStack(std::mt19937& random) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    ValveGeometry valve{10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm};
    if (pick(0, 3) == 0) {
        valve.seat_diameter = 21_mm;
        valve.preload = um(pick(0, 2) * 20);
    }
    const auto thickness = [&] { return um(pick(8, 25) * 10); };
    std::vector<DiscRow> rows{{pick(1, 5), 24_mm, thickness(), {}, {}}};
    if (pick(0, 1) == 1) {
        rows.push_back({1, um(pick(14, 18) * 1000), um(pick(5, 20) * 10), {}, {}});
        rows.push_back({pick(1, 3), um(pick(22, 24) * 1000), thickness(), {}, {}});
    }
    for (int od = 21; od > 11; od -= pick(2, 4))
        rows.push_back({pick(1, 2), um(od * 1000), thickness(), {}, {}});
    return StackSpec(valve, rows);
}

} // namespace

TEST_CASE("pressure at a lift grows with every group's sums and falls with every gap, as the bound assumes") {
    std::mt19937 random(20261125); // fixed seed: the same stacks every time
    const std::vector<double> lifts = comparisonLifts(0.30);
    int compared = 0;
    double worst = 0;
    for (int round = 0; round < 400; ++round) {
        const StackSpec stack = randomStack(random);
        const GroupedStack base = groupStack(stack);
        const LiftModel model(stack.valve(), base.shapes);
        LiftWorkspace workspace = model.makeWorkspace();
        std::vector<GroupSums> stiffer = base.sums;
        for (GroupSums& sums : stiffer) {
            const auto part = [&] { return static_cast<double>(random() % 1000) / 1000.0; };
            const bool changes = random() % 2 == 0;
            if (!changes) continue;
            sums.bending_n_mm *= 1 + 0.6 * part();
            sums.membrane_n_per_mm *= 1 + 0.6 * part();
            sums.thickness_mm *= 1 - 0.4 * part();
        }
        const Regime regime = round % 4 == 0 ? Regime::small : Regime::large;
        std::vector<double> soft(lifts.size()), stiff(lifts.size());
        if (!model.pressuresAtLifts(base.sums, lifts, regime, workspace, soft).converged) continue;
        if (!model.pressuresAtLifts(stiffer, lifts, regime, workspace, stiff).converged) continue;
        ++compared;
        for (std::size_t i = 0; i < lifts.size(); ++i) {
            CAPTURE(round, lifts[i], soft[i], stiff[i]);
            worst = std::max(worst, soft[i] / stiff[i] - 1);
            CHECK(stiff[i] >= soft[i] * (1 - CurveJudge::margin));
        }
    }
    CAPTURE(worst);
    CHECK(compared > 350);
}
