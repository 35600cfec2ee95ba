// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/workshop_page.h"

#include <QTest>

#include <string>

#include <catch2/catch.hpp>

namespace shimledger::desk::testing {

/// The demo shop in a window, with one of its jobs at the bench.
struct JobAtBench {
    JobAtBench() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        test.window.jobs().pickJob(job);
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    void reserve() {
        press(Qt::Key_F5);
        REQUIRE(settle([&] { return !test.window.busy(); }));
        press(Qt::Key_F6);
        REQUIRE(test.window.jobs().strip()->kind() == MessageStrip::Kind::done);
    }
    inventory::ShopFile& file() { return test.window.session().shop(); }
    PullPanel& pull() { return test.window.workshop().pull(); }

    std::string job = "JOB-1002";
    DemoShopCopy shop;
    TestWindow test;
};

} // namespace shimledger::desk::testing
