// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/job_book.h"
#include "inventory/wear_finding.h"

#include <QComboBox>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QSpinBox>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1003";

struct Inspection {
    Inspection() {
        test.window.show();
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        test.window.jobs().pickJob(job);
        REQUIRE(settle([&] { return !test.window.busy(); }));
        press(Qt::Key_9, Qt::ControlModifier);
        REQUIRE(panel().table()->hasFocus());
        REQUIRE(panel().table()->rowCount() > 4);
    }
    InspectPanel& panel() { return test.window.workshop().inspect(); }
    std::vector<inventory::WearFinding> found() {
        return inventory::WearBook(test.window.session().shop()).ofJob(job);
    }
    QString cell(int row, int column) { return panel().table()->item(row, column)->text(); }
    void goToRow(int row) {
        press(Qt::Key_Home, Qt::ControlModifier);
        for (int i = 0; i < row; ++i) press(Qt::Key_Down);
        REQUIRE(panel().table()->currentRow() == row);
    }
    int rowOf(const QString& what) {
        for (int row = 0; row < panel().table()->rowCount(); ++row) {
            if (cell(row, 1).contains(what)) return row;
        }
        return -1;
    }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("An inspection is written down by keys: a bushing replaced, a seal put off, the rest kept, then "
          "the kit") {
    Inspection at;
    const int rows = at.panel().table()->rowCount();
    const int bushing = at.rowOf(QStringLiteral("bushing"));
    const int seal = at.rowOf(QStringLiteral("dust seal"));
    REQUIRE(bushing >= 0);
    REQUIRE(seal > bushing);

    at.goToRow(bushing);
    press(Qt::Key_R);
    REQUIRE(at.panel().percent()->hasFocus());
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("70"));
    at.panel().reason()->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("worn"));
    press(Qt::Key_Return);
    INFO(at.panel().strip()->sentence().toStdString());
    REQUIRE(at.found().size() == 1);
    CHECK(at.found()[0].worn_percent == 70);
    CHECK(at.found()[0].decision == inventory::WearDecision::replace);
    CHECK(at.panel().table()->currentRow() == bushing + 1); // on to the next

    at.goToRow(seal);
    press(Qt::Key_D);
    REQUIRE(at.panel().reason()->hasFocus());
    press(Qt::Key_Return); // without a reason
    CHECK(at.panel().strip()->kind() == MessageStrip::Kind::problem);
    CHECK(at.found().size() == 1);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("lip still soft"));
    press(Qt::Key_Return, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(at.found().size() == 2);
    CHECK(at.cell(seal, 3) == QStringLiteral("defer"));

    press(Qt::Key_K, Qt::ControlModifier | Qt::ShiftModifier); // while others were not looked at
    CHECK(at.panel().strip()->kind() == MessageStrip::Kind::problem);
    for (int row = 0; row + 1 < rows; ++row) {
        if (!at.cell(row, 3).contains(QStringLiteral("not looked at"))) continue;
        at.goToRow(row);
        press(Qt::Key_K);
    }
    CHECK(at.found().size() == static_cast<std::size_t>(rows) - 1);
    press(Qt::Key_K, Qt::ControlModifier | Qt::ShiftModifier);
    INFO(at.panel().strip()->sentence().toStdString());
    CHECK(at.panel().strip()->kind() == MessageStrip::Kind::done);
    CHECK(at.panel().kit()->toPlainText().contains(QStringLiteral("worn")));
    CHECK(at.panel().kit()->toPlainText().contains(QStringLiteral("lip still soft")));
    const auto kit = inventory::JobBook(at.test.window.session().shop()).consumables(job);
    CHECK(std::any_of(kit.begin(), kit.end(), [](const auto& line) { return line.part.starts_with("BU-"); }));
    CHECK(
        std::none_of(kit.begin(), kit.end(), [](const auto& line) { return line.part.starts_with("DS-"); }));
}

TEST_CASE("A place that no list names is looked at in the last line, and a half-typed finding outlives the "
          "window") {
    Inspection at;
    at.goToRow(at.panel().table()->rowCount() - 1);
    press(Qt::Key_K); // a place needs its name first
    REQUIRE(QApplication::focusWidget() != nullptr);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("chrome"));
    press(Qt::Key_Return, Qt::ControlModifier | Qt::ShiftModifier);
    INFO(at.panel().strip()->sentence().toStdString());
    REQUIRE(at.found().size() == 1);
    CHECK(at.found()[0].place == "chrome");
    const int bushing = at.rowOf(QStringLiteral("bushing"));
    at.goToRow(bushing);
    press(Qt::Key_R);
    at.panel().reason()->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("half a sen"));
    at.test.window.close();

    MainWindow again(at.test.settings, at.test.prompts);
    again.show();
    again.openShop(at.shop.path());
    again.jobs().pickJob(job);
    REQUIRE(settle([&] { return !again.busy(); }));
    again.workshop().pickJob(job);
    again.workshop().inspect().table()->setCurrentCell(bushing, 0);
    CHECK(again.workshop().inspect().reason()->text() == QStringLiteral("half a sen"));
}

TEST_CASE("One key does not throw over what was found: a seal that leaks is not kept by K alone") {
    Inspection at;
    const int seal = at.rowOf(QStringLiteral("dust seal"));
    at.goToRow(seal);
    press(Qt::Key_R);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("leaks"));
    press(Qt::Key_Return, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(at.found().size() == 1);
    at.goToRow(seal);
    press(Qt::Key_K);
    REQUIRE(at.found().size() == 1);
    CHECK(at.found()[0].decision == inventory::WearDecision::replace);
    CHECK(at.found()[0].reason == "leaks");
    CHECK(at.panel().strip()->sentence().contains(QStringLiteral("replace")));
    press(Qt::Key_Return); // in the form: now it is meant
    CHECK(at.found()[0].decision == inventory::WearDecision::keep);
}
