// SPDX-License-Identifier: GPL-3.0-or-later
// What a manager with five minutes sees of the plan, and what can be done with each of its rows.
#include "desk_fixture.h"
#include "keys.h"
#include "office.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/reorder/course_view.h"
#include "app/desk/reorder/page_one_view.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/settings_dialog.h"
#include "app/services/reorder_sheet_reader.h"

#include <QContextMenuEvent>
#include <QDoubleSpinBox>
#include <QLabel>
#include <QMenu>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

QString cell(const QTableView& table, int row, int column) {
    return table.model()->index(row, column).data().toString();
}

/// As the menu key asks, and picks the entry whose words begin so.
void choose(QTableView& table, const QString& entry) {
    QContextMenuEvent asked(QContextMenuEvent::Keyboard, QPoint(), QPoint());
    QApplication::sendEvent(&table, &asked);
    auto* menu = qobject_cast<QMenu*>(QApplication::activePopupWidget());
    REQUIRE(menu != nullptr);
    const auto actions = menu->actions();
    const auto wanted = std::find_if(actions.begin(), actions.end(), [&](const QAction* action) {
        return action->text().remove(QLatin1Char('&')).startsWith(entry);
    });
    REQUIRE(wanted != actions.end());
    (*wanted)->trigger();
    menu->close();
    QCoreApplication::processEvents();
}

} // namespace

TEST_CASE("Page one tells what stops jobs, whom to order from, what it costs and what happens if not") {
    Office office;
    const PageOneView& one = office.page().pageOne();
    const services::ReorderPlan& plan = office.plan().plan();
    REQUIRE_FALSE(plan.jobs.empty());
    REQUIRE(one.jobs()->model()->rowCount() == static_cast<int>(plan.jobs.size()));
    bool in_time = false;
    for (int row = 0; row < one.jobs()->model()->rowCount(); ++row) {
        const services::JobOutlook& job = plan.jobs[static_cast<std::size_t>(row)];
        CHECK(cell(*one.jobs(), row, 0).toStdString() == job.job);
        CHECK(cell(*one.jobs(), row, 2).contains(QStringLiteral(" late")) == (job.days_late > 0));
        CHECK(cell(*one.jobs(), row, 3).toStdString() == job.lacks);
        in_time = in_time || !job.late;
        if (job.late) CHECK_FALSE(in_time); // the late ones first
    }
    int orders = 0;
    for (const services::SupplierOrder& order : plan.orders) orders += order.total() > 0 ? 1 : 0;
    REQUIRE(one.orders()->model()->rowCount() >= orders);
    int for_jobs_before = 1000;
    for (int row = 0; row < orders; ++row) {
        const int for_jobs = cell(*one.orders(), row, 2).isEmpty() ? 0 : 1;
        CHECK(for_jobs <= for_jobs_before); // what stops a job comes first
        for_jobs_before = for_jobs;
    }
    CHECK(one.sentences().contains(QStringLiteral("Least to pay today")));
    CHECK(one.sentences().contains(QStringLiteral("If nothing is ordered: ")));
    CHECK(office.test.window.findChild<DrawersPage*>() == nullptr); // nobody went there yet
}

TEST_CASE("From page one Return goes to a job, and to the lines of a supplier") {
    Office office;
    const PageOneView& one = office.page().pageOne();
    one.orders()->setFocus();
    one.orders()->setCurrentIndex(one.orders()->model()->index(1, 0));
    const QString supplier = cell(*one.orders(), 1, 0);
    press(Qt::Key_Return);
    REQUIRE(office.page().planTable()->hasFocus());
    const int row = office.page().planTable()->currentIndex().row();
    CHECK(QString::fromStdString(office.plan().orderOf(row).supplier.name) == supplier);
    CHECK(office.plan().isHeading(row - 1));

    one.jobs()->setFocus();
    one.jobs()->setCurrentIndex(one.jobs()->model()->index(1, 0));
    const std::string job = cell(*one.jobs(), 1, 0).toStdString();
    press(Qt::Key_Return);
    REQUIRE(office.test.window.jobs().isVisible());
    CHECK(office.test.window.jobs().pickedJob() == job);
}

TEST_CASE("A changed line says what was planned, what was proved goes, and comes back when it is undone") {
    Office office;
    QTableView& table = *office.page().planTable();
    const int row = office.plan().firstLine();
    const std::int64_t planned = office.plan().line(row).packs;
    const auto why = [&] { return office.plan().index(row, PlanTableModel::why).data().toString(); };
    const QString reason = why();
    const std::string part = office.plan().line(row).part;
    table.setCurrentIndex(office.plan().index(row, PlanTableModel::packs));
    REQUIRE(settle([&] { return office.page().chart().course() && !office.page().busy(); }));
    const double before = office.page().chart().course()->with.back().pieces;
    QTest::keyClicks(&table, QStringLiteral("9"));
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("9"));
    press(Qt::Key_Return);
    QCoreApplication::processEvents();
    REQUIRE(office.plan().line(row).packs == 99);
    CHECK(why() == QStringLiteral("changed, %1 planned; %2").arg(planned).arg(reason));
    CHECK(office.page().totals().contains(QStringLiteral("more than planned")));
    CHECK_FALSE(office.page().totals().contains(QStringLiteral("proved")));
    table.setCurrentIndex(office.plan().index(row, PlanTableModel::packs));
    // The course ahead follows what was typed.
    REQUIRE(settle([&] {
        const auto& course = office.page().chart().course();
        return course && course->part == part && course->with.back().pieces > before + 100;
    }));
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(office.plan().line(row).packs == planned);
    CHECK(why() == reason);
    CHECK(office.page().totals().contains(QStringLiteral("proved")));
}

TEST_CASE("What is typed right after a click on the picked line's packs is taken as packs") {
    Office office;
    QTableView& table = *office.page().planTable();
    const int row = office.plan().firstLine() + 2;
    const QPoint packs = table.visualRect(office.plan().index(row, PlanTableModel::packs)).center();
    QTest::mouseClick(table.viewport(), Qt::LeftButton, {}, packs);
    QTest::qWait(2 * QApplication::doubleClickInterval());
    QTest::mouseClick(table.viewport(), Qt::LeftButton, {}, packs);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("4"));
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("4"));
    press(Qt::Key_Return);
    QCoreApplication::processEvents();
    CHECK(office.plan().line(row).packs == 44);
}

TEST_CASE("A row's menu leaves a line out, takes it back as planned and shows the part in the drawers") {
    Office office;
    QTableView& table = *office.page().planTable();
    const int row = office.plan().firstLine();
    const std::int64_t planned = office.plan().line(row).packs;
    const std::string part = office.plan().line(row).part;
    table.setCurrentIndex(office.plan().index(row, PlanTableModel::what));
    choose(table, QStringLiteral("Leave out"));
    CHECK(office.plan().line(row).packs == 0);
    choose(table, QStringLiteral("As planned"));
    CHECK(office.plan().line(row).packs == planned);
    CHECK_FALSE(office.plan().plannedPacks(row));
    choose(table, QStringLiteral("Show in the drawers"));
    REQUIRE(office.test.window.drawers().isVisible());
    REQUIRE(settle([&] { return !office.test.window.busy(); }));
    REQUIRE(office.test.window.drawers().pickedLot());
    CHECK(office.test.window.drawers().pickedLot()->part == part);
}

TEST_CASE("While a plan is being made page one claims nothing, and no sheet is written of the empty page") {
    Office office;
    office.page().planAnew();
    REQUIRE(office.page().busy());
    for (const QLabel* label : office.page().pageOne().findChildren<QLabel*>()) {
        INFO(label->text().toStdString());
        CHECK_FALSE(label->text().startsWith(QStringLiteral("Nothing")));
    }
    CHECK(office.page().totals().isEmpty());
    CHECK_FALSE(office.page().planToWrite());
    REQUIRE(settle([&] { return office.plan().rowCount() > 0 && !office.page().busy(); }));
    REQUIRE(office.page().planToWrite());
    CHECK_FALSE(office.page().planToWrite()->orders.empty());
}

TEST_CASE(
    "A sheet that is written from another page is of the drawers as they are, unless packs were typed over") {
    Office office;
    REQUIRE(office.page().planToWrite());
    office.test.window.actions()[ActionId::go_jobs]->trigger();
    office.test.window.session().announceChange(); // as after a pull there
    REQUIRE_FALSE(office.page().planToWrite());
    office.test.window.actions()[ActionId::go_reorder]->trigger();
    REQUIRE(settle([&] { return office.page().planToWrite().has_value() && !office.page().busy(); }));
    const int row = office.plan().firstLine();
    REQUIRE(office.plan().setData(office.plan().index(row, PlanTableModel::packs), 77, Qt::EditRole));
    office.test.window.actions()[ActionId::go_jobs]->trigger();
    office.test.window.session().announceChange();
    REQUIRE(office.page().planToWrite()); // what was typed is meant
}

TEST_CASE("The reorder sheet has the packs that the page shows") {
    Office office;
    const int row = office.plan().firstLine();
    const std::string part = office.plan().line(row).part,
                      supplier = office.plan().orderOf(row).supplier.name;
    const std::string dropped = office.plan().line(row + 1).part;
    REQUIRE(office.plan().setData(office.plan().index(row, PlanTableModel::packs), 77, Qt::EditRole));
    REQUIRE(office.plan().setData(office.plan().index(row + 1, PlanTableModel::packs), 0, Qt::EditRole));
    office.test.prompts.next_path = office.shop.file(QStringLiteral("typed.xlsx"));
    office.test.window.actions()[ActionId::export_reorder]->trigger();
    REQUIRE(settle([&] { return !office.test.window.jobs().busy(); }));
    bool found = false;
    for (const services::SheetOrder& order :
         services::readReorderSheet(office.test.prompts.next_path.toStdString())) {
        for (const services::SheetOrderLine& line : order.lines) {
            if (order.supplier == supplier && line.part == part) {
                found = true;
                CHECK(line.packs == 77);
            }
            CHECK((order.supplier != supplier || line.part != dropped));
        }
    }
    CHECK(found);
}

TEST_CASE("What a waiting job costs is a setting, and the plan counts with it") {
    SettingsDialog dialog(DeskChoices{});
    CHECK(dialog.choices().waiting_day == services::usual_waiting_day);
    dialog.waitingDay()->setValue(12.5);
    CHECK(dialog.choices().waiting_day == 1250);

    Office office;
    REQUIRE(office.plan().plan().waiting_day == services::usual_waiting_day);
    DeskChoices choices = office.test.settings.choices();
    choices.waiting_day = 1250;
    office.test.prompts.chosen = choices;
    office.test.window.actions()[ActionId::edit_settings]->trigger();
    REQUIRE(settle([&] { return office.plan().plan().waiting_day == 1250 && !office.page().busy(); }));
    CHECK(office.test.settings.choices().waiting_day == 1250); // also the next time
    CHECK(office.page().totals().contains(QStringLiteral("12.50 a day")));
}
