// SPDX-License-Identifier: GPL-3.0-or-later
// Another curve than the target's: wished by keys and by its handles, tried, kept, made the target.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/step_table_model.h"
#include "app/desk/jobs/steps_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/jobs/tries_panel.h"
#include "app/desk/jobs/wish_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/stack_view/curve_panel.h"
#include "app/services/job_wishes.h"
#include "app/services/pick_list.h"
#include "inventory/job_book.h"
#include "inventory/stock_verify.h"

#include <QLineEdit>
#include <QListView>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

#include <cmath>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

const std::string job = "JOB-1002"; // of the demo, its target short of a face disc

struct WishDesk {
    WishDesk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(test.window.shopShown());
        jobs().pickJob(job);
        REQUIRE(rested());
    }

    [[nodiscard]] JobsPage& jobs() { return test.window.jobs(); }
    [[nodiscard]] bool rested() {
        return settle([&] { return !test.window.busy(); });
    }
    [[nodiscard]] inventory::ShopFile& file() { return test.window.session().shop(); }
    [[nodiscard]] std::vector<inventory::StackRow> target() {
        return inventory::JobBook(file()).stack(job, inventory::StackRole::target)->rows;
    }
    void type(const char* text) { QTest::keyClicks(QApplication::focusWidget(), QString::fromUtf8(text)); }
    [[nodiscard]] const CurvePanel& curves() { return *jobs().bench().curves(); }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("Softer by a tenth, found and reserved, is five actions by keys alone") {
    WishDesk desk;
    const auto target = desk.target();
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier);
    CHECK(desk.jobs().wish().field()->hasFocus());
    CHECK(desk.curves().wish().points().size() >= 2); // handles at rest and at the working lift, at least
    desk.type("-10");
    press(desk.test.window, Qt::Key_Return);
    REQUIRE(desk.rested());
    REQUIRE_FALSE(desk.jobs().flow().result().proposals.empty());
    CHECK(desk.jobs().proposalTable()->hasFocus());
    CHECK_FALSE(desk.jobs().proposalTable()->isColumnHidden(ProposalTableModel::from_target));
    const planner::SubstituteProposal best = desk.jobs().flow().result().proposals.front();
    // Nearer to what is wanted than to the target's own curve, which a plain substitute would be held to.
    CHECK(best.deviation.max_deviation < 0.05);
    CHECK(best.against_base.signed_deviation < -0.05);
    press(desk.test.window, Qt::Key_F6);
    CHECK(inventory::JobBook(desk.file()).get(job).status == inventory::JobStatus::reserved);
    CHECK(desk.target() == target); // the customer's target stays
    const auto wishes = services::jobWishes(desk.file(), job);
    REQUIRE(wishes.size() == 1);
    CHECK_THAT(wishes.front(), Contains("10 % softer at every lift"));
    CHECK_THAT(services::pickSheet(desk.file(), job).curves.back(), Contains("10 % softer at every lift"));
    CHECK(inventory::verifyStock(desk.file()).good());
}

TEST_CASE("What is typed of a wish is refused in place where it is none, and searched for where it is one") {
    WishDesk desk;
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier);
    desk.type("softer");
    CHECK(desk.jobs().wish().sentence().contains(QStringLiteral("is no number")));
    CHECK_FALSE(desk.jobs().flow().searching());
    press(desk.test.window, Qt::Key_Return);
    CHECK_FALSE(desk.jobs().flow().searching());
    press(desk.test.window, Qt::Key_A, Qt::ControlModifier);
    desk.type("0,12 -10; 0,20 0");
    CHECK(desk.jobs().wish().sentence() ==
          QStringLiteral("Wanted: 10 % softer up to 0.12 mm, the same from 0.20 mm."));
    // It is searched for by itself, and whoever types keeps the focus.
    REQUIRE(settle([&] { return !desk.jobs().flow().result().proposals.empty(); }));
    desk.jobs().flow().stop(); // what is found later is no matter here
    REQUIRE(desk.rested());
    CHECK(desk.jobs().wish().field()->hasFocus());
    CHECK(desk.curves().wish().points().size() == 2);
    // Cleared, nothing of it is left on show.
    press(desk.test.window, Qt::Key_A, Qt::ControlModifier);
    press(desk.test.window, Qt::Key_Backspace);
    REQUIRE(settle([&] { return desk.jobs().flow().result().proposals.empty(); }));
    CHECK(desk.curves().wish().points().empty());
    CHECK(desk.jobs().flow().result().status == planner::SubstituteStatus::not_run);
}

TEST_CASE("The handles of a wish are pulled by the mouse and moved by keys, and the field says the same") {
    WishDesk desk;
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier);
    desk.type("0 0; 0.15 -10; 0.30 0");
    REQUIRE(desk.rested());
    QWidget& plot = *desk.curves().plot();
    const QPoint from = desk.curves().placeOfHandle(1);
    const QPoint level = desk.curves().placeOfHandle(0); // of the same
    QTest::mousePress(&plot, Qt::LeftButton, {}, from);
    QTest::mouseMove(&plot, QPoint(from.x(), (from.y() + level.y()) / 2));
    QTest::mouseRelease(&plot, Qt::LeftButton, {}, QPoint(from.x(), (from.y() + level.y()) / 2));
    REQUIRE(desk.jobs().wish().points().size() == 3);
    CHECK(desk.jobs().wish().points()[1].factor == Approx(0.95).margin(0.011));
    CHECK(desk.jobs().wish().points()[1].lift_mm == Approx(0.15).margin(0.011));
    CHECK(desk.jobs().wish().field()->text().contains(QStringLiteral("; 0.15 -")));
    // It is searched for by itself.
    REQUIRE(settle([&] { return !desk.jobs().flow().result().proposals.empty(); }));
    desk.jobs().flow().stop(); // what is found later is no matter here
    REQUIRE(desk.rested());

    plot.setFocus();
    const double before = desk.jobs().wish().points()[1].factor;
    press(Qt::Key_Down);
    press(Qt::Key_Down, Qt::ShiftModifier);
    CHECK(desk.jobs().wish().points()[1].factor == Approx(before - 0.011));
    press(Qt::Key_Right, Qt::ControlModifier);
    CHECK(desk.jobs().wish().points()[1].lift_mm == Approx(0.16));
    press(Qt::Key_Insert); // half-way to the next one
    CHECK(desk.jobs().wish().points().size() == 4);
    CHECK(desk.jobs().wish().points()[2].lift_mm == Approx(0.23));
    press(Qt::Key_Delete);
    CHECK(desk.jobs().wish().points().size() == 3);
    press(Qt::Key_Right);
    press(Qt::Key_Right, Qt::ControlModifier); // beyond the working lift there is nothing
    CHECK(desk.jobs().wish().points().back().lift_mm == Approx(0.30));
    // A handle may not pass its neighbour.
    for (int i = 0; i < 40; ++i) press(Qt::Key_Left, Qt::ControlModifier);
    const auto& points = desk.jobs().wish().points();
    for (std::size_t i = 1; i < points.size(); ++i) CHECK(points[i].lift_mm > points[i - 1].lift_mm + 0.009);
    REQUIRE(desk.rested());
}

TEST_CASE("A wish outlives the window and belongs to its job") {
    WishDesk desk;
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier);
    desk.type("-7");
    REQUIRE(desk.rested());
    desk.jobs().pickJob("JOB-1001");
    REQUIRE(desk.rested());
    CHECK(desk.jobs().wish().field()->text().isEmpty());
    CHECK(desk.curves().wish().points().empty());
    desk.jobs().pickJob(job);
    REQUIRE(desk.rested());
    CHECK(desk.jobs().wish().field()->text() == QStringLiteral("-7"));
    CHECK(desk.curves().wish().points().size() == 1);
    desk.test.window.openShop(desk.shop.path()); // anew
    desk.jobs().pickJob(job);
    REQUIRE(desk.rested());
    CHECK(desk.jobs().wish().field()->text() == QStringLiteral("-7"));
}

TEST_CASE(
    "Proposals are sorted by any column, laid over one another, and what is accepted is what is picked") {
    WishDesk desk;
    press(desk.test.window, Qt::Key_F5);
    REQUIRE(desk.rested());
    QTableView& table = *desk.jobs().proposalTable();
    const auto& found = desk.jobs().flow().result().proposals;
    REQUIRE(found.size() > 2);
    table.sortByColumn(ProposalTableModel::deviation, Qt::DescendingOrder);
    table.selectRow(0); // the furthest now
    REQUIRE(desk.rested());
    const QString last = QString::number(found.size());
    CHECK(table.model()->headerData(0, Qt::Vertical, Qt::DisplayRole).toString() == last);
    table.selectionModel()->select(table.model()->index(1, 0),
                                   QItemSelectionModel::Select | QItemSelectionModel::Rows);
    press(desk.test.window, Qt::Key_F6);
    REQUIRE(desk.test.prompts.asked.size() == 1);
    CHECK(desk.test.prompts.asked.front().contains(QStringLiteral("proposal %1 ").arg(last)));
}

TEST_CASE("A step that is picked is drawn, and with Return it is the edited target") {
    WishDesk desk;
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(desk.rested());
    QTableView& table = *desk.jobs().steps().table();
    INFO(desk.jobs().steps().sentence().toStdString());
    REQUIRE(table.model()->rowCount() > 5);
    table.setFocus();
    table.sortByColumn(StepTableModel::full, Qt::DescendingOrder); // the stiffest first
    table.selectRow(0);
    REQUIRE(desk.rested());
    REQUIRE(desk.jobs().bench().laidOut());
    // By the curves that are drawn it does what the table says, to a rounding of a tenth of a per cent.
    const double said = table.model()
                            ->index(0, StepTableModel::middle)
                            .data()
                            .toString()
                            .section(QLatin1Char(' '), 0, 0)
                            .toDouble();
    const QString reading = desk.curves().reading(0.15); // still round
    const double drawn =
        reading.section(QStringLiteral("deviation "), 1).section(QLatin1Char(' '), 0, 0).toDouble();
    INFO(reading.toStdString());
    CHECK(said > 0);
    CHECK(drawn == Approx(said).margin(0.3));
    // One that leaves the clamp alone becomes a draft, which can be undone.
    for (int row = 0; row < table.model()->rowCount(); ++row) {
        if (!table.model()
                 ->index(row, StepTableModel::what)
                 .data()
                 .toString()
                 .startsWith(QStringLiteral("one more")))
            continue;
        table.selectRow(row);
        break;
    }
    press(Qt::Key_Return);
    CHECK(desk.jobs().target().draft().edited());
    press(desk.test.window, Qt::Key_Z, Qt::ControlModifier);
    CHECK_FALSE(desk.jobs().target().draft().edited());
}

TEST_CASE("What was tried is kept beside the target, compared, made the target or thrown away") {
    WishDesk desk;
    const auto before = desk.target();
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier);
    desk.type("-10");
    press(desk.test.window, Qt::Key_Return);
    REQUIRE(desk.rested());
    press(desk.test.window, Qt::Key_Y, Qt::ControlModifier); // keep what lies beside the target
    CHECK(desk.jobs().strip()->sentence().contains(QStringLiteral("Try 1")));
    press(desk.test.window, Qt::Key_Down);
    REQUIRE(desk.rested());
    press(desk.test.window, Qt::Key_Y, Qt::ControlModifier);
    CHECK(desk.target() == before);
    REQUIRE(inventory::StackTries(desk.file()).ofJob(job).size() == 2);
    CHECK(inventory::StackTries(desk.file()).ofJob(job).front().wanted == "0:0.9");

    // One is thrown away, the other becomes the target.
    press(desk.test.window, Qt::Key_W, Qt::ControlModifier | Qt::AltModifier);
    QTableWidget& table = *desk.jobs().tries().table();
    REQUIRE(table.rowCount() == 2);
    table.selectRow(1);
    REQUIRE(desk.rested());
    press(desk.test.window, Qt::Key_Y, Qt::ControlModifier | Qt::AltModifier);
    CHECK(inventory::StackTries(desk.file()).ofJob(job).size() == 1);
    REQUIRE(table.rowCount() == 1);
    table.selectRow(0);
    REQUIRE(desk.rested());
    const auto tried = inventory::StackTries(desk.file()).ofJob(job).front().rows;
    press(desk.test.window, Qt::Key_Y, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(desk.test.prompts.asked.back().contains(textOf(job)));
    CHECK(desk.target() == tried);
    CHECK(desk.jobs().wish().field()->text().isEmpty()); // it was held against the target that was
    REQUIRE(desk.rested());
    const auto wishes = services::jobWishes(desk.file(), job);
    REQUIRE(wishes.size() == 1);
    CHECK_THAT(wishes.front(), Contains("10 % softer at every lift, against the target that was"));
    CHECK(inventory::StackTries(desk.file()).ofJob(job).size() ==
          3); // the try, the target before, the new one
}
