// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/background_run.h"

#include "planner/units/input_error.h"

#include <QPaintEvent>
#include <QSignalSpy>
#include <QTest>
#include <QWidget>

#include <atomic>
#include <memory>
#include <string>
#include <thread>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;

namespace {

void settle(const BackgroundRun& run) {
    QTRY_VERIFY_WITH_TIMEOUT(!run.running(), 10000);
}

RunWork untilStopped() {
    return [](const RunControl& control) -> RunDelivery {
        while (!control.stop.stop_requested()) {
            std::this_thread::yield();
        }
        return {};
    };
}

} // namespace

TEST_CASE("A background run works off the window's thread and delivers on it") {
    BackgroundRun run;
    const auto window_thread = std::this_thread::get_id();
    std::thread::id worked;
    std::thread::id delivered;
    run.start([&](const RunControl&) -> RunDelivery {
        worked = std::this_thread::get_id();
        return [&delivered] { delivered = std::this_thread::get_id(); };
    });
    settle(run);
    CHECK(worked != window_thread);
    CHECK(delivered == window_thread);
}

TEST_CASE("Only the newest of two runs delivers") {
    BackgroundRun run;
    std::string delivered;
    run.start([&](const RunControl& control) -> RunDelivery {
        while (!control.stop.stop_requested()) {
            std::this_thread::yield();
        }
        return [&delivered] { delivered += "old"; };
    });
    run.start([&](const RunControl&) -> RunDelivery { return [&delivered] { delivered += "new"; }; });
    settle(run);
    QTest::qWait(50); // time for a late answer to do harm
    CHECK(delivered == "new");
}

TEST_CASE("A cancelled run ends at once and delivers nothing") {
    BackgroundRun run;
    QSignalSpy finished(&run, &BackgroundRun::finished);
    bool delivered = false;
    run.start([&delivered](const RunControl& control) -> RunDelivery {
        while (!control.stop.stop_requested()) {
            std::this_thread::yield();
        }
        return [&delivered] { delivered = true; };
    });
    run.cancel();
    CHECK_FALSE(run.running());
    CHECK(finished.size() == 1);
    QTest::qWait(50);
    CHECK_FALSE(delivered);
    CHECK(finished.size() == 1);
}

TEST_CASE("Bad input in a background run becomes a sentence") {
    BackgroundRun run;
    QSignalSpy failed(&run, &BackgroundRun::failed);
    run.start([](const RunControl&) -> RunDelivery { throw InputError("row 3 has no thickness"); });
    settle(run);
    REQUIRE(failed.size() == 1);
    CHECK(failed.front().front().toString() == QStringLiteral("row 3 has no thickness"));
}

TEST_CASE("Destroying a run stops its work and waits for it") {
    auto run = std::make_unique<BackgroundRun>();
    run->start(untilStopped());
    run.reset(); // hangs here if the stop is not passed on
    SUCCEED();
}

TEST_CASE("Work that can wait begins after the window that is being shown has been painted") {
    struct Painted : QWidget {
        std::atomic<bool> painted = false;
        void paintEvent(QPaintEvent* event) override {
            painted = true;
            QWidget::paintEvent(event);
        }
    };
    Painted window;
    BackgroundRun run;
    std::atomic<bool> painted_before = false;
    run.startWhenIdle([&](const RunControl&) -> RunDelivery {
        painted_before = window.painted.load();
        return {};
    });
    CHECK(run.running());
    window.show();
    settle(run);
    CHECK(painted_before);
}
