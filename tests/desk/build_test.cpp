// SPDX-License-Identifier: GPL-3.0-or-later
// The build sheet: what is laid, what is not there yet, and the end of the job.
#include "bench_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/build_words.h"
#include "app/desk/workshop/caution_band.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/stack_checklist.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_verify.h"

#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QTabWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1002";

struct Bench : JobAtBench {
    void pullAll() {
        press(Qt::Key_7, Qt::ControlModifier);
        while (pull().openLines() > 0) {
            const int before = pull().openLines();
            press(Qt::Key_Return);
            REQUIRE(pull().openLines() < before);
        }
    }
    void goToBuild() { press(Qt::Key_8, Qt::ControlModifier); }
    void layAll() {
        const int boxes = list().rowCount() * list().legs();
        for (int i = 0; i < boxes; ++i) press(Qt::Key_Space);
    }
    inventory::JobStatus status() { return inventory::JobBook(file()).get(job).status; }
    BuildPanel& build() { return test.window.workshop().build(); }
    StackChecklist& list() { return *build().checklist(); }
    QString remark(int row) { return list().item(row, list().columnCount() - 1)->text(); }
};

} // namespace

TEST_CASE("A build is laid leg by leg with Space, recorded by one key, and the job is closed") {
    Bench bench;
    bench.reserve();
    bench.pullAll();
    REQUIRE(bench.list().hasFocus());
    REQUIRE(bench.list().legs() == 2);
    CHECK(bench.build().open().isEmpty());
    const int rows = bench.list().rowCount();
    for (int row = 0; row < rows; ++row) press(Qt::Key_Space);
    CHECK(bench.list().open(1).isEmpty());
    CHECK(bench.list().open(2).size() == rows); // the other leg has ticks of its own
    for (int row = 0; row < rows; ++row) press(Qt::Key_Space);
    CHECK(bench.list().open(2).isEmpty());

    press(Qt::Key_F12);
    REQUIRE(bench.test.prompts.asked.size() >= 1);
    CHECK_FALSE(bench.test.prompts.asked.last().contains(QStringLiteral("not ticked")));
    CHECK_FALSE(bench.test.prompts.asked.last().contains(QStringLiteral("not pulled")));
    CHECK(bench.status() == inventory::JobStatus::closed);
    CHECK(bench.build().strip()->kind() == MessageStrip::Kind::done);
    CHECK(bench.build().strip()->sentence().contains(QStringLiteral("JOB-1002")));
    CHECK(bench.test.window.workshop().pickedJob() != job); // the next one is at the bench
    CHECK(inventory::verifyStock(bench.file()).good());
}

TEST_CASE("A build with rows unticked and lines not pulled names them before it is recorded") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    press(Qt::Key_Return);
    const int to_go = bench.pull().openLines();
    bench.goToBuild();
    CHECK(bench.build().open().contains(QStringLiteral("%1 lines are not pulled yet").arg(to_go)));
    press(Qt::Key_Space);
    const auto before = inventory::StockLedger(bench.file()).revision();

    bench.test.prompts.accept = false;
    press(Qt::Key_F12);
    const QString asked = bench.test.prompts.asked.last();
    CHECK(asked.contains(QStringLiteral("Leg 1: rows 2 to %1 not ticked").arg(bench.list().rowCount())));
    CHECK(asked.contains(QStringLiteral("Leg 2: rows 1 to")));
    CHECK(asked.contains(QStringLiteral("not pulled yet")));
    CHECK(bench.status() == inventory::JobStatus::reserved);
    CHECK(inventory::StockLedger(bench.file()).revision() == before);
    CHECK(bench.list().ticked(0, 1)); // thinking better of it loses nothing

    bench.test.prompts.accept = true;
    press(Qt::Key_F12);
    CHECK(bench.status() == inventory::JobStatus::closed);
    CHECK(bench.build().strip()->sentence().contains(QStringLiteral("Booked as pulled with it")));
    CHECK(inventory::StockLedger(bench.file()).reservationsOf(job).empty());
    CHECK(inventory::verifyStock(bench.file()).good());
}

TEST_CASE("A disc that was given up is named above the build sheet and marked at its row") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    while (bench.pull().purpose().contains(QStringLiteral("row 4 of the stack")) == false) {
        REQUIRE(bench.pull().openLines() > 1);
        press(Qt::Key_Return);
    }
    press(Qt::Key_F2);
    bench.goToBuild();
    CHECK(bench.build().open().startsWith(QStringLiteral("Given up or never there: 2 of 20.0 x 0.15.")));
    CHECK(bench.remark(3).contains(QStringLiteral("2 missing")));
    CHECK_FALSE(bench.remark(2).contains(QStringLiteral("missing")));
    CHECK(bench.remark(0).contains(QStringLiteral("for target row 1")));
    press(Qt::Key_7, Qt::ControlModifier);
    press(Qt::Key_F4);
    bench.goToBuild();
    CHECK_FALSE(bench.remark(3).contains(QStringLiteral("missing")));
    CHECK(bench.remark(3).contains(QStringLiteral("still in A17")));
}

TEST_CASE("Ticks stay with their job while another one is at the bench and after the window was closed") {
    Bench bench;
    bench.reserve();
    bench.goToBuild();
    press(Qt::Key_Space);
    press(Qt::Key_Right);
    press(Qt::Key_Space); // leg 2, row 2
    const QStringList ticks = bench.list().ticks();
    REQUIRE(ticks.join(QString()).count(QLatin1Char('1')) == 2);
    bench.test.window.workshop().pickJob("JOB-1003");
    CHECK(bench.list().ticks().join(QString()).count(QLatin1Char('1')) == 0);
    bench.test.window.workshop().pickJob(job);
    CHECK(bench.list().ticks() == ticks);
    bench.test.window.close();

    MainWindow again(bench.test.settings, bench.test.prompts);
    again.openShop(bench.shop.path());
    again.workshop().pickJob(job);
    CHECK(again.workshop().build().checklist()->ticks() == ticks);
}

TEST_CASE("Ticks of a stack that is built no more are dropped with it") {
    Bench bench;
    bench.reserve();
    bench.goToBuild();
    press(Qt::Key_Space);
    REQUIRE(bench.list().ticked(0, 1));
    inventory::StockLedger(bench.file()).releaseAll(job, "another stack is wanted");
    bench.test.window.session().announceChange();
    CHECK(bench.list().ticks().join(QString()).count(QLatin1Char('1')) == 0); // the target is shown now
    CHECK_FALSE(bench.test.window.actions()[ActionId::build_record]->isEnabled());
}

TEST_CASE("A box is ticked by a press, a row by a press anywhere on it for the leg in work, and a second one "
          "takes it back") {
    Bench bench;
    bench.goToBuild();
    StackChecklist& list = bench.list();
    REQUIRE(list.rowCount() > 2);
    const auto pressAt = [&](int row, int column) {
        QTest::mouseClick(list.viewport(), Qt::LeftButton, {},
                          list.visualItemRect(list.item(row, column)).center());
    };
    const int discs = 1;
    const int second_leg = 3;
    pressAt(1, discs);
    CHECK(list.ticked(1, 1));
    pressAt(1, discs);
    CHECK_FALSE(list.ticked(1, 1));
    pressAt(1, second_leg);
    CHECK(list.ticked(1, 2));
    CHECK_FALSE(list.ticked(1, 1));
    pressAt(2, discs); // leg 2 is in work now
    CHECK(list.ticked(2, 2));
    press(Qt::Key_Space); // on a ticked one
    CHECK_FALSE(list.ticked(2, 2));
    CHECK(list.currentRow() == 2);
}

TEST_CASE("Nothing is recorded for a job without a promised disc, nor from another step") {
    Bench bench;
    bench.goToBuild();
    CHECK_FALSE(bench.test.window.actions()[ActionId::build_record]->isEnabled());
    press(Qt::Key_1, Qt::ControlModifier);
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    CHECK_FALSE(bench.test.window.actions()[ActionId::build_record]->isEnabled());
    bench.goToBuild();
    CHECK(bench.test.window.actions()[ActionId::build_record]->isEnabled());
}

TEST_CASE("Pressure and springs are named where a leg is opened, all cautions where it is built") {
    Bench bench;
    press(Qt::Key_6, Qt::ControlModifier);
    auto* band = bench.test.window.workshop().strip().findChild<CautionBand*>();
    REQUIRE(band != nullptr);
    CHECK(band->isVisible());
    CHECK(band->sentence().contains(QStringLiteral("pressure and spring force")));
    CHECK(band->sentence().contains(QStringLiteral("eye protection")));
    bench.goToBuild();
    bool found = false;
    for (const auto* text : bench.build().findChildren<QPlainTextEdit*>()) {
        if (!text->toPlainText().contains(QStringLiteral("maker's torque"))) continue;
        found = true;
        CHECK(text->isVisible());
        CHECK(text->fontMetrics().height() > bench.build().fontMetrics().height() * 5 / 4);
    }
    CHECK(found);
}

TEST_CASE(
    "A line that was pulled stays in the list as it was to be pulled, and the next keys go with the steps") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    const QString line = bench.pull().list()->item(0)->text().section(QLatin1Char(' '), 1); // after the arrow
    press(Qt::Key_Return);
    CHECK(bench.pull().list()->item(0)->text() == line + QStringLiteral(", pulled"));
    press(Qt::Key_F2);
    CHECK(bench.pull().list()->item(1)->text().endsWith(QStringLiteral(", short")));
    CHECK(bench.pull().strip()->kind() == MessageStrip::Kind::problem);
    QTabWidget* steps = bench.test.window.workshop().steps();
    for (const int step : {4, 1, 2, 3}) {
        press(static_cast<Qt::Key>(Qt::Key_0 + step), Qt::AltModifier);
        CHECK(steps->currentIndex() == step - 1);
    }
}

TEST_CASE("Rows are named in runs") {
    CHECK(rowsText({3}) == QStringLiteral("row 4"));
    CHECK(rowsText({0, 2, 3, 4, 8}) == QStringLiteral("rows 1, 3 to 5, 9"));
}
