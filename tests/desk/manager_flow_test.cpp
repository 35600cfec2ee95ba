// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"
#include "office.h"

#include "app/desk/desk_actions.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_verify.h"

#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// To the column of the current row, by the arrow keys.
void moveTo(const QTableView& table, int column) {
    while (table.currentIndex().column() < column) {
        const int before = table.currentIndex().column();
        press(Qt::Key_Right);
        REQUIRE(table.currentIndex().column() > before);
    }
}

void typeOver(const QString& text) {
    QTest::keyClicks(QApplication::focusWidget(), text.left(1)); // begins to edit
    REQUIRE(QApplication::focusWidget() != nullptr);
    QTest::keyClicks(QApplication::focusWidget(), text.mid(1));
    press(Qt::Key_Return);
    QCoreApplication::processEvents(); // the table takes it in its own time
}

} // namespace

TEST_CASE("A manager goes from the plan to what came in by keys alone") {
    Office office;
    ReorderPage& page = office.page();
    REQUIRE(page.planTable()->hasFocus());
    press(Qt::Key_Down);
    const int row = page.planTable()->currentIndex().row();
    const std::string part = page.plan().line(row).part;
    const std::string supplier = page.plan().orderOf(row).supplier.name;
    CHECK(page.planTable()->currentIndex().column() == PlanTableModel::packs);
    typeOver(QStringLiteral("12"));
    CHECK(page.plan().line(row).packs == 12);
    const std::int64_t ordered = 12 * page.plan().line(row).pack_size;

    press(Qt::Key_O, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(office.test.prompts.asked.last().contains(QString::fromStdString(supplier)));
    REQUIRE(page.strip()->kind() == MessageStrip::Kind::done);
    const auto orders = inventory::PurchaseOrders(office.file()).list();
    REQUIRE_FALSE(orders.empty());

    press(Qt::Key_R, Qt::AltModifier);
    REQUIRE(page.expectedTable()->hasFocus());
    auto* expected = page.expectedTable()->model();
    const auto shown = [&](int at, int column) { return expected->index(at, column).data().toString(); };
    int line = 0;
    while (line < expected->rowCount() && shown(line, ExpectedTableModel::part).toStdString() != part) {
        press(Qt::Key_Down);
        ++line;
    }
    REQUIRE(line < expected->rowCount());
    CHECK(shown(line, ExpectedTableModel::expected).toLongLong() == ordered);
    moveTo(*page.expectedTable(), ExpectedTableModel::came);
    typeOver(QStringLiteral("3"));
    if (shown(line, ExpectedTableModel::bin).isEmpty()) {
        moveTo(*page.expectedTable(), ExpectedTableModel::bin);
        typeOver(QStringLiteral("E01"));
    }
    press(Qt::Key_R, Qt::ControlModifier | Qt::ShiftModifier);
    INFO(page.strip()->sentence().toStdString());
    CHECK(page.strip()->kind() == MessageStrip::Kind::done);
    REQUIRE(settle([&] { return !page.busy(); }));
    CHECK(shown(line, ExpectedTableModel::expected).toLongLong() == ordered - 3);
    // The rest comes whole, but for one piece.
    const int lines = expected->rowCount();
    press(Qt::Key_A, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(shown(line, ExpectedTableModel::came).toLongLong() == ordered - 3);
    page.expectedTable()->setCurrentIndex(expected->index(line, ExpectedTableModel::came));
    typeOver(QString::number(ordered - 4));
    CHECK(shown(line, ExpectedTableModel::came).toLongLong() == ordered - 4);
    for (int at = 0; at < lines; ++at) {
        if (shown(at, ExpectedTableModel::bin).isEmpty()) {
            expected->setData(expected->index(at, ExpectedTableModel::bin), QStringLiteral("E01"),
                              Qt::EditRole);
        }
    }
    press(Qt::Key_R, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(settle([&] { return !page.busy(); }));
    INFO(page.strip()->sentence().toStdString());
    REQUIRE(expected->rowCount() == 1);
    CHECK(shown(0, ExpectedTableModel::expected) == QStringLiteral("1"));
    CHECK(inventory::verifyStock(office.file()).good());
}

TEST_CASE("Packs that were typed over and not booked are there again after the window was closed") {
    Office office;
    const int row = 1;
    const std::string part = office.page().plan().line(row).part;
    REQUIRE(office.page().plan().setData(office.page().plan().index(row, PlanTableModel::packs), 17,
                                         Qt::EditRole));
    office.test.window.close();

    MainWindow again(office.test.settings, office.test.prompts);
    again.show();
    again.openShop(office.shop.path());
    again.actions()[ActionId::go_reorder]->trigger();
    REQUIRE(settle([&] { return again.reorder().plan().rowCount() > 0 && !again.reorder().busy(); }));
    CHECK(again.reorder().plan().line(row).part == part);
    CHECK(again.reorder().plan().line(row).packs == 17);
    CHECK(again.reorder().plan().edited());
    CHECK(again.reorder().strip()->kind() == MessageStrip::Kind::note);
    again.reorder().planAnew();
    REQUIRE(settle([&] { return again.reorder().plan().rowCount() > 0 && !again.reorder().busy(); }));
    CHECK(again.reorder().plan().line(row).packs != 17);
    CHECK_FALSE(again.reorder().plan().edited());
}

TEST_CASE("A plan that was typed over for one shop is not taken to another") {
    Office office;
    REQUIRE(
        office.page().plan().setData(office.page().plan().index(1, PlanTableModel::packs), 17, Qt::EditRole));
    const DemoShopCopy other;
    office.test.window.openShop(other.path());
    office.test.window.actions()[ActionId::go_reorder]->trigger();
    REQUIRE(settle([&] { return office.page().plan().rowCount() > 0 && !office.page().busy(); }));
    CHECK_FALSE(office.page().plan().edited());
    CHECK(office.page().plan().line(1).packs != 17);
    office.test.window.openShop(office.shop.path());
    office.test.window.actions()[ActionId::go_reorder]->trigger();
    REQUIRE(settle([&] { return office.page().plan().edited() && !office.page().busy(); }));
    CHECK(office.page().plan().line(1).packs == 17);
}
