// SPDX-License-Identifier: GPL-3.0-or-later
// Closing the window in the middle of an entry loses nothing that was typed.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"

#include <QLineEdit>
#include <QSpinBox>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <memory>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// One person's settings, and windows that come and go.
struct Sitting {
    Sitting() : settings(folder.filePath(QStringLiteral("settings.ini"))) { sitDown(); }
    void sitDown() {
        window = std::make_unique<MainWindow>(settings, prompts);
        window->show();
        REQUIRE(QTest::qWaitForWindowActive(window.get()));
        window->openShop(shop.path());
        REQUIRE(settle([&] { return !window->busy(); }));
    }
    void closeAndComeBack() {
        window->close();
        window.reset();
        sitDown();
    }
    void press(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
        testing::press(*window, key, modifiers);
    }

    DemoShopCopy shop;
    QTemporaryDir folder;
    ScriptedPrompts prompts;
    AppSettings settings;
    std::unique_ptr<MainWindow> window;
};

QString rulesText(int seconds) {
    return QStringLiteral("{\"move_face\":true,\"seconds\":%1}").arg(seconds);
}

} // namespace

TEST_CASE("Rules that were set stay set for this shop until they are put back to their defaults") {
    Sitting sitting;
    RulesPanel& rules = sitting.window->jobs().rules();
    CHECK(rules.atDefaults());
    sitting.press(Qt::Key_F5, Qt::ShiftModifier);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Space); // the first one: the face may move
    CHECK_FALSE(rules.rules(0.3, {}).face_od_fixed);
    const auto seconds = rules.findChildren<QSpinBox*>().last();
    const int before = seconds->value();
    seconds->setValue(before + 7);

    sitting.closeAndComeBack();
    RulesPanel& again = sitting.window->jobs().rules();
    CHECK_FALSE(again.rules(0.3, {}).face_od_fixed);
    CHECK(again.text() == rulesText(before + 7));
    again.reset();
    CHECK(again.atDefaults());
    sitting.closeAndComeBack();
    CHECK(sitting.window->jobs().rules().atDefaults());
}

TEST_CASE("A kept rule that cannot be read is at its default, and no rule leaves its range") {
    const Sitting sitting;
    RulesPanel& rules = sitting.window->jobs().rules();
    for (const char* text : {"", "nonsense", "[1, 2]", "{\"no such rule\": 3}"}) {
        INFO(text);
        rules.setText(QString::fromLatin1(text));
        CHECK(rules.atDefaults());
    }
    rules.setText(QStringLiteral("{\"seconds\": 1000000, \"height\": -4}"));
    CHECK(rules.limits().seconds < 1000000);
    CHECK(rules.rules(0.3, {}).height_tolerance.micrometres() >= 0);
}

TEST_CASE("A count that was typed and not booked stands at its line again after the window was closed") {
    Sitting sitting;
    sitting.press(Qt::Key_5, Qt::ControlModifier);
    const auto bin = [&](int row) {
        return sitting.window->drawers().table()->model()->index(row, StockTableModel::bin).data().toString();
    };
    sitting.window->drawers().table()->selectRow(3);
    const QString counted_bin = bin(3);
    sitting.press(Qt::Key_T, Qt::ControlModifier);
    QTest::keyClicks(sitting.window->drawers().count().counted(), QStringLiteral("17"));
    QTest::keyClicks(sitting.window->drawers().count().reason(), QStringLiteral("miscounted twice"));

    sitting.closeAndComeBack();
    DrawersPage& drawers = sitting.window->drawers();
    CHECK(bin(drawers.table()->currentIndex().row()) == counted_bin);
    CHECK(drawers.count().counted()->text() == QStringLiteral("17"));
    CHECK(drawers.count().reason()->text() == QStringLiteral("miscounted twice"));
}

TEST_CASE("A number typed for one line is not taken for another") {
    Sitting sitting;
    sitting.press(Qt::Key_5, Qt::ControlModifier);
    DrawersPage& drawers = sitting.window->drawers();
    drawers.table()->selectRow(0);
    sitting.press(Qt::Key_T, Qt::ControlModifier);
    QTest::keyClicks(drawers.count().counted(), QStringLiteral("17"));
    drawers.table()->selectRow(1);
    CHECK(drawers.count().counted()->text().isEmpty());
    drawers.table()->selectRow(0);
    CHECK(drawers.count().counted()->text() == QStringLiteral("17"));
}

TEST_CASE("A disc that was measured and not put away is found again after the window was closed") {
    Sitting sitting;
    sitting.press(Qt::Key_M, Qt::ControlModifier);
    QTest::keyClicks(sitting.window->drawers().measure().field(), QStringLiteral("23.9 x 6 x 0.148"));
    QTest::keyClick(sitting.window->drawers().measure().field(), Qt::Key_Return);
    QTableWidget& matches = *sitting.window->drawers().measure().matches();
    REQUIRE(matches.rowCount() > 1);
    QTest::keyClick(&matches, Qt::Key_Down);
    const QString part = matches.item(1, MeasurePanel::part)->text();
    sitting.window->drawers().measure().quantity()->setValue(4);
    sitting.window->drawers().measure().bin()->clear();
    QTest::keyClicks(sitting.window->drawers().measure().bin(), QStringLiteral("B0"));

    sitting.closeAndComeBack();
    const MeasurePanel& measure = sitting.window->drawers().measure();
    CHECK(measure.field()->text() == QStringLiteral("23.9 x 6 x 0.148"));
    REQUIRE(measure.matches()->currentRow() == 1);
    CHECK(measure.matches()->item(1, MeasurePanel::part)->text() == part);
    CHECK(measure.quantity()->value() == 4);
    CHECK(measure.bin()->text() == QStringLiteral("B0"));
}

TEST_CASE("What was put away or counted is no unbooked entry any more") {
    Sitting sitting;
    sitting.press(Qt::Key_M, Qt::ControlModifier);
    QTest::keyClicks(sitting.window->drawers().measure().field(), QStringLiteral("23.9 x 6 x 0.148"));
    QTest::keyClick(sitting.window->drawers().measure().field(), Qt::Key_Return);
    QTest::keyClick(sitting.window->drawers().measure().bin(), Qt::Key_Return);
    sitting.press(Qt::Key_5, Qt::ControlModifier);
    sitting.window->drawers().find()->clear();
    sitting.window->drawers().table()->selectRow(0);
    sitting.press(Qt::Key_T, Qt::ControlModifier);
    QTest::keyClicks(sitting.window->drawers().count().counted(), QStringLiteral("17"));
    QTest::keyClick(sitting.window->drawers().count().counted(), Qt::Key_Return);

    sitting.closeAndComeBack();
    CHECK(sitting.window->drawers().measure().field()->text().isEmpty());
    CHECK_FALSE(sitting.window->drawers().count().unbooked().has_value());
    sitting.window->drawers().table()->selectRow(0);
    CHECK(sitting.window->drawers().count().counted()->text().isEmpty());
}

TEST_CASE("A cell of the target that is being typed into when the window closes is kept as an edit") {
    Sitting sitting;
    sitting.window->jobs().pickJob("JOB-1002");
    sitting.press(Qt::Key_2, Qt::ControlModifier);
    QTableView& table = *sitting.window->jobs().stackTable();
    table.setCurrentIndex(table.model()->index(0, StackTableModel::count));
    sitting.press(Qt::Key_9);
    REQUIRE(QApplication::focusWidget() != &table); // the cell is open

    sitting.closeAndComeBack();
    sitting.window->jobs().pickJob("JOB-1002");
    CHECK(sitting.window->jobs().target().draft().edited());
    CHECK(sitting.window->jobs().target().draft().rows().front().count == 9);
}
