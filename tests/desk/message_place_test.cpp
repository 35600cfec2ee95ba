// SPDX-License-Identifier: GPL-3.0-or-later
// Messages have a place of their own: nothing moves under the hand when one comes, and none outlives its
// time.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/reorder_page.h"

#include <QAbstractButton>
#include <QAbstractItemView>
#include <QLineEdit>
#include <QScrollBar>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

#include <map>

using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

struct Desk {
    Desk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        settled();
    }
    void settled() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
        QCoreApplication::processEvents();
    }
    void go(Qt::Key key) {
        press(test.window, key, Qt::ControlModifier);
        settled();
    }

    /// Where everything lies that can be clicked or typed into, apart from the message itself.
    std::map<const QWidget*, QPoint> places() {
        std::map<const QWidget*, QPoint> found;
        for (const QWidget* widget : test.window.findChildren<QWidget*>()) {
            const bool is_used = qobject_cast<const QAbstractItemView*>(widget) != nullptr ||
                                 qobject_cast<const QAbstractButton*>(widget) != nullptr ||
                                 qobject_cast<const QLineEdit*>(widget) != nullptr;
            if (!is_used || !widget->isVisible() || widget->visibleRegion().isEmpty()) continue;
            if (qobject_cast<const MessageStrip*>(widget->parentWidget()) != nullptr) continue;
            found[widget] = widget->mapTo(&test.window, QPoint());
        }
        return found;
    }

    DemoShopCopy shop;
    TestWindow test;
};

constexpr const char* one_line =
    "32 discs are reserved for JOB-1002; the pick list (F8) says where to pull them.";

} // namespace

TEST_CASE("A message of a page moves nothing that can be clicked or typed into") {
    Desk desk;
    const auto tell = [&](MessageStrip* strip) {
        const auto before = desk.places();
        REQUIRE(before.size() > 1);
        strip->showDone(QString::fromLatin1(one_line));
        QCoreApplication::processEvents();
        QTest::qWait(50); // a layout settles in the next round of events
        REQUIRE(strip->isVisible());
        const auto after = desk.places();
        for (const auto& [widget, place] : before) {
            INFO(widget->metaObject()->className() << " " << widget->accessibleName().toStdString() << " "
                                                   << widget->objectName().toStdString());
            const auto found = after.find(widget);
            REQUIRE(found != after.end());
            CHECK(found->second == place);
        }
    };
    desk.go(Qt::Key_1);
    tell(desk.test.window.jobs().strip());
    desk.go(Qt::Key_5);
    tell(desk.test.window.drawers().strip());
    desk.go(Qt::Key_0);
    tell(desk.test.window.reorder().strip());
    for (const Qt::Key panel : {Qt::Key_6, Qt::Key_7, Qt::Key_8, Qt::Key_9}) {
        desk.go(panel);
        MessageStrip* shown = nullptr; // of the panel that is looked at: its holder is visible
        for (MessageStrip* strip : desk.test.window.findChildren<MessageStrip*>()) {
            if (strip->parentWidget()->isVisible() && strip != desk.test.window.strip()) shown = strip;
        }
        REQUIRE(shown != nullptr);
        tell(shown);
    }
}

TEST_CASE("What was done is told until the next thing is begun, a problem until it is dismissed") {
    Desk desk;
    MessageStrip& strip = *desk.test.window.jobs().strip();
    QAction& next = *desk.test.window.actions()[ActionId::go_target];
    strip.showDone(QString::fromLatin1(one_line));
    next.trigger();
    CHECK_FALSE(strip.isVisible());
    strip.showProblem(QString::fromLatin1("the disk is full"));
    next.trigger();
    CHECK(strip.isVisible());
    CHECK(strip.sentence() == QLatin1String("the disk is full"));
}

TEST_CASE("Two messages do not lie one above the other, unless one is a problem") {
    Desk desk;
    MessageStrip& page = *desk.test.window.jobs().strip();
    MessageStrip& window = *desk.test.window.strip();
    page.showNote(QString::fromLatin1("first"));
    window.showDone(QString::fromLatin1("second"));
    CHECK_FALSE(page.isVisible());
    // What a page that is not looked at has to tell ends nothing, and waits to be seen.
    MessageStrip& hidden = *desk.test.window.drawers().strip();
    hidden.showNote(QString::fromLatin1("elsewhere"));
    CHECK(window.isVisible());
    desk.test.window.actions()[ActionId::go_target]->trigger();
    CHECK_FALSE(window.isVisible());
    CHECK(hidden.sentence() == QLatin1String("elsewhere"));
    window.showDone(QString::fromLatin1("second"));
    page.showProblem(QString::fromLatin1("third"));
    CHECK_FALSE(window.isVisible());
    window.showDone(QString::fromLatin1("fourth"));
    CHECK(page.isVisible());
}

TEST_CASE("At 1280 x 800 all eight rows of a target are seen before there is an answer, until a person sets "
          "it so") {
    Desk desk;
    desk.test.window.jobs().pickJob("JOB-1002");
    desk.settled();
    const QTableView& table = *desk.test.window.jobs().target().table();
    REQUIRE(table.model()->rowCount() == 8);
    CHECK(table.verticalScrollBar()->maximum() == 0);
}
