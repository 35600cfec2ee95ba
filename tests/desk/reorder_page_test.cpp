// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/course_view.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"

#include <QAbstractItemModelTester>
#include <QLineEdit>
#include <QSignalSpy>
#include <QTableView>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

constexpr auto fatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

services::ReorderPlan plan() {
    services::ReorderLine disc;
    disc.part = "S24";
    disc.what = "shim 24.0 x 6.0 x 0.10";
    disc.reason = "available 2, reorder point 6, pack of 10";
    disc.pack_size = 10;
    disc.packs = 2;
    disc.pack_price = 810;
    disc.breaks = {{5, 700}};
    services::ReorderLine seal = disc;
    seal.part = "SEAL";
    seal.breaks.clear();
    services::ReorderPlan plan;
    plan.orders = {{{"Invented Discs", 7, "EUR", {}, 6000, 950, ""}, {disc}},
                   {{"Invented Seals", 7, "EUR", {}, {}, {}, ""}, {seal}}};
    return plan;
}

QString shown(const QAbstractItemModel& model, int row, int column) {
    return model.index(row, column).data(Qt::DisplayRole).toString();
}

int rowOf(const PlanTableModel& model, const std::string& supplier) {
    for (int row = 0; row < model.rowCount(); ++row) {
        if (!model.isHeading(row) && model.orderOf(row).supplier.name == supplier) return row;
    }
    return -1;
}

} // namespace

TEST_CASE("The scale of the stock chart is marked at whole pieces, evenly") {
    CHECK(CourseView::piecesMarked(4.4) == std::vector<double>{0, 1, 2, 3, 4});
    CHECK(CourseView::piecesMarked(1.1) == std::vector<double>{0, 1});
    CHECK(CourseView::piecesMarked(66) == std::vector<double>{0, 20, 40, 60});
    CHECK(CourseView::piecesMarked(16644) == std::vector<double>{0, 5000, 10000, 15000});
    for (double most = 1; most < 3000; most *= 1.3) {
        const auto marks = CourseView::piecesMarked(most);
        CAPTURE(most, marks.size());
        CHECK(marks.size() >= 2);
        CHECK(marks.size() <= 7);
    }
}

TEST_CASE("The plan table is a sound model, packs are typed over, and prices and totals follow") {
    PlanTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    model.setPlan(plan());
    REQUIRE(model.rowCount() == 4); // a heading for each supplier
    CHECK(model.firstLine() == 1);
    CHECK(shown(model, 0, 0) ==
          QStringLiteral("Invented Discs: 1 line, 16.20 EUR, freight 9.50, 25.70 in all, "
                         "below the minimum of 60.00"));
    CHECK(shown(model, 1, PlanTableModel::why) == QStringLiteral("available 2, reorder point 6, pack of 10"));
    CHECK(shown(model, 1, PlanTableModel::total) == QStringLiteral("16.20 EUR"));
    CHECK_FALSE(model.index(0, PlanTableModel::packs).flags().testFlag(Qt::ItemIsEditable));
    CHECK_FALSE(model.setData(model.index(0, PlanTableModel::packs), 5, Qt::EditRole));
    CHECK_THROWS_AS(model.line(0), std::logic_error);
    CHECK_FALSE(model.edited());
    const QSignalSpy totals(&model, &PlanTableModel::totalsChanged);
    const QModelIndex packs = model.index(1, PlanTableModel::packs);
    CHECK(packs.flags().testFlag(Qt::ItemIsEditable));
    CHECK_FALSE(model.index(1, PlanTableModel::price).flags().testFlag(Qt::ItemIsEditable));
    CHECK(model.setData(packs, 5, Qt::EditRole));
    CHECK(totals.count() == 1);
    CHECK(model.edited());
    CHECK(shown(model, 1, PlanTableModel::price) == QStringLiteral("7.00"));
    CHECK(shown(model, 1, PlanTableModel::pieces) == QStringLiteral("50"));
    CHECK(shown(model, 0, 0).startsWith(QStringLiteral("Invented Discs: 1 line, 35.00 EUR")));
    CHECK(model.plan().orders[0].total() == 3500);
    for (const QVariant& wrong : {QVariant(-1), QVariant(QStringLiteral("x")), QVariant(1000000)}) {
        CHECK_FALSE(model.setData(packs, wrong, Qt::EditRole));
    }
    CHECK(model.plan().orders[0].lines[0].packs == 5);
    CHECK(model.setData(packs, 0, Qt::EditRole));
    CHECK(model.plan().orders[0].total() == 0);
}

TEST_CASE("What stops a job stands first in the plan, its supplier before the others") {
    services::ReorderPlan urgent = plan();
    services::ReorderLine other = urgent.orders[1].lines[0];
    other.part = "RING";
    other.short_for_jobs = 2;
    urgent.orders[1].lines.push_back(other);
    PlanTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    model.setPlan(urgent);
    REQUIRE(model.rowCount() == 5);
    CHECK(model.isHeading(0));
    CHECK(model.orderOf(0).supplier.name == "Invented Seals");
    CHECK(model.line(1).part == "RING");
    CHECK(model.line(2).part == "SEAL");
    CHECK(model.isHeading(3));
    REQUIRE(model.setData(model.index(1, PlanTableModel::packs), 7, Qt::EditRole));
    CHECK(model.plan().orders[1].lines[1].packs == 7); // the plan itself keeps its order
}

TEST_CASE("The months of the stock chart begin on their first days") {
    // 2026-01-15 is day 20468; the first days of February, March and April follow.
    CHECK(CourseView::monthsMarked(20468, 20468 + 80) == std::vector<double>{20485, 20513, 20544});
    CHECK(CourseView::monthsMarked(20485, 20490) == std::vector<double>{20485});
    CHECK(CourseView::monthsMarked(20486, 20490).empty());
}

TEST_CASE("The table of what is on order takes what came, no more than is expected") {
    ExpectedTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    services::ExpectedLine line{"PO-1", "Invented Discs", 4, "S24", "shim", 20, 5, "A1"};
    services::ExpectedLine come = line;
    come.received = 20;
    model.setLines({line, come});
    REQUIRE(model.rowCount() == 1);
    CHECK(shown(model, 0, ExpectedTableModel::expected) == QStringLiteral("15"));
    CHECK(model.received("PO-1").empty());
    CHECK_FALSE(model.setData(model.index(0, ExpectedTableModel::came), 16, Qt::EditRole));
    CHECK(model.setData(model.index(0, ExpectedTableModel::came), 6, Qt::EditRole));
    CHECK(model.setData(model.index(0, ExpectedTableModel::bin), QStringLiteral(" B2 "), Qt::EditRole));
    REQUIRE(model.received("PO-1").size() == 1);
    CHECK(model.received("PO-1").front().quantity == 6);
    CHECK(model.received("PO-1").front().bin == "B2");
    CHECK(model.received("PO-2").empty());
}

TEST_CASE("What was typed for one order stays while another is received and the lines are read again") {
    ExpectedTableModel model;
    const services::ExpectedLine first{"PO-1", "Invented Discs", 4, "S24", "shim", 20, 5, "A1"};
    const services::ExpectedLine second{"PO-2", "Invented Seals", 9, "SEAL", "seal", 6, 0, ""};
    model.setLines({first, second});
    REQUIRE(model.setData(model.index(0, ExpectedTableModel::came), 15, Qt::EditRole));
    REQUIRE(model.setData(model.index(1, ExpectedTableModel::came), 6, Qt::EditRole));
    REQUIRE(model.setData(model.index(1, ExpectedTableModel::bin), QStringLiteral("F1"), Qt::EditRole));
    model.forget("PO-1");
    CHECK(model.received("PO-1").empty());
    services::ExpectedLine less = second;
    less.received = 2; // somebody else booked two of them
    model.setLines({less});
    REQUIRE(model.received("PO-2").size() == 1);
    CHECK(model.received("PO-2").front().quantity == 4);
    CHECK(model.received("PO-2").front().bin == "F1");
    model.setLines({first, less});
    CHECK(model.received("PO-1").empty());
}

TEST_CASE(
    "The manager changes the plan, marks it as ordered and receives a part of it, and the plan follows") {
    const DemoShopCopy shop;
    TestWindow test;
    test.window.show();
    test.window.openShop(shop.path());
    test.window.actions()[ActionId::go_reorder]->trigger();
    ReorderPage& page = test.window.reorder();
    REQUIRE(settle([&] { return page.plan().rowCount() > 0 && !page.busy(); }));
    const std::string supplier = "Quill and Harrow Seals (invented)";
    const int row = rowOf(page.plan(), supplier);
    REQUIRE(row >= 0);
    page.planTable()->selectRow(row);
    REQUIRE(settle(
        [&] { return page.chart().course() && page.chart().course()->part == page.plan().line(row).part; }));
    CHECK(page.chart().course()->past.size() == 53);
    CHECK(page.reason().contains(QString::fromStdString(page.plan().line(row).plain))); // one line
    CHECK_FALSE(page.reason().contains(QStringLiteral("pack of")));
    page.figures()->click();
    CHECK(page.reason().contains(QString::fromStdString(page.plan().line(row).reason))); // in full
    page.planTable()->selectRow(0);
    CHECK(page.plan().isHeading(0));
    CHECK(page.planTable()->columnSpan(0, 0) == PlanTableModel::column_count);
    CHECK_FALSE(page.chart().course());
    page.planTable()->selectRow(row);
    const QString before = page.totals();
    REQUIRE(page.plan().setData(page.plan().index(row, PlanTableModel::packs), 1, Qt::EditRole));
    CHECK(page.totals() != before);
    CHECK(page.totals().contains(QStringLiteral(" than planned")));
    CHECK_FALSE(page.totals().contains(QStringLiteral("proved"))); // that was another plan
    const std::string part = page.plan().line(row).part;
    const std::int64_t pack = page.plan().line(row).pack_size;

    page.addEdit()->setText(QStringLiteral("NO-SUCH-PART"));
    page.addPart();
    CHECK(page.strip()->sentence().contains(QStringLiteral("NO-SUCH-PART")));

    test.window.actions()[ActionId::mark_ordered]->trigger();
    CHECK(test.prompts.asked.last().contains(QStringLiteral("Quill and Harrow")));
    CHECK(page.strip()->kind() == MessageStrip::Kind::done);
    CHECK(rowOf(page.plan(), supplier) < 0);
    auto* expected = page.expectedTable()->model();
    REQUIRE(settle([&] { return expected->rowCount() > 0; }));
    int line = -1;
    for (int i = 0; i < expected->rowCount(); ++i) {
        if (shown(*expected, i, ExpectedTableModel::part).toStdString() == part) line = i;
    }
    REQUIRE(line >= 0);
    CHECK(shown(*expected, line, ExpectedTableModel::expected).toLongLong() == pack);
    REQUIRE(expected->setData(expected->index(line, ExpectedTableModel::came), 1, Qt::EditRole));
    if (shown(*expected, line, ExpectedTableModel::bin).isEmpty()) {
        REQUIRE(expected->setData(expected->index(line, ExpectedTableModel::bin), QStringLiteral("E01"),
                                  Qt::EditRole));
    }
    page.expectedTable()->selectRow(line);
    page.receive();
    INFO(page.strip()->sentence().toStdString());
    CHECK(page.strip()->kind() == MessageStrip::Kind::done);
    REQUIRE(settle([&] { return !page.busy(); }));
}
