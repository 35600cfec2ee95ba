// SPDX-License-Identifier: GPL-3.0-or-later
// Jobs leave the list when they end, are found again, show what was built, and go out on paper.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/books/stock_value_dialog.h"
#include "app/desk/desk_actions.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/message_strip.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/shop_session.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "app/services/sheet_import/raw_sheet.h"
#include "app/services/stock_flow.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"

#include <QCheckBox>
#include <QFile>
#include <QFileInfo>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

const std::string built_job = "JOB-1002";

struct Desk {
    Desk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        settleDown();
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    JobsPage& page() { return test.window.jobs(); }
    inventory::ShopFile& file() { return test.window.session().shop(); }
    void run(ActionId id) {
        QAction* action = test.window.actions()[id];
        REQUIRE(action->isEnabled());
        action->trigger();
        settleDown();
    }
    [[nodiscard]] QStringList listed() {
        QStringList codes;
        const QAbstractItemModel* model = page().jobList()->model();
        for (int row = 0; row < model->rowCount(); ++row)
            codes << model->index(row, JobTableModel::code).data().toString();
        return codes;
    }
    /// The job is searched, reserved, pulled and closed, as another program would.
    void build(const std::string& job) {
        auto other = inventory::ShopFile::open(shop.path().toStdString());
        const services::JobPlan plan = services::planJob(other, job);
        REQUIRE_FALSE(plan.result.proposals.empty());
        (void)services::reservePlan(other, plan, 0);
        services::closeJob(other, job, services::OpenReservations::issue);
        run(ActionId::refresh);
    }
    /// All sentences of the page that say something.
    [[nodiscard]] std::string said() {
        QString text;
        for (const QLabel* label : page().findChildren<QLabel*>()) text += label->text() + QLatin1Char('\n');
        return text.toStdString();
    }

    DemoShopCopy shop;
    TestWindow test;
};

std::string textOfSheet(const QString& path) {
    std::string text;
    for (const auto& sheet : services::readRawSheets(path.toStdString())) {
        for (const auto& row : sheet.rows) {
            for (const auto& cell : row.cells) text += cell.text + "\n";
        }
    }
    return text;
}

} // namespace

TEST_CASE(
    "A job that another program closed leaves the list, and the filter brings it back with what was built") {
    Desk desk;
    const auto all = desk.listed().size();
    desk.page().pickJob(built_job);
    desk.build(built_job);
    CHECK(desk.listed().size() == all - 1);
    CHECK(desk.page().pickedJob() != built_job);
    desk.page().endedToo()->setChecked(true);
    desk.settleDown();
    CHECK(desk.listed().size() == all);
    desk.page().pickJob(built_job);
    desk.settleDown();
    CHECK_THAT(desk.said(), Contains("Built on ") && Contains("target 1.70 mm") &&
                                Contains("Over 0.30 mm of lift its pressure differs") &&
                                Contains("Went in, all legs"));
    const QAbstractItemModel* stack = desk.page().stackTable()->model();
    for (int row = 0; row < stack->rowCount(); ++row) {
        CHECK(stack->index(row, StackTableModel::on_hand).data().toString().isEmpty());
        CHECK_FALSE(
            stack->index(row, StackTableModel::state).data().toString().contains(QStringLiteral("short")));
    }
    CHECK_FALSE(desk.test.window.actions()[ActionId::change_job]->isEnabled());
    CHECK_FALSE(desk.test.window.actions()[ActionId::find_substitutes]->isEnabled());
}

TEST_CASE("A closed job is opened again by its key, after a question, and not a second time") {
    Desk desk;
    desk.build(built_job);
    CHECK_FALSE(desk.test.window.actions()[ActionId::reopen_job]->isEnabled());
    desk.page().pickJob(built_job); // also brings it back into the list
    CHECK(desk.page().endedToo()->isChecked());
    desk.test.prompts.accept = false;
    desk.run(ActionId::reopen_job);
    CHECK(inventory::JobBook(desk.file()).get(built_job).status == inventory::JobStatus::closed);
    desk.test.prompts.accept = true;
    // Another program is faster.
    auto other = inventory::ShopFile::open(desk.shop.path().toStdString());
    desk.test.prompts.at_confirm = [&] { (void)inventory::reopenJob(other, built_job); };
    desk.run(ActionId::reopen_job);
    desk.test.prompts.at_confirm = nullptr;
    CHECK_THAT(desk.page().strip()->sentence().toStdString(), Contains("is pulled: only a job"));
    services::closeJob(other, built_job, services::OpenReservations::release);
    desk.run(ActionId::refresh);
    desk.run(ActionId::reopen_job);
    CHECK_THAT(desk.page().strip()->sentence().toStdString(), Contains("was closed and is pulled again"));
    CHECK_FALSE(desk.test.window.actions()[ActionId::reopen_job]->isEnabled());
}

TEST_CASE("Jobs are found by customer, due day and priority while one types, by keys") {
    Desk desk;
    {
        inventory::JobBook book(desk.file());
        inventory::Job job = book.get("JOB-1008");
        job.customer = "=Frau M\xC3\x9CLLER (invented)";
        job.due = job.opened;
        job.priority = 8;
        book.update(job);
    }
    desk.run(ActionId::refresh);
    const auto all = desk.listed().size();
    press(desk.test.window, Qt::Key_J, Qt::ControlModifier | Qt::ShiftModifier);
    REQUIRE(desk.page().findField()->hasFocus());
    QTest::keyClicks(desk.page().findField(), QStringLiteral("=frau"));
    CHECK(desk.listed() == QStringList{QStringLiteral("JOB-1008")});
    CHECK(desk.page().pickedJob() == std::string("JOB-1008"));
    CHECK_THAT(desk.said(), Contains("For =Frau"));
    desk.page().findField()->setText(QString::fromUtf8("m\xC3\xBCller priority8"));
    CHECK(desk.listed().size() == 1);
    desk.page().findField()->setText(QStringLiteral("nobody at all"));
    CHECK(desk.listed().isEmpty());
    CHECK_FALSE(desk.page().pickedJob());
    CHECK_THAT(desk.said(), Contains("No job is found by \"nobody at all\""));
    desk.run(ActionId::refresh); // with nothing picked
    desk.page().findField()->clear();
    CHECK(desk.listed().size() == all);
    CHECK(desk.page().pickedJob());
    desk.page().findField()->setText(QStringLiteral("jo"));
    press(Qt::Key_Return);
    CHECK(desk.page().jobList()->hasFocus());
}

TEST_CASE("A late job says so in the list and in its heading") {
    Desk desk;
    inventory::JobBook book(desk.file());
    inventory::Job job = book.get("JOB-1003");
    job.due = job.opened;
    book.update(job);
    desk.run(ActionId::refresh);
    desk.page().findField()->setText(QStringLiteral("late JOB-1003"));
    REQUIRE(desk.listed().size() == 1);
    const QModelIndex index = desk.page().jobList()->model()->index(0, JobTableModel::code);
    CHECK(index.data(JobTableModel::late_role).toInt() > 0);
    CHECK(index.data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("late")));
    CHECK_THAT(desk.said(), Contains("late)"));
}

TEST_CASE("The record to hand over and what the job used are written by keys, and the record is printed") {
    Desk desk;
    desk.build(built_job);
    desk.page().pickJob(built_job);
    desk.settleDown();
    desk.test.prompts.next_path = desk.test.folder.filePath(QStringLiteral("record.xlsx"));
    desk.run(ActionId::export_record);
    CHECK_THAT(desk.page().strip()->sentence().toStdString(), Contains("The record of JOB-1002 is in"));
    const std::string record = textOfSheet(desk.test.prompts.next_path);
    CHECK_THAT(record, Contains("Record of JOB-1002") && Contains("24.0 x 0.12") && Contains("Cautions"));
    CHECK(record.find("A01") == std::string::npos);
    CHECK(record.find("SH-24.0") == std::string::npos);

    desk.test.prompts.next_path = desk.test.folder.filePath(QStringLiteral("costs.csv"));
    desk.run(ActionId::export_costs);
    CHECK_THAT(textOfSheet(desk.test.prompts.next_path), Contains("price_from") && Contains("offered"));
    desk.test.prompts.next_path = desk.test.folder.filePath(QStringLiteral("costs.xlsx"));
    desk.run(ActionId::export_costs);
    CHECK_THAT(desk.page().strip()->sentence().toStdString(), Contains("EUR in all"));

    PrintJob job = desk.page().printJob();
    CHECK(job.name == QStringLiteral("record-JOB-1002"));
    const QString html = job.html(desk.file());
    CHECK(html.contains(QStringLiteral("What to look at next time")));
    CHECK_FALSE(html.contains(QStringLiteral("A01")));
}

TEST_CASE("The value of the stock is told for any day by keys, and written as a sheet") {
    Desk desk;
    press(desk.test.window, Qt::Key_V, Qt::ControlModifier | Qt::AltModifier);
    StockValueDialog* dialog = desk.test.window.stockValue();
    REQUIRE(dialog != nullptr);
    REQUIRE(settle([&] { return !dialog->busy() && !dialog->total().isEmpty(); }));
    CHECK_THAT(dialog->total().toStdString(), Contains("EUR"));
    CHECK(dialog->kinds()->rowCount() > 5);
    CHECK(dialog->cabinets()->rowCount() > 3);
    dialog->day()->setText(QStringLiteral("2999-01-01"));
    QTest::keyClick(dialog->day(), Qt::Key_Return);
    REQUIRE(settle([&] { return !dialog->busy(); }));
    CHECK_THAT(dialog->strip()->sentence().toStdString(), Contains("not known yet"));
    dialog->day()->setText(QStringLiteral("1. May"));
    QTest::keyClick(dialog->day(), Qt::Key_Return);
    CHECK(dialog->strip()->kind() == MessageStrip::Kind::problem);
    dialog->day()->setText(QStringLiteral("2001-01-01"));
    QTest::keyClick(dialog->day(), Qt::Key_Return);
    REQUIRE(settle([&] { return !dialog->busy(); }));
    CHECK_THAT(dialog->total().toStdString(), Contains("2001-01-01: 0"));
    for (const char* name : {"value.xlsx", "value.csv"}) {
        desk.test.prompts.next_path = desk.test.folder.filePath(QLatin1String(name));
        dialog->write();
        CHECK(QFile::exists(desk.test.prompts.next_path));
    }
    desk.test.prompts.next_path = desk.test.folder.filePath(QStringLiteral("value.pdf"));
    dialog->savePdf();
    REQUIRE(settle([&] { return !dialog->busy(); }));
    CHECK(QFileInfo(desk.test.prompts.next_path).size() > 1000);
    dialog->close();
}
