// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <QFile>
#include <QListWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// Counting on a sheet, by keys alone.
struct Counting {
    Counting() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    inventory::ShopFile& file() { return test.window.session().shop(); }
    CountSheetPanel& panel() { return test.window.drawers().countSheet(); }
    std::int64_t revision() { return inventory::StockLedger(file()).revision(); }
    std::int64_t onHand(const QString& bin, const QString& part) {
        std::int64_t sum = 0;
        for (const auto& lot : inventory::stockSnapshot(file()).lots) {
            sum += lot.bin == bin.toStdString() && lot.part == part.toStdString() ? lot.on_hand : 0;
        }
        return sum;
    }
    /// A sheet as the window writes it, a line a list of cells.
    std::vector<QStringList> written() {
        test.prompts.next_path = shop.file(QStringLiteral("sheet.csv"));
        press(test.window, Qt::Key_T, Qt::ControlModifier | Qt::AltModifier);
        REQUIRE(settle([&] { return !test.window.busy(); }));
        CHECK(test.window.drawers().strip()->kind() == MessageStrip::Kind::done);
        QFile sheet(test.prompts.next_path);
        REQUIRE(sheet.open(QIODevice::ReadOnly));
        std::vector<QStringList> lines;
        for (const QString& line : QString::fromUtf8(sheet.readAll()).split(QStringLiteral("\r\n"))) {
            lines.push_back(line.split(QLatin1Char(',')));
        }
        return lines;
    }
    void read(const std::vector<QStringList>& lines) {
        test.prompts.next_path = shop.file(QStringLiteral("filled in.csv"));
        QFile sheet(test.prompts.next_path);
        REQUIRE(sheet.open(QIODevice::WriteOnly));
        for (const QStringList& line : lines) {
            sheet.write(line.join(QLatin1Char(',')).toUtf8() + "\r\n");
        }
        sheet.close();
        press(test.window, Qt::Key_T, Qt::ControlModifier | Qt::ShiftModifier);
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }

    DemoShopCopy shop;
    TestWindow test;
};

constexpr int bin = 0;
constexpr int part = 1;
constexpr int books = 5;
constexpr int laid_aside = 7;
constexpr int counted_column = 8;
constexpr int reason = 9;

} // namespace

TEST_CASE("A filled-in count sheet is read back, its differences listed, and booked in a second step") {
    Counting counting;
    auto lines = counting.written();
    REQUIRE(lines.size() > 5);
    REQUIRE(lines[0][counted_column] == QStringLiteral("counted"));
    const qint64 before = lines[1][books].toLongLong();
    REQUIRE(before > 0);
    const auto held = counting.onHand(lines[1][bin], lines[1][part]);
    lines[1][counted_column] = QString::number(before - 1);
    lines[1][reason] = QStringLiteral("lost");
    lines[2][counted_column] = lines[2][books]; // agrees
    const auto revision = counting.revision();

    counting.read(lines);
    INFO(counting.panel().summary().toStdString());
    CHECK(counting.panel().summary().contains(QStringLiteral("2 counted")));
    REQUIRE(counting.panel().lines()->count() == 2); // the difference, and the sum by reason
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("1 fewer (lost)")));
    CHECK(counting.panel().lines()->hasFocus());
    CHECK(counting.revision() == revision); // looked at, not booked

    press(counting.test.window, Qt::Key_B, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(settle([&] { return !counting.test.window.busy(); }));
    CHECK(counting.test.window.drawers().strip()->kind() == MessageStrip::Kind::done);
    CHECK(counting.onHand(lines[1][bin], lines[1][part]) == held - 1);
    CHECK(inventory::verifyStock(counting.file()).good());
    CHECK_FALSE(counting.test.window.actions()[ActionId::count_post]->isEnabled()); // not a second time
}

TEST_CASE("A count sheet with bad lines is refused with a sentence for each, and nothing can be booked") {
    Counting counting;
    auto lines = counting.written();
    lines[1][counted_column] = QStringLiteral("seven");
    lines[2][counted_column] = lines[2][books];
    lines[3][counted_column] = QStringLiteral("-1");
    const auto revision = counting.revision();
    counting.read(lines);
    REQUIRE(counting.panel().lines()->count() == 2);
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("counted 'seven'")));
    CHECK(counting.panel().lines()->item(1)->text().contains(QStringLiteral("counted '-1'")));
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("line 2 (") + lines[1][bin]));
    CHECK(counting.panel().summary().contains(QStringLiteral("2 lines")));
    CHECK(counting.panel().lines()->selectedItems().isEmpty()); // none of them is picked for anything
    CHECK_FALSE(counting.test.window.actions()[ActionId::count_post]->isEnabled());

    lines[1][counted_column] = lines[1][books];
    lines[3][counted_column] = lines[3][books];
    lines[3][bin] = QStringLiteral("NOWHERE");
    counting.read(lines);
    REQUIRE(counting.panel().lines()->count() == 1);
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("no bin NOWHERE")));

    // What the good lines would change is shown too, and not booked either.
    lines[2][counted_column] = QString::number(lines[2][books].toLongLong() + 1);
    counting.read(lines);
    REQUIRE(counting.panel().lines()->count() == 3); // the fault, the difference, and the sum by reason
    CHECK(counting.panel().lines()->item(1)->text().contains(QStringLiteral("1 more")));
    CHECK(counting.panel().summary().contains(QStringLiteral("Of the others 1 differs")));
    CHECK_FALSE(counting.test.window.actions()[ActionId::count_post]->isEnabled());
    CHECK(counting.revision() == revision);
}

TEST_CASE("A count sheet that leaves a job short names it before it is booked and after") {
    Counting counting;
    auto lines = counting.written();
    const std::size_t row = 1;
    REQUIRE(lines[row][3] == QStringLiteral("new"));
    inventory::StockLedger(counting.file())
        .reserve("JOB-1001", {{lines[row][part].toStdString(), lines[row][bin].toStdString(),
                               inventory::Condition::fresh, 2}});
    lines[row][counted_column] = QStringLiteral("0");
    lines[row][laid_aside] = QStringLiteral("1");
    counting.read(lines);
    REQUIRE(counting.panel().lines()->count() == 4); // difference, sum, the job, and by which rule
    CHECK(counting.panel().lines()->item(2)->text().startsWith(
        QStringLiteral("JOB-1001 is left short: 1 of ")));
    press(counting.test.window, Qt::Key_B, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(settle([&] { return !counting.test.window.busy(); }));
    CHECK(counting.test.window.drawers().strip()->sentence().contains(
        QStringLiteral("JOB-1001 is left short: 1 of ")));
    CHECK(counting.onHand(lines[row][bin], lines[row][part]) == 1);
    CHECK(inventory::verifyStock(counting.file()).good());
}

TEST_CASE("A count sheet that agrees with the books says so and books nothing") {
    Counting counting;
    auto lines = counting.written();
    lines[1][counted_column] = lines[1][books];
    counting.read(lines);
    CHECK(counting.panel().summary().contains(QStringLiteral("all agree")));
    CHECK_FALSE(counting.panel().lines()->isVisible());
    CHECK_FALSE(counting.test.window.actions()[ActionId::count_post]->isEnabled());
}

TEST_CASE("What is no count sheet, or is not there, is told in place") {
    Counting counting;
    counting.read({{QStringLiteral("dear"), QStringLiteral("customer")}});
    REQUIRE(counting.panel().lines()->count() == 1);
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("no count sheet")));
    counting.test.prompts.next_path = counting.shop.file(QStringLiteral("no such file.csv"));
    press(counting.test.window, Qt::Key_T, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(settle([&] { return !counting.test.window.busy(); }));
    REQUIRE(counting.panel().lines()->count() == 1);
    CHECK(counting.panel().lines()->item(0)->text().contains(QStringLiteral("no such file.csv")));
}
