// SPDX-License-Identifier: GPL-3.0-or-later
// Jobs come in, are changed and are given up at the desk.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"

#include <QComboBox>
#include <QDir>
#include <QFile>
#include <QLineEdit>
#include <QListView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

struct Desk {
    Desk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        settleDown();
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    /// Presses the key of the action; `meanwhile` is what is done at the dialog.
    void ask(Qt::Key key, Qt::KeyboardModifiers modifiers, const std::function<void(JobDialog&)>& meanwhile) {
        bool asked = false;
        test.prompts.at_job = [&](JobDialog& dialog) {
            asked = true;
            meanwhile(dialog);
        };
        press(test.window, key, modifiers);
        REQUIRE(asked);
        settleDown();
        test.window.activateWindow(); // what a window manager does when a dialog closes
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
    }
    [[nodiscard]] inventory::Job job(const std::string& code) {
        auto file = inventory::ShopFile::openReadOnly(shop.path().toStdString());
        return inventory::JobBook(file).get(code);
    }
    [[nodiscard]] std::size_t jobs() {
        auto file = inventory::ShopFile::openReadOnly(shop.path().toStdString());
        return inventory::JobBook(file).list().size();
    }
    [[nodiscard]] std::string told() { return test.window.jobs().strip()->sentence().toStdString(); }

    DemoShopCopy shop;
    TestWindow test;
};

void set(const JobDialog& dialog, const char* field, const char* text) {
    setValues(dialog.fields(), {{QString::fromLatin1(field), QString::fromLatin1(text)}});
}

std::string said(const JobDialog& dialog, const char* field) {
    return valuesOf(dialog.fields()).value(QString::fromLatin1(field)).toString().toStdString();
}

void typeInto(QWidget* field, const char* text) {
    REQUIRE(field != nullptr);
    QTest::keyClicks(field, QString::fromLatin1(text));
}

} // namespace

TEST_CASE("A job is opened by keys alone, with the sizes of the last one on that valve, and then looked at") {
    Desk desk;
    const inventory::Job like = desk.job("JOB-1003");
    desk.ask(Qt::Key_J, Qt::ControlModifier, [&](JobDialog& dialog) {
        REQUIRE(QTest::qWaitForWindowActive(&dialog));
        typeInto(dialog.focusWidget(), like.model.c_str());
        QTest::keyClick(dialog.focusWidget(), Qt::Key_Return); // a scanner sends it after each mark
        CHECK(dialog.isVisible());
        typeInto(dialog.focusWidget(), "base");
        QTest::keyClick(dialog.focusWidget(), Qt::Key_Tab); // legs, as the model has
        CHECK_THAT(dialog.sizesFrom().toStdString(), Contains("JOB-1003"));
        QTest::keyClick(dialog.focusWidget(), Qt::Key_Tab);
        typeInto(dialog.focusWidget(), "N. Body (invented)");
        QTest::keyClick(dialog.focusWidget(), Qt::Key_Return, Qt::ControlModifier);
        CHECK_FALSE(dialog.isVisible());
    });
    const inventory::Job job = desk.job("JOB-1011");
    CHECK(job.customer == "N. Body (invented)");
    CHECK(job.valve == like.valve);
    CHECK(job.legs == like.legs);
    CHECK(desk.test.window.jobs().pickedJob() == "JOB-1011");
    CHECK_THAT(desk.told(), Contains("JOB-1011 is open"));
    CHECK(desk.told().find("Body") == std::string::npos);
    // Its target begins from nothing, where it stands.
    press(desk.test.window, Qt::Key_2, Qt::ControlModifier);
    press(desk.test.window, Qt::Key_Insert);
    press(desk.test.window, Qt::Key_S, Qt::ControlModifier);
    CHECK(desk.test.window.jobs().target().draft().saved().size() == 1);
}

TEST_CASE("What a person has typed is not changed by what an earlier job has") {
    Desk desk;
    desk.ask(Qt::Key_J, Qt::ControlModifier, [&](JobDialog& dialog) {
        set(dialog, "model", "FK-CEDAR-41");
        set(dialog, "clamp_od_mm", "10.6");
        set(dialog, "valve", "base");
        CHECK(said(dialog, "clamp_od_mm") == "10.6");
        CHECK(said(dialog, "port_inner_diameter_mm") == "13.0");
        set(dialog, "valve", "mid"); // nobody has had it on the bench yet
        CHECK(said(dialog, "clamp_od_mm") == "10.6");
        CHECK(said(dialog, "port_inner_diameter_mm").empty());
    });
}

TEST_CASE("What is missing from a new job is told in the dialog, which stays, and nothing is booked") {
    Desk desk;
    const std::size_t before = desk.jobs();
    desk.ask(Qt::Key_J, Qt::ControlModifier, [&](JobDialog& dialog) {
        const auto refused = [&](const char* sentence) {
            dialog.book();
            CHECK(dialog.isVisible());
            CHECK_THAT(dialog.problem().toStdString(), Contains(sentence));
        };
        refused("The model is missing");
        set(dialog, "model", "FK-CEDAR-41");
        refused("The valve is missing");
        set(dialog, "valve", "mid");
        refused("Clamp diameter is missing");
        CHECK(dialog.focusWidget() == dialog.fields().at(QStringLiteral("clamp_od_mm")));
        set(dialog, "valve", "base");
        set(dialog, "seat_diameter_mm", "wide");
        refused("Seat diameter is missing, or is no length");
        set(dialog, "seat_diameter_mm", "");
        set(dialog, "due", "next week");
        refused("next week");
        set(dialog, "due", "2001-01-01");
        refused("before it was opened");
        set(dialog, "due", "");
        set(dialog, "code", "JOB-1001");
        refused("is there already");
    });
    CHECK(desk.jobs() == before);
}

TEST_CASE("A new job that was left half typed is there again after the window was closed") {
    Desk desk;
    const std::size_t before = desk.jobs();
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        set(dialog, "model", "SK-NEVER-SEEN");
        set(dialog, "kind", "shock");
        set(dialog, "valve", "base");
        set(dialog, "clamp_od_mm", "0.5 in");
        set(dialog, "customer", "N. Body (invented)");
        QTest::keyClick(&dialog, Qt::Key_Escape);
        CHECK_FALSE(dialog.isVisible());
    });
    CHECK(desk.jobs() == before);
    // The customer is kept in memory, and in no file but the shop's.
    for (const QFileInfo& file : QDir(desk.test.folder.path()).entryInfoList(QDir::Files)) {
        QFile kept(file.filePath());
        REQUIRE(kept.open(QIODevice::ReadOnly));
        CHECK_FALSE(kept.readAll().contains("N. Body"));
    }
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        CHECK(said(dialog, "model") == "SK-NEVER-SEEN");
        CHECK(said(dialog, "customer") == "N. Body (invented)");
        CHECK(said(dialog, "kind") == "shock");
        CHECK(said(dialog, "clamp_od_mm") == "0.5 in");
        set(dialog, "port_inner_diameter_mm", "14");
        set(dialog, "port_outer_diameter_mm", "20");
        set(dialog, "shim_id_mm", "6");
        dialog.book();
        CHECK(dialog.problem().toStdString().empty());
    });
    CHECK(desk.job("JOB-1011").valve.clamp_od == Length::parseMillimetres("12.7"));
    CHECK(desk.job("JOB-1011").legs == 1); // a shock has one
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        CHECK(said(dialog, "model").empty()); // booked: nothing is left of it
        CHECK(said(dialog, "code") == "JOB-1012");
    });
}

TEST_CASE("What was left half typed can be forgotten, and a change that was cancelled is") {
    Desk desk;
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        set(dialog, "model", "FK-CEDAR-41");
        set(dialog, "valve", "base");
        set(dialog, "seat_diameter_mm", ""); // the earlier job had one
        set(dialog, "target", "as in JOB-1003, 8 rows");
    });
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        CHECK(said(dialog, "seat_diameter_mm").empty());
        CHECK(said(dialog, "target") == "as in JOB-1003, 8 rows");
        dialog.startAfresh();
        CHECK(said(dialog, "model").empty());
        CHECK(said(dialog, "clamp_od_mm").empty());
    });
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) { CHECK(said(dialog, "model").empty()); });
    desk.test.window.jobs().pickJob("JOB-1003");
    desk.ask(Qt::Key_E, Qt::ControlModifier, [](JobDialog& dialog) { set(dialog, "note", "never mind"); });
    desk.ask(Qt::Key_E, Qt::ControlModifier,
             [](JobDialog& dialog) { CHECK(said(dialog, "note") != "never mind"); });
}

TEST_CASE("A model that is typed on past a known one has the legs of its own kind, which must be said") {
    Desk desk;
    desk.ask(Qt::Key_J, Qt::ControlModifier, [](JobDialog& dialog) {
        set(dialog, "model", "SK-BASALT-12");
        CHECK(said(dialog, "legs") == "1");
        set(dialog, "model", "SK-BASALT-12B");
        CHECK(said(dialog, "legs") == "2");
        set(dialog, "valve", "base");
        dialog.book();
        CHECK_THAT(dialog.problem().toStdString(), Contains("fork or a shock"));
        set(dialog, "kind", "shock");
        CHECK(said(dialog, "legs") == "1");
        setValues(dialog.fields(), {{QStringLiteral("legs"), 3}});
        set(dialog, "kind", "fork");
        CHECK(said(dialog, "legs") == "3"); // a person's word
    });
}

TEST_CASE(
    "A code that another desk has taken meanwhile is passed over, a change made meanwhile is not put back") {
    Desk desk;
    auto other = inventory::ShopFile::open(desk.shop.path().toStdString());
    services::JobIntake theirs;
    theirs.job = inventory::JobBook(other).get("JOB-1003");
    theirs.job.code.clear();
    desk.ask(Qt::Key_J, Qt::ControlModifier, [&](JobDialog& dialog) {
        set(dialog, "model", "FK-CEDAR-41");
        set(dialog, "valve", "base");
        CHECK(services::openJob(other, theirs) == "JOB-1011");
        dialog.book();
        CHECK(dialog.problem().toStdString().empty());
    });
    CHECK(desk.job("JOB-1012").model == "FK-CEDAR-41");
    desk.test.window.jobs().pickJob("JOB-1003");
    desk.ask(Qt::Key_E, Qt::ControlModifier, [&](JobDialog& dialog) {
        const inventory::Job before = inventory::JobBook(other).get("JOB-1003");
        inventory::Job wanted = before;
        wanted.priority = 8;
        services::changeJob(other, before, wanted);
        set(dialog, "note", "ours");
        dialog.book();
        CHECK_THAT(dialog.problem().toStdString(), Contains("meanwhile"));
    });
    CHECK(desk.job("JOB-1003").priority == 8);
}

TEST_CASE("A job is changed in place, and keeps code, model and legs") {
    Desk desk;
    desk.test.window.jobs().pickJob("JOB-1003");
    const inventory::Job before = desk.job("JOB-1003");
    desk.ask(Qt::Key_E, Qt::ControlModifier, [](JobDialog& dialog) {
        for (const char* fixed : {"code", "model", "legs"}) {
            CHECK_FALSE(dialog.fields().at(QString::fromLatin1(fixed))->isEnabled());
        }
        set(dialog, "clamp_od_mm", "60");
        dialog.book();
        CHECK_FALSE(dialog.problem().isEmpty()); // no disc of the target reaches so far
        set(dialog, "clamp_od_mm", "10");
        set(dialog, "note", "with the long reservoir");
        setValues(dialog.fields(), {{QStringLiteral("priority"), 9}});
        dialog.book();
        CHECK_FALSE(dialog.isVisible());
    });
    inventory::Job after = before;
    after.priority = 9;
    after.note = "with the long reservoir";
    CHECK(desk.job("JOB-1003") == after);
    CHECK(desk.test.window.jobs().pickedJob() == "JOB-1003");
    CHECK_THAT(desk.told(), Contains("JOB-1003 is changed"));
}

TEST_CASE("A job is given up only when that is confirmed, and what it held is free again") {
    Desk desk;
    JobsPage& jobs = desk.test.window.jobs();
    inventory::ShopFile& file = desk.test.window.session().shop();
    const std::vector<std::string> part{"SH-24.0-6-0.10"};
    const auto reserved = [&] {
        std::int64_t sum = 0;
        for (const inventory::StockLot& lot : inventory::stockSnapshotOf(file, part).lots)
            sum += lot.reserved;
        return sum;
    };
    const std::int64_t before = reserved();
    inventory::StockLedger(file).reserve("JOB-1005", {{part[0], "A01", inventory::Condition::fresh, 2}});
    desk.test.window.actions()[ActionId::refresh]->trigger();
    desk.settleDown();
    jobs.pickJob("JOB-1005");
    CHECK(reserved() == before + 2);
    const auto action = desk.test.window.actions()[ActionId::give_up_job];
    REQUIRE(action->isEnabled());
    desk.test.prompts.accept = false;
    action->trigger();
    desk.settleDown();
    CHECK(desk.job("JOB-1005").status == inventory::JobStatus::reserved);
    desk.test.prompts.accept = true;
    action->trigger();
    desk.settleDown();
    CHECK(desk.job("JOB-1005").status == inventory::JobStatus::cancelled);
    CHECK_THAT(desk.test.prompts.asked.last().toStdString(), Contains("JOB-1005"));
    CHECK_THAT(desk.told(), Contains("JOB-1005 is cancelled; 2 reserved pieces are free again"));
    CHECK(reserved() == before);
    CHECK(jobs.pickedJob() != std::string("JOB-1005")); // it has left the list
    jobs.pickJob("JOB-1005");
    CHECK(jobs.pickedJob() == std::string("JOB-1005")); // and is brought back by name
    CHECK_FALSE(action->isEnabled());
    CHECK_FALSE(desk.test.window.actions()[ActionId::change_job]->isEnabled());
}

TEST_CASE("An empty shop takes its first job, with a model of its own") {
    TestWindow test;
    test.prompts.next_path = test.folder.filePath(QStringLiteral("new.db"));
    test.window.actions()[ActionId::new_shop]->trigger();
    REQUIRE(settle([&] { return test.window.shopShown() && !test.window.busy(); }));
    test.prompts.at_job = [](JobDialog& dialog) {
        CHECK(said(dialog, "code") == "JOB-0001");
        set(dialog, "model", "FK-FIRST");
        set(dialog, "kind", "fork");
        set(dialog, "valve", "rebound");
        for (const auto& [field, size] : {std::pair("clamp_od_mm", "8"),
                                          {"port_inner_diameter_mm", "10"},
                                          {"port_outer_diameter_mm", "17"},
                                          {"shim_id_mm", "6"}}) {
            set(dialog, field, size);
        }
        dialog.book();
        CHECK(dialog.problem().toStdString().empty());
    };
    test.window.actions()[ActionId::new_job]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.jobs().pickedJob() == "JOB-0001");
}
