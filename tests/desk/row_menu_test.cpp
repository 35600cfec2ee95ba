// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/row_menu.h"

#include <QContextMenuEvent>
#include <QListView>
#include <QMenu>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

QMenu* opened() {
    return qobject_cast<QMenu*>(QApplication::activePopupWidget());
}

void askByButton(QAbstractItemView& view, const QModelIndex& row) {
    const QPoint place = view.visualRect(row).center();
    QContextMenuEvent asked(QContextMenuEvent::Mouse, place, view.viewport()->mapToGlobal(place));
    QApplication::sendEvent(view.viewport(), &asked);
}

} // namespace

TEST_CASE("The right button asks about the row beneath it, the menu key about the current one") {
    QTableWidget table(4, 1);
    for (int row = 0; row < 4; ++row) table.setItem(row, 0, new QTableWidgetItem(QString::number(row)));
    QList<int> asked;
    giveRowMenu(table, [&](QMenu& menu, const QModelIndex& row) {
        asked << row.row();
        menu.addAction(QStringLiteral("something"));
    });
    table.show();
    REQUIRE(QTest::qWaitForWindowExposed(&table));
    table.setCurrentCell(3, 0);
    askByButton(table, table.model()->index(1, 0));
    REQUIRE(opened() != nullptr);
    opened()->close();
    CHECK(table.currentRow() == 1); // what is done is done with what is marked
    QContextMenuEvent key(QContextMenuEvent::Keyboard, QPoint(), QPoint());
    table.setCurrentCell(2, 0);
    QApplication::sendEvent(&table, &key);
    REQUIRE(opened() != nullptr);
    opened()->close();
    CHECK(asked == QList<int>{1, 2});
    // Beneath the last row there is nothing to ask about.
    const QPoint below(5, table.viewport()->height() - 2);
    QContextMenuEvent empty(QContextMenuEvent::Mouse, below, table.viewport()->mapToGlobal(below));
    QApplication::sendEvent(table.viewport(), &empty);
    CHECK(opened() == nullptr);
    CHECK(asked.size() == 2);
}

TEST_CASE("Jobs, target, proposals and drawers have menus of what can be done with a row") {
    const DemoShopCopy shop;
    TestWindow test;
    test.window.show();
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    JobsPage& jobs = test.window.jobs();
    const auto offers = [&](QAbstractItemView& view, ActionId id) {
        REQUIRE(view.model()->rowCount() > 0);
        askByButton(view, view.model()->index(0, 0));
        REQUIRE(opened() != nullptr);
        const bool offered = opened()->actions().contains(test.window.actions()[id]);
        opened()->close();
        QCoreApplication::processEvents();
        return offered;
    };
    CHECK(offers(*jobs.jobList(), ActionId::find_substitutes));
    CHECK(offers(*jobs.jobList(), ActionId::give_up_job));
    CHECK(offers(*jobs.stackTable(), ActionId::insert_row));
    test.window.actions()[ActionId::go_drawers]->trigger();
    DrawersPage& drawers = test.window.drawers();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(offers(*drawers.table(), ActionId::take_readings));
    // A double-click on a line shows what became of it.
    const QModelIndex line = drawers.table()->model()->index(2, 0);
    REQUIRE_FALSE(drawers.history().isVisible());
    emit drawers.table()->doubleClicked(line);
    CHECK(drawers.history().isVisible());
}
