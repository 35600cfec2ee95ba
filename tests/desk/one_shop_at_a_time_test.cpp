// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing of one shop, page or job is left where another one is looked at: what a key means is what is seen.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "inventory/part_catalogue.h"

#include <QComboBox>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QScrollArea>
#include <QScrollBar>
#include <QSpinBox>
#include <QTableView>
#include <QTest>
#include <QVBoxLayout>
#include <QWheelEvent>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1001";

struct Desk {
    Desk() {
        test.window.show();
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    JobsPage& jobs() { return test.window.jobs(); }
    ReorderPage& reorder() { return test.window.reorder(); }
    QAction& action(ActionId id) { return *test.window.actions()[id]; }
    void goToReorder() {
        press(test.window, Qt::Key_0, Qt::ControlModifier);
        REQUIRE(settle([&] { return reorder().plan().rowCount() > 0 && !reorder().busy(); }));
    }
    /// One row of the job's target goes.
    void editTarget() {
        jobs().pickJob(job);
        REQUIRE(settle([&] { return !test.window.busy(); }));
        jobs().stackTable()->setFocus();
        jobs().stackTable()->setCurrentIndex(jobs().stackTable()->model()->index(0, 0));
        REQUIRE(action(ActionId::delete_row).isEnabled());
        action(ActionId::delete_row).trigger();
        REQUIRE(jobs().target().draft().edited());
    }

    DemoShopCopy shop;
    TestWindow test;
};

std::size_t rowsOf(const JobsPage& page) {
    return page.target().draft().rows().size();
}

} // namespace

TEST_CASE(
    "Another shop with the same job codes shows its own targets, and keeps none of the last one's edits") {
    Desk desk;
    desk.editTarget();
    const std::size_t edited = rowsOf(desk.jobs());
    const DemoShopCopy other;
    desk.test.window.openShop(other.path());
    desk.jobs().pickJob(job);
    REQUIRE(settle([&] { return !desk.test.window.busy(); }));
    CHECK_FALSE(desk.jobs().target().draft().edited());
    CHECK(rowsOf(desk.jobs()) == edited + 1);
    // Nor does it stand there the next time.
    desk.test.window.openShop(other.path());
    desk.jobs().pickJob(job);
    CHECK_FALSE(desk.jobs().target().draft().edited());
    // The first shop has it still.
    desk.test.window.openShop(desk.shop.path());
    desk.jobs().pickJob(job);
    CHECK(desk.jobs().target().draft().edited());
    CHECK(rowsOf(desk.jobs()) == edited);
}

TEST_CASE("Proposals of one shop cannot be reserved in another") {
    Desk desk;
    desk.jobs().pickJob("JOB-1002");
    press(desk.test.window, Qt::Key_F5);
    REQUIRE(settle(
        [&] { return !desk.test.window.busy() && desk.action(ActionId::reserve_proposal).isEnabled(); }));
    const DemoShopCopy other;
    desk.test.window.openShop(other.path());
    desk.jobs().pickJob("JOB-1002");
    REQUIRE(settle([&] { return !desk.test.window.busy(); }));
    CHECK_FALSE(desk.action(ActionId::reserve_proposal).isEnabled());
    CHECK(desk.jobs().proposalTable()->model()->rowCount() == 0);
    CHECK(desk.jobs().strip()->sentence().isEmpty());
}

TEST_CASE("What is half typed when another shop is opened stays with the first") {
    Desk desk;
    desk.goToReorder();
    const int row = desk.reorder().plan().firstLine();
    desk.reorder().planTable()->setFocus();
    desk.reorder().planTable()->setCurrentIndex(desk.reorder().plan().index(row, PlanTableModel::packs));
    QTest::keyClicks(desk.reorder().planTable(), QStringLiteral("7"));
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("7")); // no Return
    const DemoShopCopy other;
    desk.test.window.openShop(other.path());
    desk.goToReorder();
    for (int at = 0; at < desk.reorder().plan().rowCount(); ++at)
        CHECK((desk.reorder().plan().isHeading(at) || desk.reorder().plan().line(at).packs != 77));
    CHECK_FALSE(desk.reorder().plan().edited());
    desk.test.window.openShop(desk.shop.path());
    desk.goToReorder();
    CHECK(desk.reorder().plan().line(row).packs == 77);
}

TEST_CASE("A shop that cannot be opened leaves everything of the one that is open") {
    Desk desk;
    desk.editTarget();
    const std::size_t edited = rowsOf(desk.jobs());
    desk.test.window.openShop(desk.shop.file(QStringLiteral("not-there.db")));
    CHECK(desk.test.window.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(desk.jobs().target().draft().edited());
    CHECK(rowsOf(desk.jobs()) == edited);
    CHECK(desk.jobs().pickedJob() == job);
}

TEST_CASE("Undo on the reorder page takes back packs, not the target that is not looked at") {
    Desk desk;
    desk.editTarget();
    const std::size_t edited = rowsOf(desk.jobs());
    desk.goToReorder();
    PlanTableModel& plan = desk.reorder().plan();
    CHECK_FALSE(desk.action(ActionId::undo_edit).isEnabled());
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(rowsOf(desk.jobs()) == edited);
    const int row = plan.firstLine();
    const auto before = plan.line(row).packs;
    const QString totals = desk.reorder().totals();
    REQUIRE(plan.setData(plan.index(row, PlanTableModel::packs), static_cast<int>(before) + 3, Qt::EditRole));
    REQUIRE(plan.setData(plan.index(row, PlanTableModel::packs), static_cast<int>(before) + 5, Qt::EditRole));
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(plan.line(row).packs == before + 3);
    CHECK(plan.edited());
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(plan.line(row).packs == before);
    CHECK_FALSE(plan.edited());
    CHECK(desk.reorder().totals() == totals);
    CHECK(rowsOf(desk.jobs()) == edited);
    press(Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(plan.line(row).packs == before + 3);
    // Back at the jobs the same key means the target again.
    press(Qt::Key_1, Qt::ControlModifier);
    REQUIRE(desk.action(ActionId::undo_edit).isEnabled());
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(rowsOf(desk.jobs()) == edited + 1);
    CHECK(plan.line(row).packs == before + 3);
}

TEST_CASE("A part that was added to the plan is taken back, and comes again") {
    Desk desk;
    desk.goToReorder();
    PlanTableModel& plan = desk.reorder().plan();
    const int rows = plan.rowCount();
    // Of each supplier in turn, every part that its order has not.
    const auto parts =
        inventory::PartCatalogue(desk.test.window.session().shop()).listKind(inventory::PartKind::shim);
    for (int row = 0; row < rows && plan.rowCount() == rows; ++row) {
        if (!plan.isHeading(row)) continue;
        desk.reorder().planTable()->setCurrentIndex(plan.index(row, 0));
        for (std::size_t i = 0; i < parts.size() && plan.rowCount() == rows; ++i) {
            desk.reorder().addEdit()->setText(QString::fromStdString(parts[i].code));
            desk.reorder().addPart(); // refused where the supplier does not have it
        }
        INFO(desk.reorder().strip()->sentence().toStdString());
    }
    INFO(desk.reorder().strip()->sentence().toStdString());
    REQUIRE(plan.rowCount() == rows + 1);
    desk.reorder().planTable()->setFocus();
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(plan.rowCount() == rows);
    while (desk.action(ActionId::undo_edit).isEnabled()) press(Qt::Key_Z, Qt::ControlModifier);
    CHECK_FALSE(plan.edited());
    while (desk.action(ActionId::redo_edit).isEnabled())
        press(Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(plan.rowCount() == rows + 1);
}

TEST_CASE("Keys of the target do nothing to it while another page is looked at") {
    Desk desk;
    desk.editTarget();
    const std::size_t edited = rowsOf(desk.jobs());
    desk.goToReorder();
    for (const ActionId id : {ActionId::discard_target, ActionId::save_target, ActionId::delete_row})
        CHECK_FALSE(desk.action(id).isEnabled());
    press(Qt::Key_Backspace, Qt::ControlModifier);
    press(Qt::Key_S, Qt::ControlModifier);
    CHECK(desk.jobs().target().draft().edited());
    CHECK(rowsOf(desk.jobs()) == edited);
    press(Qt::Key_1, Qt::ControlModifier);
    CHECK(desk.action(ActionId::save_target).isEnabled());
    CHECK(desk.action(ActionId::discard_target).isEnabled());
}

TEST_CASE(
    "While a job's planned stack is drawn, no proposal of an earlier search is what would be reserved") {
    Desk desk;
    desk.jobs().pickJob("JOB-1002");
    press(desk.test.window, Qt::Key_F5);
    REQUIRE(settle(
        [&] { return !desk.test.window.busy() && desk.action(ActionId::reserve_proposal).isEnabled(); }));
    desk.action(ActionId::plan_all_jobs).trigger();
    REQUIRE(settle([&] { return !desk.test.window.busy(); }));
    AllJobsPanel& all = desk.jobs().allJobs();
    REQUIRE(all.plan());
    const auto& planned = all.plan()->plan.jobs;
    const auto place = std::find_if(planned.begin(), planned.end(),
                                    [](const auto& of_job) { return of_job.name == "JOB-1002"; });
    REQUIRE(place != planned.end());
    REQUIRE(place->proposal);
    all.table()->setCurrentIndex({});
    all.table()->setCurrentIndex(all.table()->model()->index(static_cast<int>(place - planned.begin()), 0));
    CHECK(desk.jobs().pickedJob() == "JOB-1002");
    CHECK_FALSE(desk.action(ActionId::reserve_proposal).isEnabled());
    desk.jobs().proposalTable()->selectRow(0);
    CHECK(desk.action(ActionId::reserve_proposal).isEnabled());
}

TEST_CASE("A number that is being typed into what came stays, though the shop is read again meanwhile") {
    Desk desk;
    desk.goToReorder();
    desk.action(ActionId::mark_ordered).trigger();
    auto* table = desk.reorder().expectedTable();
    REQUIRE(settle([&] { return table->model()->rowCount() > 0 && !desk.test.window.busy(); }));
    const QModelIndex came = table->model()->index(0, ExpectedTableModel::came);
    table->scrollTo(came);
    QTest::mouseClick(table->viewport(), Qt::LeftButton, {}, table->visualRect(came).center());
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("0"));
    desk.test.window.session().announceChange(); // as any other program's booking does
    QTest::qWait(50);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("1"));
    press(Qt::Key_Return);
    QCoreApplication::processEvents();
    CHECK(came.data().toString() == QStringLiteral("1"));
    REQUIRE(settle([&] { return !desk.test.window.busy(); })); // and the plan is made anew after that
    CHECK(came.data().toString() == QStringLiteral("1"));
}

TEST_CASE("The wheel scrolls over a number and over a choice, and changes neither") {
    QScrollArea area;
    auto* content = new QWidget;
    auto* layout = new QVBoxLayout(content);
    auto* number = new QSpinBox;
    auto* choice = new QComboBox;
    choice->addItems({QStringLiteral("one"), QStringLiteral("two")});
    choice->setCurrentIndex(1);
    number->setValue(50);
    layout->addWidget(number);
    layout->addWidget(choice);
    content->setMinimumHeight(3000);
    area.setWidget(content);
    area.setWidgetResizable(true);
    area.resize(300, 200);
    area.show();
    REQUIRE(settle([&] { return area.verticalScrollBar()->maximum() > 0; }));
    for (QWidget* field :
         {static_cast<QWidget*>(number), static_cast<QWidget*>(number->findChild<QLineEdit*>()),
          static_cast<QWidget*>(choice)}) {
        field->setFocus();
        const int before = area.verticalScrollBar()->value();
        QWheelEvent wheel({5, 5}, field->mapToGlobal(QPointF(5, 5)), {}, {0, -120}, Qt::NoButton, {},
                          Qt::NoScrollPhase, false);
        QApplication::sendEvent(field, &wheel);
        CHECK(number->value() == 50);
        CHECK(choice->currentIndex() == 1);
        CHECK(area.verticalScrollBar()->value() > before);
    }
}
