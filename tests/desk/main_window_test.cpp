// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/workshop/workshop_page.h"

#include <QFile>
#include <QLineEdit>
#include <QListView>
#include <QMenu>
#include <QSlider>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

TEST_CASE("A first start offers the demo, a new shop and a shop file, and nothing that needs one") {
    TestWindow test;
    CHECK_FALSE(test.window.shopShown());
    CHECK(test.window.actions()[ActionId::make_demo]->isEnabled());
    CHECK(test.window.actions()[ActionId::new_shop]->isEnabled());
    CHECK(test.window.actions()[ActionId::open_shop]->isEnabled());
    CHECK_FALSE(test.window.actions()[ActionId::find_substitutes]->isEnabled());
    CHECK_FALSE(test.window.actions()[ActionId::export_reorder]->isEnabled());
    CHECK_FALSE(test.window.actions()[ActionId::go_find_stock]->isEnabled());
}

TEST_CASE("A file that is no shop is refused in place, in a sentence, and the open shop stays") {
    TestWindow test;
    test.prompts.next_path = test.folder.filePath(QStringLiteral("new.db"));
    test.window.actions()[ActionId::new_shop]->trigger();
    REQUIRE(test.window.shopShown());
    CHECK(test.window.jobs().jobList()->model()->rowCount() == 0);

    const QString letter = test.folder.filePath(QStringLiteral("letter.txt"));
    QFile file(letter);
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write("this is no shop file");
    file.close();
    test.prompts.next_path = letter;
    test.window.actions()[ActionId::open_shop]->trigger();
    CHECK(test.window.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(test.window.strip()->sentence().contains(QStringLiteral("letter.txt")));
    CHECK(test.window.shopShown());
    CHECK(test.window.session().path().filename() == "new.db");
}

TEST_CASE("The last shops are remembered, newest first, and those that are gone are left out") {
    TestWindow test;
    const QString a = test.folder.filePath(QStringLiteral("a.db"));
    const QString b = test.folder.filePath(QStringLiteral("b.db"));
    for (const QString& path : {a, b}) {
        test.prompts.next_path = path;
        test.window.actions()[ActionId::new_shop]->trigger();
    }
    CHECK(test.settings.recentShops() == QStringList({b, a}));
    test.window.openShop(a);
    CHECK(test.settings.recentShops() == QStringList({a, b}));
    QFile::remove(b);
    CHECK(test.settings.recentShops() == QStringList({a}));
}

TEST_CASE("The demo is made in the background and opened") {
    TestWindow test;
    test.prompts.next_path = test.folder.filePath(QStringLiteral("demo"));
    test.window.actions()[ActionId::make_demo]->trigger();
    CHECK(test.window.busy());
    REQUIRE(settle([&] { return !test.window.busy(); }));
    REQUIRE(test.window.shopShown());
    CHECK(test.window.jobs().jobList()->model()->rowCount() == 10);
    CHECK(test.window.jobs().pickedJob().has_value());

    test.window.actions()[ActionId::make_demo]->trigger(); // the folder is not empty now
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.strip()->kind() == MessageStrip::Kind::problem);
}

TEST_CASE("Typing in the drawers narrows them, and Down goes to what was found") {
    const DemoShopCopy shop;
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    QTest::keyClick(&test.window, Qt::Key_F, Qt::ControlModifier);
    DrawersPage& drawers = test.window.drawers();
    REQUIRE(drawers.find()->hasFocus());
    REQUIRE(settle([&] { return !test.window.busy(); }));
    const int all = drawers.table()->model()->rowCount();
    QTest::keyClicks(drawers.find(), QStringLiteral("shim 0.10 24"));
    const int found = drawers.table()->model()->rowCount();
    CHECK(found > 0);
    CHECK(found < all);
    QTest::keyClick(drawers.find(), Qt::Key_Down);
    CHECK(drawers.table()->hasFocus());
    CHECK(drawers.table()->currentIndex().isValid());
}

TEST_CASE("The list of keys has every action with its key") {
    TestWindow test;
    test.window.actions()[ActionId::show_keys]->trigger();
    for (const ActionEntry& entry : allActions()) {
        const QString key =
            QKeySequence::fromString(QString::fromLatin1(entry.keys)).toString(QKeySequence::NativeText);
        CHECK(test.prompts.told.contains(key));
    }
}

TEST_CASE("Everything that takes the focus on the pages has an accessible name or a text") {
    const DemoShopCopy shop;
    TestWindow test;
    test.window.openShop(shop.path());
    const std::vector<QWidget*> pages{&test.window.jobs(), &test.window.workshop(), &test.window.drawers()};
    for (QWidget* page : pages) {
        for (const QWidget* widget : page->findChildren<QWidget*>()) {
            const bool inner = widget->objectName().startsWith(QStringLiteral("qt_")) ||
                               widget->inherits("QComboBoxListView"); // Qt's own parts
            if (!(widget->focusPolicy() & Qt::TabFocus) || inner) {
                continue;
            }
            INFO(widget->metaObject()->className());
            const QString text = widget->property("text").toString();
            CHECK_FALSE((widget->accessibleName() + text).isEmpty());
        }
    }
}

TEST_CASE("Tab walks through the jobs page from the list over the target to the answers and the lift") {
    const DemoShopCopy shop;
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    REQUIRE(settle([&] { return !test.window.busy(); }));
    JobsPage& jobs = test.window.jobs();
    jobs.pickJob("JOB-1002");
    test.window.actions()[ActionId::find_substitutes]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    jobs.jobList()->setFocus();
    QList<QWidget*> walked;
    for (int i = 0; i < 40 && !walked.contains(QApplication::focusWidget()); ++i) {
        walked << QApplication::focusWidget();
        QTest::keyClick(QApplication::focusWidget(), Qt::Key_Tab);
    }
    const auto place = [&](QWidget* widget) { return walked.indexOf(widget); };
    CHECK(place(jobs.stackTable()) > place(jobs.jobList()));
    CHECK(place(jobs.proposalTable()) > place(jobs.stackTable()));
    CHECK(place(jobs.bench().slider()) > place(jobs.proposalTable()));
}
