// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/background_run.h"
#include "inventory/stock_snapshot.h"
#include "planner/substitute/substitute_search.h"
#include "tests/inventory/support.h"

#include <QSignalSpy>
#include <QTest>

#include <atomic>
#include <memory>
#include <thread>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::length_literals;

namespace {

planner::StockItem bin(const char* name, Length od, Length thickness, std::int64_t pieces) {
    return {name, "", od, 6_mm, thickness, {}, false, pieces, 0, 0};
}

/// One face disc too few for two legs, and a few other sizes to choose from.
planner::SubstituteRequest shortRequest() {
    planner::SubstituteRequest request;
    request.target = planner::StackSpec(
        {10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
        {{2, 24_mm, 0.15_mm, {}, {}}, {1, 20_mm, 0.15_mm, {}, {}}, {1, 14_mm, 0.20_mm, {}, {}}});
    request.stock = {bin("A1", 24_mm, 0.15_mm, 3), bin("A2", 24_mm, 0.10_mm, 8), bin("B1", 20_mm, 0.15_mm, 4),
                     bin("B2", 20_mm, 0.20_mm, 4), bin("C1", 14_mm, 0.20_mm, 4)};
    return request;
}

/// Drawers so full, and rules so loose, that proving the best takes far longer than the first look at
/// progress.
planner::SubstituteRequest longRequest() {
    planner::SubstituteRequest request = shortRequest();
    request.target = planner::StackSpec(
        {10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
        {{4, 24_mm, 0.15_mm, {}, {}}, {3, 20_mm, 0.15_mm, {}, {}}, {2, 16_mm, 0.20_mm, {}, {}}});
    request.stock.clear();
    for (const Length od : {24_mm, 20_mm, 16_mm}) {
        for (const Length thickness : {0.08_mm, 0.10_mm, 0.12_mm, 0.18_mm, 0.20_mm, 0.25_mm})
            request.stock.push_back(bin("A1", od, thickness, 24));
    }
    request.rules.most_other_groups_changed = 3;
    request.limits.gap = 0;
    request.limits.seconds = 600;
    request.limits.candidates = 1'000'000'000;
    return request;
}

std::vector<double> bestPressures(const planner::SubstituteResult& result) {
    REQUIRE(result.status == planner::SubstituteStatus::proved_best);
    return result.proposals.front().pressures_mpa;
}

void settle(const BackgroundRun& run) {
    QTRY_VERIFY_WITH_TIMEOUT(!run.running(), 60000);
}

} // namespace

TEST_CASE("two searches of one request beside each other find what one alone finds") {
    const planner::SubstituteRequest request = shortRequest();
    planner::SubstituteResult beside;
    std::thread other([&] { beside = planner::findSubstitutes(request); });
    const planner::SubstituteResult here = planner::findSubstitutes(request);
    other.join();
    const auto alone = bestPressures(planner::findSubstitutes(request));
    CHECK(bestPressures(here) == alone);
    CHECK(bestPressures(beside) == alone);
}

TEST_CASE("a search is watched from the window's thread, and what it found is delivered there") {
    BackgroundRun run;
    QSignalSpy progressed(&run, &BackgroundRun::progressed);
    planner::SubstituteResult shown;
    run.start([&shown](const RunControl& control) -> RunDelivery {
        planner::SubstituteRequest request = shortRequest();
        request.progress = [&control](const planner::SubstituteProgress& progress) {
            control.report(QString::number(progress.examined));
            return !control.stop.stop_requested();
        };
        control.report(QStringLiteral("begun"));
        auto result = std::make_shared<planner::SubstituteResult>(planner::findSubstitutes(request));
        return [&shown, result] { shown = std::move(*result); };
    });
    settle(run);
    CHECK(progressed.size() >= 1);
    CHECK(bestPressures(shown) == bestPressures(planner::findSubstitutes(shortRequest())));
}

TEST_CASE("a search that the window's thread ends delivers what it had") {
    BackgroundRun run;
    const auto end_early = std::make_shared<std::atomic<bool>>(false);
    const auto begun = std::make_shared<std::atomic<bool>>(false);
    planner::SubstituteResult shown;
    run.start([&shown, end_early, begun](const RunControl& control) -> RunDelivery {
        planner::SubstituteRequest request = longRequest();
        request.progress = [&](const planner::SubstituteProgress& progress) {
            *begun = *begun || progress.examined > 0;
            return !*end_early && !control.stop.stop_requested();
        };
        auto result = std::make_shared<planner::SubstituteResult>(planner::findSubstitutes(request));
        return [&shown, result] { shown = std::move(*result); };
    });
    while (!*begun && run.running()) QTest::qWait(1);
    REQUIRE(*begun);
    *end_early = true;
    settle(run);
    CHECK(shown.status == planner::SubstituteStatus::found_not_proved);
}

TEST_CASE("a worker reads a shop whole while the window's thread posts to it") {
    inventory::SmallShop small;
    small.receive("S24-10", "A1", 40);
    BackgroundRun run;
    struct Seen {
        int looks = 0;
        int halves = 0;
    };
    Seen seen;
    const auto enough = std::make_shared<std::atomic<bool>>(false);
    run.start([&seen, enough, path = small.shop.path()](const RunControl&) -> RunDelivery {
        Seen found;
        const auto shop = inventory::ShopFile::openReadOnly(path);
        while (!*enough || found.looks < 3) {
            // Every entry below puts as many into one bin as it takes out of the other.
            std::int64_t pieces = 0;
            for (const auto& lot : inventory::stockSnapshot(shop).lots) pieces += lot.on_hand;
            ++found.looks;
            if (pieces != 40) ++found.halves;
        }
        return [&seen, found] { seen = found; };
    });
    for (int i = 0; i < 30; ++i) {
        auto move = inventory::movement(inventory::MovementKind::move, "S24-10", "A1", 1);
        move.to_bin = "A2";
        small.ledger.post({move});
    }
    *enough = true;
    settle(run);
    CHECK(seen.looks >= 3);
    CHECK(seen.halves == 0);
}
