// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/all_jobs_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/stack_view/stack_section_widget.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <QAbstractItemModelTester>
#include <QSpinBox>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// Opens the shop and plans all its jobs by keys, in no more than a few seconds.
void planAll(TestWindow& test, const DemoShopCopy& shop) {
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    REQUIRE(settle([&] { return !test.window.busy(); }));
    for (QSpinBox* box : test.window.jobs().rules().findChildren<QSpinBox*>()) {
        if (box->suffix() == QStringLiteral(" s")) {
            box->setValue(2);
        }
    }
    press(test.window, Qt::Key_1, Qt::ControlModifier);
    press(test.window, Qt::Key_F5, Qt::ControlModifier);
    CHECK(test.window.jobs().allJobs().planning());
}

} // namespace

TEST_CASE("The table of all jobs is a sound model and tells in words what each job gets") {
    AllJobsTableModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    std::vector<planner::SharedJobPlan> jobs(3);
    jobs[0].name = "J1";
    jobs[0].proposal.emplace();
    jobs[0].deviation = 0.0130;
    jobs[0].alone = planner::SubstituteStatus::proved_best;
    jobs[0].deviation_alone = 0.0130;
    jobs[1].name = "J2";
    jobs[1].proposal.emplace().discs_changed = 2;
    jobs[1].deviation = 0.0131;
    jobs[1].sentence = "It would come closer without J1.";
    jobs[2].name = "J3";
    jobs[2].alone = planner::SubstituteStatus::nothing_possible;
    model.setJobs(jobs);
    const auto shown = [&](int row, int column) { return model.index(row, column).data().toString(); };
    CHECK(shown(0, AllJobsTableModel::gets) == QStringLiteral("own discs (1.3 % as measured)"));
    CHECK(shown(0, AllJobsTableModel::alone) == QStringLiteral("the same"));
    CHECK(shown(1, AllJobsTableModel::gets) == QStringLiteral("1.3 % off"));
    CHECK(shown(1, AllJobsTableModel::held_back).contains(QStringLiteral("J1")));
    CHECK(shown(2, AllJobsTableModel::gets) == QStringLiteral("nothing"));
    CHECK(shown(2, AllJobsTableModel::alone) == QStringLiteral("nothing"));
}

TEST_CASE("A tuner plans all open jobs by keys, looks at each on the bench, and reserves for all of them") {
    const DemoShopCopy shop;
    TestWindow test;
    planAll(test, shop);
    JobsPage& jobs = test.window.jobs();
    const AllJobsPanel& all = jobs.allJobs();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    INFO(jobs.strip()->sentence().toStdString());
    REQUIRE(all.plan());
    CHECK(all.table()->hasFocus());
    const int rows = all.table()->model()->rowCount();
    REQUIRE(rows > 3);

    press(test.window, Qt::Key_Down);
    press(test.window, Qt::Key_Up);
    const planner::SharedJobPlan& first = all.plan()->plan.jobs.front();
    CHECK(jobs.pickedJob() == first.name);
    REQUIRE(first.proposal);
    CHECK(jobs.bench().section()->accessibleDescription().contains(QStringLiteral("Planned with all jobs")));

    std::vector<std::string> planned;
    for (const planner::SharedJobPlan& job : all.plan()->plan.jobs) {
        if (job.proposal) {
            planned.push_back(job.name);
        }
    }
    test.prompts.accept = false;
    press(test.window, Qt::Key_F6, Qt::ControlModifier);
    auto file = inventory::ShopFile::openReadOnly(shop.path().toStdString());
    CHECK(inventory::StockLedger(file).reservationsOf(planned.front()).empty());
    test.prompts.accept = true;
    press(test.window, Qt::Key_F6, Qt::ControlModifier);
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.prompts.asked.last().contains(QString::number(planned.size())));
    for (const std::string& job : planned) {
        CHECK_FALSE(inventory::StockLedger(file).reservationsOf(job).empty());
    }
    CHECK(inventory::verifyStock(file).good());
    CHECK_FALSE(all.plan()); // it is no plan any more
    CHECK_FALSE(all.canReserve());
}

TEST_CASE("A plan of all jobs that the drawers have left behind says so and reserves nothing") {
    const DemoShopCopy shop;
    TestWindow test;
    planAll(test, shop);
    const AllJobsPanel& all = test.window.jobs().allJobs();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    REQUIRE(all.plan());
    {
        auto other = inventory::ShopFile::open(shop.path().toStdString());
        const planner::Pull& pull = all.plan()->plan.jobs.front().proposal->pulls.front();
        inventory::MovementLine scrapped;
        scrapped.kind = inventory::MovementKind::scrap;
        scrapped.part = pull.part;
        scrapped.bin = pull.bin;
        scrapped.condition = pull.used ? inventory::Condition::used : inventory::Condition::fresh;
        // All that is there: one piece of a full drawer would not concern the plan.
        for (const inventory::StockLot& lot : inventory::stockSnapshot(other).lots) {
            if (lot.part == pull.part && lot.bin == pull.bin && lot.condition == scrapped.condition)
                scrapped.quantity = lot.available();
        }
        scrapped.reason = "bent";
        (void)inventory::StockLedger(other).post({scrapped});
    }
    press(test.window, Qt::Key_F6, Qt::ControlModifier);
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.jobs().strip()->sentence().contains(QStringLiteral("plan")));
    auto file = inventory::ShopFile::openReadOnly(shop.path().toStdString());
    for (const planner::SharedJobPlan& job : all.plan()->plan.jobs) {
        CHECK(inventory::StockLedger(file).reservationsOf(job.name).empty());
    }
}

TEST_CASE("Escape ends the plan of all jobs, and another shop drops it") {
    const DemoShopCopy shop, other;
    TestWindow test;
    planAll(test, shop);
    const AllJobsPanel& all = test.window.jobs().allJobs();
    press(test.window, Qt::Key_Escape);
    REQUIRE(settle([&] { return !test.window.busy(); }));
    REQUIRE(all.plan());
    CHECK_FALSE(all.plan()->plan.proved);
    CHECK(all.sentence().contains(QStringLiteral("better plan may exist")));
    test.window.openShop(other.path());
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK_FALSE(test.window.jobs().allJobs().plan());
}
