// SPDX-License-Identifier: GPL-3.0-or-later
// The valves of a component at the desk: added, parted by legs, planned together, pulled in one walk.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/jobs/valves_panel.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "app/services/job_target.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_verify.h"

#include <QCheckBox>
#include <QComboBox>
#include <QLineEdit>
#include <QListView>
#include <QPushButton>
#include <QSpinBox>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

const std::string job = "JOB-1003";

struct ValvesDesk {
    ValvesDesk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(test.window.shopShown());
        jobs().pickJob(job);
        REQUIRE(rested());
        press(test.window, Qt::Key_E, Qt::ControlModifier | Qt::ShiftModifier);
    }

    [[nodiscard]] JobsPage& jobs() { return test.window.jobs(); }
    [[nodiscard]] ValvesPanel& valves() { return jobs().valves(); }
    [[nodiscard]] bool rested() {
        return settle([&] { return !test.window.busy(); });
    }
    [[nodiscard]] inventory::ShopFile& file() { return test.window.session().shop(); }
    [[nodiscard]] std::string said() { return jobs().strip()->sentence().toStdString(); }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("A valve is added by keys, shown beneath its job, and gone to with Return") {
    ValvesDesk desk;
    CHECK(desk.valves().table()->hasFocus());
    CHECK(desk.valves().table()->rowCount() == 1);
    CHECK_FALSE(desk.valves().separateButton()->isEnabled());
    desk.valves().nameField()->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("mid"));
    press(desk.test.window, Qt::Key_Return);
    REQUIRE(desk.rested());
    CHECK_THAT(desk.said(), Contains("JOB-1003/mid is open"));
    CHECK(desk.valves().table()->rowCount() == 2);
    // It stands right beneath its job in the list, and says which it is.
    const QAbstractItemModel* list = desk.jobs().jobList()->model();
    int row = -1;
    for (int at = 0; at < list->rowCount(); ++at) {
        if (list->index(at, JobTableModel::code).data() == QStringLiteral("JOB-1003/mid")) row = at;
    }
    REQUIRE(row > 0);
    CHECK(list->index(row - 1, JobTableModel::code).data() == QStringLiteral("JOB-1003"));
    CHECK(list->index(row, JobTableModel::code).data(JobTableModel::further_valve_role).toBool());
    desk.valves().table()->setFocus();
    desk.valves().table()->setCurrentCell(1, 0);
    press(desk.test.window, Qt::Key_Return);
    REQUIRE(desk.rested());
    CHECK(desk.jobs().pickedJob() == "JOB-1003/mid");
    // The same valve once more is refused in a sentence.
    desk.valves().nameField()->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("mid"));
    press(desk.test.window, Qt::Key_Return);
    CHECK_THAT(desk.said(), Contains("already"));
    CHECK(desk.valves().nameField()->currentText() == QStringLiteral("mid")); // what was typed stays
    CHECK(inventory::componentValves(desk.file(), job).size() == 2);
}

TEST_CASE("Legs get a stack of their own, all valves are planned together, pulled in one walk and recorded "
          "as one") {
    ValvesDesk desk;
    REQUIRE(desk.valves().splitButton()->isEnabled());
    CHECK(desk.valves().fromLeg()->value() == 2);
    QTest::mouseClick(desk.valves().splitButton(), Qt::LeftButton);
    REQUIRE(desk.rested());
    const auto valves = inventory::componentValves(desk.file(), job);
    REQUIRE(valves.size() == 2);
    const std::string leg = valves[1].code;
    CHECK_THAT(desk.said(), Contains(leg + " has a stack of its own"));
    // Of that leg alone another target.
    auto rows = inventory::JobBook(desk.file()).stack(leg, inventory::StackRole::target)->rows;
    rows.front().count += 1;
    (void)services::saveTarget(desk.file(), leg, rows);
    desk.test.window.session().announceChange();
    REQUIRE(desk.rested());
    desk.jobs().allJobs().oneComponent()->setChecked(true);
    press(desk.test.window, Qt::Key_F5, Qt::ControlModifier);
    REQUIRE(desk.rested());
    REQUIRE(desk.jobs().allJobs().plan());
    CHECK(desk.jobs().allJobs().plan()->jobs.size() == 2); // and no other open job
    REQUIRE(desk.jobs().allJobs().canReserve());
    desk.jobs().allJobs().reserve();
    REQUIRE(desk.rested());
    const inventory::StockLedger ledger(desk.file());
    REQUIRE_FALSE(ledger.reservationsOf(leg).empty());
    REQUIRE_FALSE(ledger.reservationsOf(job).empty());
    desk.jobs().pickJob(job);
    press(desk.test.window, Qt::Key_7, Qt::ControlModifier);
    REQUIRE(desk.rested());
    PullPanel& pull = desk.test.window.workshop().pull();
    const auto lines = ledger.reservationsOf(leg).size() + ledger.reservationsOf(job).size();
    CHECK(pull.openLines() == static_cast<int>(lines));
    bool of_leg = false;
    for (std::size_t line = 0; line < lines && pull.openLines() > 0; ++line) {
        of_leg = of_leg || pull.purpose().contains(QString::fromStdString(leg));
        const int before = pull.openLines();
        press(desk.test.window, Qt::Key_Return);
        CHECK(pull.openLines() == before - 1); // Return books the line that is shown, and no other
    }
    CHECK(of_leg);
    CHECK(pull.openLines() == 0);
    const inventory::JobBook book(desk.file());
    CHECK(book.get(job).status == inventory::JobStatus::pulled);
    CHECK(book.get(leg).status == inventory::JobStatus::pulled);
    REQUIRE(desk.rested());
    press(desk.test.window, Qt::Key_8, Qt::ControlModifier);
    press(desk.test.window, Qt::Key_F12);
    REQUIRE(desk.rested());
    CHECK_THAT(desk.test.prompts.asked.join(QLatin1Char(' ')).toStdString(),
               Contains(leg + " is pulled, and ends as well"));
    CHECK(book.get(job).status == inventory::JobStatus::closed);
    CHECK(book.get(leg).status == inventory::JobStatus::closed);
    CHECK(inventory::verifyStock(desk.file()).good());
}
