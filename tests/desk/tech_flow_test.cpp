// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/stack_checklist.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/strip_text.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"
#include "inventory/strip_record.h"
#include "planner/units/input_error.h"

#include <QLineEdit>
#include <QListWidget>
#include <QTabWidget>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1002";

void type(const QString& text) {
    REQUIRE(QApplication::focusWidget() != nullptr);
    QTest::keyClicks(QApplication::focusWidget(), text);
}

struct Bench : JobAtBench {
    StripPanel& strip() { return test.window.workshop().strip(); }
};

} // namespace

TEST_CASE("A tech goes from the strip sheet to the pulled discs by keys alone", "[server]") {
    Bench bench;
    bench.reserve();

    press(Qt::Key_6, Qt::ControlModifier);
    REQUIRE(bench.strip().entry()->hasFocus());
    REQUIRE(bench.test.window.workshop().pickedJob() == job);
    for (int leg = 1; leg <= 2; ++leg) {
        type(QStringLiteral("5 24 0,099 0.101"));
        press(Qt::Key_Return);
        type(leg == 1 ? QStringLiteral("2 x 18 x 0.15 !1 bent") : QStringLiteral("2 18 0.15"));
        press(Qt::Key_Return);
        CHECK(bench.strip().problem().toStdString().empty());
        REQUIRE(bench.strip().table()->rowCount() == 2);
        CHECK(bench.strip()
                  .table()
                  ->item(0, StripPanel::part)
                  ->text()
                  .contains(QStringLiteral("24.0 x 6.0 x 0.10")));
        CHECK(bench.strip().table()->item(0, StripPanel::readings)->text() == QStringLiteral("0.099  0.101"));
        press(Qt::Key_Return, Qt::ControlModifier);
        INFO(bench.strip().problem().toStdString());
        CHECK(bench.strip().strip()->kind() == MessageStrip::Kind::done);
        press(Qt::Key_L, Qt::ControlModifier);
    }
    const auto sheets = inventory::StripRecords(bench.file()).ofJob(job);
    REQUIRE(sheets.size() == 2);
    CHECK(sheets[0].rows.size() == 2);
    CHECK(sheets[0].rows[1].scrap == 1);

    press(Qt::Key_7, Qt::ControlModifier);
    REQUIRE(bench.pull().scan()->hasFocus());
    const int lines = bench.pull().openLines();
    REQUIRE(lines > 2);
    const QString first = bench.pull().nextBin();
    type(first.toLower()); // as a scanner gives it
    press(Qt::Key_Return);
    CHECK(bench.pull().openLines() < lines);
    CHECK(bench.pull().nextBin() != first);
    press(Qt::Key_F4);
    CHECK(bench.pull().openLines() == lines);
    CHECK(bench.pull().nextBin() == first);
    for (int i = 0; i < lines && bench.pull().openLines() > 0; ++i) {
        press(Qt::Key_Return);
    }
    CHECK(bench.pull().openLines() == 0);
    CHECK(inventory::JobBook(bench.file()).get(job).status == inventory::JobStatus::pulled);
    CHECK(inventory::verifyStock(bench.file()).good());
    CHECK(bench.test.window.workshop().steps()->currentWidget() == &bench.test.window.workshop().build());
    StackChecklist* build = bench.test.window.workshop().build().checklist();
    REQUIRE(build->hasFocus());
    REQUIRE(build->rowCount() > 0);
    press(Qt::Key_Space);
    CHECK(build->ticked(0, 1));

    press(Qt::Key_6, Qt::ControlModifier);
    press(Qt::Key_B, Qt::ControlModifier);
    INFO(bench.strip().strip()->sentence().toStdString());
    CHECK(bench.strip().strip()->kind() == MessageStrip::Kind::done);
    CHECK(inventory::verifyStock(bench.file()).good());
}

TEST_CASE("Return books the line that is shown: new and used discs of one drawer are two") {
    Bench bench;
    inventory::StockLedger ledger(bench.file());
    inventory::StockLot lot;
    for (const auto& held : inventory::stockSnapshot(bench.file(), inventory::PartKind::shim).lots) {
        if (held.condition == inventory::Condition::fresh && held.available() >= 2) lot = held;
    }
    inventory::MovementLine reclaimed;
    reclaimed.part = lot.part;
    reclaimed.bin = lot.bin;
    reclaimed.condition = inventory::Condition::used;
    reclaimed.quantity = 2;
    ledger.post({reclaimed});
    ledger.reserve(job, {{lot.part, lot.bin, inventory::Condition::fresh, 2},
                         {lot.part, lot.bin, inventory::Condition::used, 2}});
    bench.test.window.session().announceChange();
    press(Qt::Key_7, Qt::ControlModifier);
    REQUIRE(bench.pull().openLines() == 2);
    press(Qt::Key_Return);
    CHECK(bench.pull().openLines() == 1);
    REQUIRE(ledger.reservationsOf(job).size() == 1);
    CHECK(ledger.reservationsOf(job).front().condition == inventory::Condition::used);
    press(Qt::Key_F2); // and so does giving up
    CHECK(bench.pull().openLines() == 0);
    press(Qt::Key_F4);
    press(Qt::Key_F4);
    CHECK(bench.pull().openLines() == 2);
    CHECK(inventory::verifyStock(bench.file()).good());
}

TEST_CASE("A wrong scan is told and books nothing") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    const auto before = inventory::StockLedger(bench.file()).revision();
    const int lines = bench.pull().openLines();
    type(QStringLiteral("no-such-drawer"));
    press(Qt::Key_Return);
    CHECK(bench.pull().strip()->kind() == MessageStrip::Kind::problem);
    CHECK(bench.pull().strip()->sentence().contains(QStringLiteral("no-such-drawer")));
    CHECK(bench.pull().openLines() == lines);
    CHECK(inventory::StockLedger(bench.file()).revision() == before);
}

TEST_CASE("A short drawer and one with other discs are given up by one key each, and taken back by one") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    const int lines = bench.pull().openLines();
    const auto promised = inventory::StockLedger(bench.file()).reservationsOf(job);
    press(Qt::Key_F2);
    press(Qt::Key_F3);
    CHECK(bench.pull().openLines() == lines - 2);
    CHECK(bench.pull().strip()->sentence().contains(QStringLiteral("F4")));
    press(Qt::Key_F4);
    press(Qt::Key_F4);
    CHECK(bench.pull().openLines() == lines);
    CHECK(inventory::StockLedger(bench.file()).reservationsOf(job) == promised);
    CHECK(inventory::verifyStock(bench.file()).good());
}

TEST_CASE("A strip sheet half typed when the window closes is there again, also the row that was not taken") {
    const DemoShopCopy shop;
    QTemporaryDir folder;
    ScriptedPrompts prompts;
    AppSettings settings(folder.filePath(QStringLiteral("settings.ini")));
    {
        MainWindow window(settings, prompts);
        window.show();
        window.openShop(shop.path());
        window.workshop().pickJob(job);
        window.workshop().goTo(&window.workshop().strip());
        QTest::keyClicks(window.workshop().strip().entry(), QStringLiteral("5 24 0.1"));
        QTest::keyClick(window.workshop().strip().entry(), Qt::Key_Return);
        QTest::keyClicks(window.workshop().strip().entry(), QStringLiteral("1 22 0."));
        window.close();
    }
    MainWindow window(settings, prompts);
    window.openShop(shop.path());
    window.workshop().pickJob(job);
    CHECK(window.workshop().strip().table()->rowCount() == 1);
    CHECK(window.workshop().strip().entry()->text() == QStringLiteral("1 22 0."));
}

TEST_CASE("A row that is not understood stays in the field with a sentence beneath it") {
    Bench bench;
    press(Qt::Key_6, Qt::ControlModifier);
    type(QStringLiteral("many discs"));
    press(Qt::Key_Return);
    CHECK(bench.strip().problem().contains(QStringLiteral("many discs")));
    CHECK(bench.strip().entry()->text() == QStringLiteral("many discs"));
    CHECK(bench.strip().table()->rowCount() == 0);
}

TEST_CASE("Strip rows are read with decimal commas and inches") {
    const SizeUnit mm = SizeUnit::millimetres, inches = SizeUnit::inches;
    CHECK(stripInMillimetres(QStringLiteral("4 x 23,9 x 0,148"), mm) == QStringLiteral("4 x 23.9 x 0.148"));
    CHECK(stripInMillimetres(QStringLiteral("4 24 0.006in !1 bent in two"), mm) ==
          QStringLiteral("4 x 24.0 x 0.152 !1 bent in two"));
    CHECK(stripInMillimetres(QStringLiteral("4 0,945 0.006 !1 bent in two"), inches) ==
          QStringLiteral("4 x 24.003 x 0.152 !1 bent in two"));
    const QString kept = QStringLiteral("4 x 24.0 x 0.148 0.151");
    CHECK(stripInMillimetres(stripAsTyped(kept, inches), inches) == kept);
    const inventory::StripRow row = readStripRow(QStringLiteral("3 24 0.006\" 0,15"));
    CHECK(row.count == 3);
    REQUIRE(row.readings.size() == 2);
    CHECK(row.readings[0].micrometres() == 152);
    CHECK(readStripRow(stripRowText(row)) == row);
    CHECK_THROWS_AS(readStripRow(QStringLiteral("4")), InputError);
}

TEST_CASE("Where a drawer holds three of four, three are pulled and one is given up, in one step that F4 "
          "takes back") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_7, Qt::ControlModifier);
    inventory::StockLedger ledger(bench.file());
    const auto promised = ledger.reservationsOf(job);
    const auto several = [](const inventory::Reservation& lot) { return lot.quantity > 1; };
    while (!several(ledger.reservationsOf(job).front())) press(Qt::Key_Return);
    const inventory::Reservation next = ledger.reservationsOf(job).front();
    REQUIRE(next.bin == bench.pull().nextBin().toStdString());
    const auto onHand = [&]() -> std::int64_t {
        for (const auto& lot : inventory::stockSnapshot(bench.file(), inventory::PartKind::shim).lots) {
            if (lot.part == next.part && lot.bin == next.bin && lot.condition == next.condition)
                return lot.on_hand;
        }
        return 0;
    };
    const std::int64_t on_hand = onHand();
    std::int64_t wanted = 0;
    for (const auto& lot : ledger.reservationsOf(job)) {
        if (lot.part == next.part && lot.bin == next.bin && lot.condition == next.condition)
            wanted += lot.quantity;
    }
    type(QString::number(wanted)); // all of them is not short
    press(Qt::Key_F2);
    CHECK(bench.pull().strip()->kind() == MessageStrip::Kind::problem);
    CHECK(onHand() == on_hand);
    type(QString::number(wanted - 1)); // the refused one is marked, and typed over
    press(Qt::Key_F2);
    INFO(bench.pull().strip()->sentence().toStdString());
    CHECK(onHand() == on_hand - (wanted - 1));
    for (const auto& lot : ledger.reservationsOf(job))
        CHECK_FALSE((lot.part == next.part && lot.bin == next.bin && lot.condition == next.condition));
    CHECK(bench.pull().scan()->text().isEmpty());
    press(Qt::Key_F4);
    CHECK(onHand() == on_hand);
    CHECK(inventory::verifyStock(bench.file()).good());
    type(QStringLiteral("some"));
    press(Qt::Key_F2);
    CHECK(bench.pull().strip()->sentence().contains(QStringLiteral("no number")));
}

TEST_CASE(
    "A row of a part that the shop does not know is refused in its field, and takes no other row with it") {
    Bench bench;
    press(Qt::Key_6, Qt::ControlModifier);
    for (const char* row : {"5 24 0.100 0.101", "1 22 0.15"}) {
        type(QString::fromLatin1(row));
        press(Qt::Key_Return);
    }
    REQUIRE(bench.strip().table()->rowCount() == 2);
    type(QStringLiteral("1 20 NO-SUCH-PART"));
    press(Qt::Key_Return);
    CHECK(bench.strip().problem().contains(QStringLiteral("NO-SUCH-PART")));
    CHECK(bench.strip().entry()->text() == QStringLiteral("1 20 NO-SUCH-PART"));
    REQUIRE(bench.strip().table()->rowCount() == 2);
    CHECK(bench.strip().table()->item(0, 3)->text().contains(QStringLiteral("0.100")));
}

TEST_CASE("After a build is recorded no key falls on the job that comes next") {
    Bench bench;
    bench.reserve();
    press(Qt::Key_8, Qt::ControlModifier);
    const auto open = inventory::JobBook(bench.file()).list();
    press(Qt::Key_F12);
    REQUIRE(inventory::JobBook(bench.file()).get(job).status == inventory::JobStatus::closed);
    REQUIRE(bench.test.window.workshop().pickedJob() != job);
    const QString next = QString::fromStdString(bench.test.window.workshop().pickedJob().value_or(""));
    press(Qt::Key_Space);
    press(Qt::Key_Escape); // the list of jobs, where it opened
    CHECK(bench.test.settings.drafts().text(QStringLiteral("build/") + next).isEmpty());
    CHECK(QString::fromStdString(bench.test.window.workshop().pickedJob().value_or("")) == next);
}
