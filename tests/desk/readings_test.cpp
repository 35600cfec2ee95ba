// SPDX-License-Identifier: GPL-3.0-or-later
// Micrometer readings by keys, and reorder sheets that come back.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/readings/readings_dialog.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"
#include "app/services/place_order.h"
#include "app/services/sheets/reorder_sheet.h"
#include "inventory/thickness_reading.h"

#include <QComboBox>
#include <QLineEdit>
#include <QListWidget>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

#include <fstream>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

const std::string disc = "SH-24.0-6-0.10";

struct Bench {
    Bench() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(settle([&] { return !test.window.busy(); }));
        press(test.window, Qt::Key_M, Qt::ControlModifier | Qt::AltModifier);
        REQUIRE(test.window.readings() != nullptr);
        REQUIRE(QTest::qWaitForWindowActive(test.window.readings()));
        dialog().pickLot(disc, "A01", inventory::Condition::fresh);
        before = written();
    }
    ReadingsDialog& dialog() { return *test.window.readings(); }
    void type(const QString& reading) {
        dialog().field()->setFocus();
        QTest::keyClicks(dialog().field(), reading);
        QTest::keyClick(dialog().field(), Qt::Key_Return);
    }
    [[nodiscard]] std::size_t written() {
        return inventory::readingsOfPart(test.window.session().shop(), disc).size();
    }

    DemoShopCopy shop;
    TestWindow test;
    std::size_t before = 0;
};

} // namespace

TEST_CASE(
    "Number, Return, number, Return: mean, spread and distance stand there at once, Ctrl+Return writes") {
    Bench bench;
    ReadingsDialog& dialog = bench.dialog();
    REQUIRE(dialog.focusWidget() == dialog.field());
    bench.type(QStringLiteral("0.101"));
    CHECK_THAT(dialog.verdict().toStdString(), Contains("Reads 0.101, 0.001 above 0.10"));
    bench.type(QStringLiteral("0,105")); // a decimal comma
    CHECK_THAT(dialog.verdict().toStdString(),
               Contains("Reads 0.103 (2 readings, 0.101 to 0.105)") && Contains("standard deviation 0.0028"));
    bench.type(QStringLiteral("0.004 in"));
    CHECK(dialog.remark() == QStringLiteral("0.004 in is 0.102 mm"));
    CHECK(dialog.readings()->count() == 3);
    CHECK(dialog.isVisible()); // Return did not close it
    CHECK(bench.written() == bench.before);
    QTest::keyClick(dialog.field(), Qt::Key_Return, Qt::ControlModifier);
    CHECK(bench.written() == bench.before + 3);
    CHECK(dialog.readings()->count() == 0);
    CHECK_THAT(dialog.strip()->sentence().toStdString(),
               Contains("3 readings of " + disc + " in A01 written down"));
    QTest::keyClick(dialog.field(), Qt::Key_Return, Qt::ControlModifier); // a second time writes nothing
    CHECK(bench.written() == bench.before + 3);
}

TEST_CASE("A slipped digit is refused at once and stays to be put right, and nothing of it is written") {
    Bench bench;
    ReadingsDialog& dialog = bench.dialog();
    for (const char* bad : {"1.01", "0.101x", "-0.1", "0", "0.004"}) {
        INFO(bad);
        dialog.field()->clear();
        bench.type(QLatin1String(bad));
        CHECK(dialog.readings()->count() == 0);
        CHECK_FALSE(dialog.remark().isEmpty());
        CHECK(dialog.field()->text() == QLatin1String(bad));
    }
    dialog.field()->clear();
    bench.type(QStringLiteral("0.100"));
    QTest::keyClicks(dialog.field(), QStringLiteral("0.1")); // half typed
    dialog.book();
    CHECK(bench.written() == bench.before);
    CHECK_THAT(dialog.remark().toStdString(), Contains("still being typed"));
}

TEST_CASE("Readings that are not written down hold closing up once, and do not go to another lot") {
    Bench bench;
    ReadingsDialog& dialog = bench.dialog();
    bench.type(QStringLiteral("0.101"));
    QTest::keyClick(&dialog, Qt::Key_Escape);
    CHECK(dialog.isVisible());
    CHECK_THAT(dialog.strip()->sentence().toStdString(), Contains("not written down"));
    // Another program books something meanwhile: lot and readings stay.
    inventory::addReading(bench.test.window.session().shop(),
                          {disc, "A01", inventory::Condition::fresh, Length::parseMillimetres("0.1"),
                           bench.test.window.session().shop().now()});
    bench.test.window.session().announceChange();
    CHECK(dialog.readings()->count() == 1);
    dialog.lot()->setCurrentIndex(dialog.lot()->currentIndex() + 1);
    CHECK(dialog.readings()->count() == 0);
    CHECK_THAT(dialog.remark().toStdString(), Contains("dropped"));
    QTest::keyClick(&dialog, Qt::Key_Escape);
    CHECK(bench.written() == bench.before + 1);
}

TEST_CASE("A lot that reads too far off is listed, and is taken up from there") {
    Bench bench;
    ReadingsDialog& dialog = bench.dialog();
    const int before = dialog.farOff()->rowCount();
    for (int i = 0; i < 3; ++i) bench.type(QStringLiteral("0.149"));
    CHECK(dialog.verdict().contains(QStringLiteral("beyond")));
    dialog.book();
    REQUIRE(dialog.farOff()->rowCount() == before + 1);
    CHECK(dialog.farOff()->item(0, 0)->text() == QStringLiteral("A01"));
    dialog.lot()->setCurrentIndex(dialog.lot()->count() - 1);
    emit dialog.farOff()->itemActivated(dialog.farOff()->item(0, 0));
    CHECK(dialog.lot()->currentText().startsWith(QStringLiteral("A01: ") + QString::fromStdString(disc)));
}

TEST_CASE("An edited reorder sheet is read back by its key, its packs stand there as typed, and nothing is "
          "ordered") {
    DemoShopCopy shop;
    TestWindow test;
    test.window.show();
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    press(test.window, Qt::Key_0, Qt::ControlModifier);
    ReorderPage& page = test.window.reorder();
    REQUIRE(settle([&] { return page.plan().rowCount() > 0 && !page.busy(); }));
    services::ReorderPlan plan = page.plan().plan();
    const services::ReorderLine changed = plan.orders[0].lines[0];
    const std::string supplier = plan.orders[0].supplier.name;
    services::setPacks(test.window.session().shop(), plan, supplier, changed.part, changed.packs + 7,
                       changed.pack_size);
    const QString file = test.folder.filePath(QStringLiteral("edited.xlsx"));
    services::writeReorderSheet(plan, {file.toStdString(), false}, services::PaperSize::a4, {});
    test.prompts.next_path = file;
    press(test.window, Qt::Key_F9, Qt::ControlModifier);
    CHECK(page.plan().edited());
    CHECK_THAT(page.strip()->sentence().toStdString(),
               Contains("nothing is ordered yet") && Contains("planned " + std::to_string(changed.packs)));
    CHECK(page.plan().plan().orders[0].lines[0].packs == changed.packs + 7);
    CHECK(inventory::PurchaseOrders(test.window.session().shop()).list().empty());
    // A sheet of another kind says so, and the packs stay.
    test.prompts.next_path = test.folder.filePath(QStringLiteral("other.csv"));
    std::ofstream(test.prompts.next_path.toStdString()) << "bin,part\nA01,x\n";
    press(test.window, Qt::Key_F9, Qt::ControlModifier);
    CHECK(page.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(page.plan().plan().orders[0].lines[0].packs == changed.packs + 7);
}
