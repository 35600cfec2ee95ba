// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/shop_session.h"
#include "app/services/stock_level.h"
#include "inventory/bin.h"
#include "inventory/stock_history.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <QComboBox>
#include <QHeaderView>
#include <QLineEdit>
#include <QListView>
#include <QListWidget>
#include <QPushButton>
#include <QSpinBox>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <algorithm>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

struct Drawers {
    Drawers() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        (void)test.window.drawers().table(); // reads the drawers
        REQUIRE(settle([&] { return !test.window.busy() && !test.window.drawers().busy(); }));
    }
    DrawersPage& page() { return test.window.drawers(); }
    inventory::ShopFile& file() { return test.window.session().shop(); }
    QString cell(int row, int column) {
        return page().table()->model()->index(row, column).data().toString();
    }
    void press(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
        testing::press(test.window, key, modifiers);
    }
    std::int64_t onHand(const std::string& part, const std::string& bin, inventory::Condition condition) {
        std::int64_t sum = 0;
        for (const inventory::StockLot& lot : inventory::stockSnapshot(file()).lots) {
            sum += lot.part == part && lot.bin == bin && lot.condition == condition ? lot.on_hand : 0;
        }
        return sum;
    }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("The drawers are narrowed to what is low, gone or reserved, and to one cabinet") {
    Drawers drawers;
    const int all = drawers.page().table()->model()->rowCount();
    drawers.page().shownBox()->setCurrentIndex(static_cast<int>(StockFilterModel::Shown::low));
    const int low = drawers.page().table()->model()->rowCount();
    CHECK(low > 0);
    CHECK(low < all);
    drawers.page().shownBox()->setCurrentIndex(static_cast<int>(StockFilterModel::Shown::out));
    for (int row = 0; row < drawers.page().table()->model()->rowCount(); ++row) {
        CHECK(drawers.cell(row, StockTableModel::on_hand) == QStringLiteral("0"));
    }
    drawers.page().shownBox()->setCurrentIndex(0);
    REQUIRE(drawers.page().cabinetBox()->count() > 2);
    drawers.page().cabinetBox()->setCurrentIndex(1);
    CHECK(drawers.page().table()->model()->rowCount() < all);
    const auto& boxes = drawers.page().cabinet().boxes();
    REQUIRE(boxes.size() > 3);
    for (std::size_t i = 1; i < boxes.size(); ++i) {
        CHECK(boxes[i].bin != boxes[i - 1].bin); // a drawer is drawn once
    }
}

TEST_CASE("The drawers call low what the reorder page buys, and tell which job is short of what") {
    Drawers drawers;
    const auto levels = services::stockLevels(drawers.file());
    int low = 0;
    int short_for_jobs = 0;
    for (int row = 0; row < drawers.page().table()->model()->rowCount(); ++row) {
        const auto& level = levels.at(drawers.cell(row, StockTableModel::part).toStdString());
        const QString state = drawers.cell(row, StockTableModel::state);
        INFO(drawers.cell(row, StockTableModel::part).toStdString() << ": " << state.toStdString());
        const bool none_left = drawers.cell(row, StockTableModel::on_hand) == QStringLiteral("0");
        const bool is_short = level.short_for_jobs > 0;
        CHECK(state.contains(QStringLiteral("low")) == (level.low && !is_short && !none_left));
        CHECK(state.contains(QStringLiteral("short for ") +
                             QString::fromStdString(level.jobs.empty() ? "?" : level.jobs.front())) ==
              is_short);
        low += level.low ? 1 : 0;
        short_for_jobs += is_short ? 1 : 0;
    }
    REQUIRE(low > 0);
    REQUIRE(short_for_jobs > 0);
    drawers.page().shownBox()->setCurrentIndex(static_cast<int>(StockFilterModel::Shown::short_for_jobs));
    CHECK(drawers.page().table()->model()->rowCount() == short_for_jobs);
    drawers.page().shownBox()->setCurrentIndex(static_cast<int>(StockFilterModel::Shown::low));
    CHECK(drawers.page().table()->model()->rowCount() == low);
}

TEST_CASE("How many there are and whether that will do stand beside the size, at any width") {
    Drawers drawers;
    const QHeaderView& header = *drawers.page().table()->horizontalHeader();
    int place = 0;
    for (const int column : {StockTableModel::bin, StockTableModel::size, StockTableModel::on_hand,
                             StockTableModel::available, StockTableModel::state}) {
        CHECK(header.visualIndex(column) == place++);
    }
    CHECK_FALSE(drawers.page().table()->isColumnHidden(StockTableModel::kind));
    drawers.page().find()->setText(QStringLiteral("shim 24"));
    CHECK(drawers.page().table()->isColumnHidden(StockTableModel::kind)); // all are shims
}

TEST_CASE("A size that is typed finds discs of that size, not counts or codes, and the cabinet shows where") {
    Drawers drawers;
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    drawers.page().find()->setText(QStringLiteral("24 0.1"));
    const int found = drawers.page().table()->model()->rowCount();
    REQUIRE(found > 0);
    QStringList bins;
    for (int row = 0; row < found; ++row) {
        CHECK(drawers.cell(row, StockTableModel::size).startsWith(QStringLiteral("24.0 x ")));
        CHECK(drawers.cell(row, StockTableModel::size).endsWith(QStringLiteral(" x 0.10")));
        bins << drawers.cell(row, StockTableModel::bin);
    }
    for (const DrawerBox& box : drawers.page().cabinet().boxes()) {
        INFO(box.bin.toStdString());
        CHECK(box.found == bins.contains(box.bin));
    }
    drawers.page().find()->clear();
    for (const DrawerBox& box : drawers.page().cabinet().boxes()) CHECK(box.found);
}

TEST_CASE("The search everywhere finds what the drawers find, whole sizes before what only begins so") {
    Drawers drawers;
    drawers.page().find()->setText(QStringLiteral("24 0.1"));
    const int in_table = drawers.page().table()->model()->rowCount();
    drawers.page().find()->clear();
    drawers.press(Qt::Key_K, Qt::ControlModifier);
    QListWidget& list = *drawers.test.window.search()->list();
    drawers.test.window.search()->field()->setText(QStringLiteral("24 0.1"));
    CHECK(list.count() == in_table);
    bool used = false;
    for (int row = 0; row < list.count(); ++row) {
        CHECK(list.item(row)->text().startsWith(QStringLiteral("shim 24.0 x ")));
        CHECK(list.item(row)->text().contains(QStringLiteral(" x 0.10, bin ")));
        used = used || list.item(row)->text().contains(QStringLiteral("used"));
    }
    CHECK(used); // new and used discs of one size can be told apart
    drawers.test.window.search()->field()->setText(QStringLiteral("job"));
    REQUIRE(list.count() > 1);
    CHECK(list.item(0)->text().startsWith(QStringLiteral("JOB-")));
}

TEST_CASE("An empty drawer stands in its cabinet too, and walking onto it leaves what was typed") {
    Drawers drawers;
    inventory::BinList(drawers.file())
        .add({"A01B", "A", inventory::BinList(drawers.file()).get("A01").walking_order, ""});
    drawers.test.window.session().announceChange();
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    CabinetView& cabinet = drawers.page().cabinet();
    REQUIRE(cabinet.boxes().size() > 2);
    REQUIRE(cabinet.boxes()[1].bin == QStringLiteral("A01B"));
    CHECK(cabinet.boxes()[1].contents.isEmpty());
    drawers.page().find()->setText(QStringLiteral("shim"));
    cabinet.setFocus();
    cabinet.setCurrent(cabinet.boxes()[0].bin);
    QTest::keyClick(&cabinet, Qt::Key_Right);
    CHECK(cabinet.current() == QStringLiteral("A01B"));
    CHECK(cabinet.accessibleDescription().contains(QStringLiteral("empty")));
    CHECK(drawers.page().find()->text() == QStringLiteral("shim"));
    QTest::keyClick(&cabinet, Qt::Key_Down);
    QTest::keyClick(&cabinet, Qt::Key_Up);
    CHECK(cabinet.current() == QStringLiteral("A01B")); // there and back
}

TEST_CASE("Walking through the cabinet by arrow keys opens the drawer's line") {
    Drawers drawers;
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    CabinetView& cabinet = drawers.page().cabinet();
    cabinet.setFocus();
    CHECK(cabinet.current() == cabinet.boxes()[0].bin); // as the table has it
    QTest::keyClick(&cabinet, Qt::Key_Right);
    CHECK(cabinet.current() == cabinet.boxes()[1].bin);
    CHECK(drawers.cell(drawers.page().table()->currentIndex().row(), StockTableModel::bin) ==
          cabinet.current());
    CHECK(cabinet.accessibleDescription().contains(cabinet.current()));
    drawers.page().find()->setText(QStringLiteral("f13")); // in the last of the cabinets
    drawers.page().table()->selectRow(0);
    CHECK(cabinet.current() == QStringLiteral("F13"));
    CHECK(cabinet.visibleRegion().contains(cabinet.currentPlace().center())); // it is scrolled to
}

TEST_CASE("A measured disc is found, named with what it is off by, and put away as used") {
    Drawers drawers;
    drawers.press(Qt::Key_M, Qt::ControlModifier);
    MeasurePanel& measure = drawers.page().measure();
    REQUIRE(measure.field()->hasFocus());
    QTest::keyClicks(measure.field(), QStringLiteral("23,9 x 6 x 0.148"));
    QTest::keyClick(measure.field(), Qt::Key_Return);
    REQUIRE(measure.matches()->rowCount() > 0);
    CHECK(measure.matches()->item(0, MeasurePanel::what)->text() == QStringLiteral("24.0 x 6.0 x 0.15"));
    QStringList offs;
    for (int column = MeasurePanel::first_off; column < measure.matches()->columnCount(); ++column) {
        offs << measure.matches()->horizontalHeaderItem(column)->text() + QLatin1Char(' ') +
                    measure.matches()->item(0, column)->text();
    }
    CHECK(offs ==
          QStringList{QStringLiteral("OD off (mm) -0.10"), QStringLiteral("Thickness off (mm) -0.002")});
    const std::string part = measure.matches()->item(0, MeasurePanel::part)->text().toStdString();
    // The table picks the same part and goes on showing the others.
    const int row = drawers.page().table()->currentIndex().row();
    CHECK(drawers.cell(row, StockTableModel::part).toStdString() == part);
    CHECK(drawers.page().find()->text().isEmpty());
    const std::string bin = measure.bin()->text().toStdString();
    REQUIRE_FALSE(bin.empty());
    const auto before = drawers.onHand(part, bin, inventory::Condition::used);
    measure.quantity()->setValue(3);
    measure.putAwayButton()->click();
    INFO(measure.remark().toStdString());
    CHECK(drawers.onHand(part, bin, inventory::Condition::used) == before + 3);
    CHECK(drawers.page().strip()->kind() == MessageStrip::Kind::done);
    measure.field()->setText(QStringLiteral("nothing"));
    QTest::keyClick(measure.field(), Qt::Key_Return);
    CHECK(measure.matches()->rowCount() == 0);
    CHECK(measure.remark().contains(QStringLiteral("nothing")));
}

TEST_CASE("Counting goes from line to line by number and Return, and books only what differs") {
    Drawers drawers;
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    drawers.page().table()->selectRow(0);
    const std::string part = drawers.cell(0, StockTableModel::part).toStdString();
    const std::string bin = drawers.cell(0, StockTableModel::bin).toStdString();
    const qint64 books = drawers.cell(0, StockTableModel::on_hand).toLongLong();
    drawers.press(Qt::Key_T, Qt::ControlModifier);
    CountPanel& count = drawers.page().count();
    REQUIRE(count.counted()->hasFocus());
    // A count that knows the answer is no count.
    CHECK(drawers.page().table()->isColumnHidden(StockTableModel::on_hand));
    CHECK(drawers.page().table()->isColumnHidden(StockTableModel::available));
    const auto before = inventory::StockLedger(drawers.file()).revision();
    QTest::keyClicks(count.counted(), QString::number(books));
    QTest::keyClick(count.counted(), Qt::Key_Return);
    CHECK(inventory::StockLedger(drawers.file()).revision() == before);
    CHECK(drawers.page().table()->currentIndex().row() == 1);
    drawers.page().table()->selectRow(0);
    QTest::keyClicks(count.counted(), QString::number(books + 2));
    QTest::keyClick(count.counted(), Qt::Key_Return);
    INFO(count.remark().toStdString());
    CHECK(drawers.onHand(part, bin, inventory::Condition::fresh) == books + 2);
    const auto entries = inventory::StockHistory(drawers.file()).ofPart(part);
    REQUIRE_FALSE(entries.empty());
    CHECK(entries.back().reason == "counted, no reason given"); // none is made up
    CHECK(inventory::verifyStock(drawers.file()).good());
    QTest::keyClicks(count.counted(), QStringLiteral("a few"));
    QTest::keyClick(count.counted(), Qt::Key_Return);
    CHECK(count.remark().contains(QStringLiteral("a few")));
    drawers.press(Qt::Key_H, Qt::ControlModifier);
    CHECK_FALSE(drawers.page().table()->isColumnHidden(StockTableModel::on_hand));
}

TEST_CASE(
    "Counting a drawer that jobs hold asks for their trays, posts, and names the job that is left short") {
    Drawers drawers;
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    drawers.page().table()->selectRow(0);
    const std::string part = drawers.cell(0, StockTableModel::part).toStdString();
    const std::string bin = drawers.cell(0, StockTableModel::bin).toStdString();
    const qint64 books = drawers.cell(0, StockTableModel::on_hand).toLongLong();
    REQUIRE(books >= 4);
    drawers.press(Qt::Key_T, Qt::ControlModifier);
    CountPanel& count = drawers.page().count();
    CHECK_FALSE(count.laidAside()->isVisible()); // nothing is reserved: no tray to look into
    inventory::StockLedger ledger(drawers.file());
    ledger.reserve("JOB-1001", {{part, bin, inventory::Condition::fresh, 4}});
    drawers.test.window.session().announceChange();
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    drawers.page().table()->selectRow(1);
    drawers.page().table()->selectRow(0);
    REQUIRE(count.laidAside()->isVisible());
    // Three of the four lie in the tray; the drawer is empty, so one is lost.
    QTest::keyClicks(count.counted(), QStringLiteral("0"));
    QTest::keyClicks(count.laidAside(), QStringLiteral("3"));
    QTest::keyClick(count.laidAside(), Qt::Key_Return);
    INFO(count.remark().toStdString());
    CHECK(count.remark().contains(QStringLiteral("3 laid aside")));
    CHECK(count.remark().contains(QStringLiteral("JOB-1001 is left short: 1 of ")));
    CHECK(count.remark().contains(QStringLiteral("least urgent job loses first")));
    CHECK(drawers.onHand(part, bin, inventory::Condition::fresh) == 3);
    CHECK(ledger.reservationsOf("JOB-1001").at(0).quantity == 3);
    CHECK(inventory::verifyStock(drawers.file()).good());
    // The job is marked where jobs are listed, until it is released.
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    const auto situation = [&] {
        const auto* jobs = drawers.test.window.jobs().jobList()->model();
        for (int row = 0; row < jobs->rowCount(); ++row) {
            if (jobs->index(row, JobTableModel::code).data().toString() == QStringLiteral("JOB-1001"))
                return jobs->index(row, JobTableModel::situation).data().toString();
        }
        return QString();
    };
    CHECK(situation() == QStringLiteral("reserved, short since a count"));
    ledger.releaseAll("JOB-1001", "plan again");
    drawers.test.window.session().announceChange();
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    CHECK_FALSE(situation().contains(QStringLiteral("short since a count")));
}

TEST_CASE("The history of a part is told the latest first, and a movement is undone with a reason") {
    Drawers drawers;
    drawers.press(Qt::Key_5, Qt::ControlModifier);
    drawers.page().table()->selectRow(0);
    const std::string part = drawers.cell(0, StockTableModel::part).toStdString();
    const std::string bin = drawers.cell(0, StockTableModel::bin).toStdString();
    inventory::MovementLine line;
    line.part = part;
    line.bin = bin;
    line.quantity = 4;
    line.reason = "found under the bench";
    inventory::StockLedger(drawers.file()).post({line});
    drawers.test.window.session().announceChange();
    REQUIRE(settle([&] { return !drawers.test.window.busy(); }));
    drawers.press(Qt::Key_H, Qt::ControlModifier);
    HistoryPanel& history = drawers.page().history();
    REQUIRE(history.table()->hasFocus());
    REQUIRE(history.table()->rowCount() > 1);
    CHECK(history.table()->item(0, HistoryPanel::change)->text() == QStringLiteral("+4"));
    CHECK(history.table()->item(0, HistoryPanel::where)->text().toStdString() == bin);
    CHECK(history.table()->item(0, HistoryPanel::what)->text() ==
          QStringLiteral("came (found under the bench)"));
    history.table()->selectRow(0);
    CHECK_FALSE(history.undoButton()->isEnabled());
    CHECK(history.undoButton()->toolTip().contains(QStringLiteral("why"))); // what is missing is told
    CHECK_FALSE(history.undoButton()->isEnabled());                         // not without a reason
    const auto before = drawers.onHand(part, bin, inventory::Condition::fresh);
    history.reason()->setText(QStringLiteral("counted twice"));
    history.undoButton()->click();
    CHECK(drawers.onHand(part, bin, inventory::Condition::fresh) == before - 4);
    history.subject()->setCurrentIndex(1);
    CHECK(history.table()->rowCount() > 1);
}

TEST_CASE("A large shop's drawers are read in the background, and a search that is open fills up") {
    const DemoShopCopy shop;
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.prompts.next_path = test.folder.filePath(QStringLiteral("empty.db"));
    test.window.actions()[ActionId::new_shop]->trigger();
    test.window.setReadInBackgroundFrom(0); // as if every shop were large
    test.window.openShop(shop.path());
    press(test.window, Qt::Key_K, Qt::ControlModifier);
    QTest::keyClicks(test.window.search()->field(), QStringLiteral("shim 24.0 a0"));
    CHECK(test.window.search()->list()->count() == 0);
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.search()->list()->count() > 0);
    CHECK(test.window.search()->field()->text() == QStringLiteral("shim 24.0 a0"));
    CHECK(test.window.drawers().table()->model()->rowCount() > 50);
}
