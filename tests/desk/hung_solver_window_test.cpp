// SPDX-License-Identifier: GPL-3.0-or-later
// A solver that hangs holds neither the window nor the way out of it.
#include "desk_fixture.h"
#include "tests/services/fake_solver.h"
#include "watched_application.h"

#include "app/desk/desk_actions.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/reorder_page.h"

#include <QTest>

#include <cstdlib>
#include <memory>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using services::FakeSolver;

namespace {

/// The window at its reorder page, with a solver first on the PATH that never answers, at work.
struct Hanging {
    Hanging() : fake(services::hangs_whatever_it_is_told), path(std::getenv("PATH")) {
        ::setenv("PATH", (fake.folder().string() + ":" + path).c_str(), 1);
        test = std::make_unique<TestWindow>();
        test->window.openShop(shop.path());
        test->window.actions()[ActionId::go_reorder]->trigger();
        REQUIRE(settle([&] { return fake.hasRun(); }));
        REQUIRE(test->window.reorder().busy());
    }
    ~Hanging() { ::setenv("PATH", path.c_str(), 1); }

    FakeSolver fake;
    std::string path;
    DemoShopCopy shop;
    std::unique_ptr<TestWindow> test;
};

} // namespace

TEST_CASE("Closing the window ends a solver that hangs, and leaves nothing of it behind") {
    Hanging desk;
    desk.test->window.close();
    desk.test.reset(); // waits for the run: hangs here where the solver is not ended
    desk.fake.waitUntilAllAreGone();
    CHECK_FALSE(desk.fake.leftFiles());
}

TEST_CASE("Stop ends a solver that hangs, the window says so and plans again when asked") {
    Hanging desk;
    QAction* stop = desk.test->window.actions()[ActionId::stop_search];
    REQUIRE(stop->isEnabled());
    stop->trigger();
    CHECK_FALSE(stop->isEnabled());
    CHECK_FALSE(desk.test->window.reorder().busy());
    CHECK(desk.test->window.reorder().strip()->sentence().contains(QStringLiteral("stopped")));
    desk.fake.waitUntilAllAreGone();
    REQUIRE(settle([&] { return !desk.fake.leftFiles(); }));
}
