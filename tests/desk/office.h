// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"

namespace shimledger::desk::testing {

/// The demo shop in a window at the manager's page, its plan made.
struct Office {
    Office() {
        test.window.show();
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        press(Qt::Key_0, Qt::ControlModifier);
        REQUIRE(settle([&] { return page().plan().rowCount() > 0 && !page().busy(); }));
    }
    ReorderPage& page() { return test.window.reorder(); }
    PlanTableModel& plan() { return page().plan(); }
    inventory::ShopFile& file() { return test.window.session().shop(); }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace shimledger::desk::testing
