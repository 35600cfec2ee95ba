// SPDX-License-Identifier: GPL-3.0-or-later
// The disk fails under the window, at the first call of a step, the second, and so on until nothing fails any
// more: nothing escapes a slot, what was not booked is told in a sentence, and the entry stays as it was
// typed.
#include "desk_fixture.h"
#include "keys.h"
#include "watched_application.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/import/import_dialog.h"
#include "app/desk/import/import_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_verify.h"
#include "inventory/strip_record.h"
#include "inventory/wear_finding.h"
#include "planner/stack/stack_text.h"
#include "tests/faults/fault_vfs.h"

#include <QElapsedTimer>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using faults::Fault;

namespace {

const std::string job = "JOB-1002";

struct Failing {
    const char* name;
    Fault fault;
    std::int64_t times; ///< 0: from then on for good
};
const std::vector<Failing> every_failing{{"a write fails", Fault::writeError, 1},
                                         {"the disk is full", Fault::diskFull, 0},
                                         {"a sync fails", Fault::syncFails, 1},
                                         {"a read fails", Fault::readError, 1},
                                         {"no read succeeds any more", Fault::readError, 0}};

struct Desk {
    Desk() {
        faults::installFaultVfs();
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        test.window.jobs().pickJob(job);
        settleDown();
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    void act(ActionId id) { test.window.actions()[id]->trigger(); }
    /// A file of its own, so that nothing the window holds is looked at.
    template <typename Look>
    auto inFile(Look&& look) {
        auto file = inventory::ShopFile::openReadOnly(shop.path().toStdString());
        return look(file);
    }
    std::string revision() {
        return std::to_string(
            inFile([](inventory::ShopFile& file) { return inventory::StockLedger(file).revision(); }));
    }
    void quieten() {
        for (MessageStrip* strip : test.window.findChildren<MessageStrip*>()) strip->clear();
    }
    /// What any strip says is wrong.
    QString told() {
        QStringList sentences;
        for (const MessageStrip* strip : test.window.findChildren<MessageStrip*>()) {
            if (strip->kind() == MessageStrip::Kind::problem && !strip->sentence().isEmpty()) {
                sentences << strip->sentence();
            }
        }
        return sentences.join(QLatin1Char('\n'));
    }

    DemoShopCopy shop;
    TestWindow test;
    int round = 0; ///< for entries that must differ from what was booked before
};

/// Something that a person does at the window.
struct Step {
    std::function<void(Desk&)> prepare; ///< what is typed, where it is not there any more
    std::function<void(Desk&)> act;
    std::function<QString(Desk&)> typed;       ///< the entry as it stands
    std::function<std::string(Desk&)> booked;  ///< changes when the step has been done
    std::function<QString(Desk&)> beside = {}; ///< what is said beside the entry, if not in a strip
};

void checkSentences(const QString& told) {
    INFO(told.toStdString());
    CHECK_FALSE(told.contains(QStringLiteral("A fault of this program")));
    CHECK_FALSE(told.contains(QStringLiteral("SQL")));
}

enum class Calls { each, some }; ///< some: the first, and then ever farther between

std::int64_t nextCall(std::int64_t nth, Calls calls) {
    return calls == Calls::each ? nth + 1 : 5 * nth + 1;
}

/// Does the step over and over on one window, the disk failing at a later call each time.
void failAtCalls(const Step& step, Calls calls) {
    Desk desk;
    for (const Failing& failing : every_failing) {
        int hits = 0;
        for (std::int64_t nth = 1;; nth = nextCall(nth, calls)) {
            ++desk.round;
            step.prepare(desk);
            desk.settleDown();
            const QString typed = step.typed(desk);
            REQUIRE_FALSE(typed.isEmpty());
            const std::string before = step.booked(desk);
            desk.quieten();
            faults::planFault(failing.fault, nth, failing.times);
            step.act(desk);
            desk.settleDown();
            const bool hit = faults::endPlan();
            INFO(failing.name << ", call " << nth);
            const bool booked = step.booked(desk) != before;
            const QString told = desk.told() + (step.beside ? step.beside(desk) : QString());
            INFO("told: " << told.toStdString());
            CHECK(WatchedApplication::escapedSoFar() == 0);
            CHECK(desk.test.window.isVisible());
            checkSentences(told);
            if (!booked) {
                CHECK_FALSE(told.isEmpty());
                CHECK(step.typed(desk).toStdString() == typed.toStdString());
                desk.act(ActionId::refresh); // the disk is well again
                desk.settleDown();
                CHECK(step.typed(desk).toStdString() == typed.toStdString());
            }
            if (!hit) {
                CHECK(booked);
                break;
            }
            ++hits;
            REQUIRE(nth < 5000);
        }
        CHECK((hits > 0 || failing.fault == Fault::readError)); // what is read may still be in memory
    }
    CHECK(desk.inFile([](inventory::ShopFile& file) { return inventory::verifyStock(file).good(); }));
}

QString stackOf(const TargetDraft::Rows& rows) {
    return QString::fromStdString(planner::stackText(rows, "; "));
}

const Step strip_row{
    [](Desk& desk) {
        desk.act(ActionId::go_strip);
        QLineEdit* entry = desk.test.window.workshop().strip().entry();
        if (!entry->text().isEmpty()) return;
        QTest::keyClicks(entry, QStringLiteral("1 24 0.099")); // one that is taken, and one in the field
        QTest::keyClick(entry, Qt::Key_Return);
        QTest::keyClicks(entry, QStringLiteral("1 22 0.101"));
    },
    [](Desk& desk) { desk.act(ActionId::strip_write); },
    // Rows that were taken and the one in the field, as they are kept.
    [](Desk& desk) { return desk.test.settings.drafts().text(QStringLiteral("strip/JOB-1002/1")).trimmed(); },
    [](Desk& desk) {
        return desk.inFile([](inventory::ShopFile& file) {
            std::size_t rows = 0;
            for (const auto& sheet : inventory::StripRecords(file).ofJob(job)) rows += sheet.rows.size();
            return std::to_string(rows);
        });
    },
    [](Desk& desk) { return desk.test.window.workshop().strip().problem(); }};

const Step count{
    [](Desk& desk) {
        desk.act(ActionId::go_count);
        desk.test.window.drawers().table()->selectRow(3);
        QLineEdit* field = desk.test.window.drawers().count().counted();
        if (field->text().isEmpty()) {
            QTest::keyClicks(field, QString::number(200 + desk.round));
        }
    },
    [](Desk& desk) { QTest::keyClick(desk.test.window.drawers().count().counted(), Qt::Key_Return); },
    [](Desk& desk) {
        desk.test.window.drawers().table()->selectRow(3);
        return desk.test.window.drawers().count().counted()->text();
    },
    [](Desk& desk) { return desk.revision(); },
    [](Desk& desk) { return desk.test.window.drawers().count().remark(); }};

void reserveIt(Desk& desk) {
    desk.act(ActionId::go_jobs);
    desk.test.window.jobs().pickJob(job);
    if (desk.test.window.actions()[ActionId::release_reservation]->isEnabled()) return;
    desk.act(ActionId::find_substitutes);
    desk.settleDown();
    desk.act(ActionId::reserve_proposal);
    desk.settleDown();
}

const Step pull{
    [](Desk& desk) {
        reserveIt(desk);
        desk.act(ActionId::go_pull);
        PullPanel& panel = desk.test.window.workshop().pull();
        if (desk.test.window.actions()[ActionId::pull_undo]->isEnabled()) {
            desk.act(ActionId::pull_undo);
        }
        REQUIRE(panel.openLines() > 0);
        if (panel.scan()->text().isEmpty()) QTest::keyClicks(panel.scan(), panel.nextBin());
    },
    [](Desk& desk) { QTest::keyClick(desk.test.window.workshop().pull().scan(), Qt::Key_Return); },
    [](Desk& desk) { return desk.test.window.workshop().pull().scan()->text(); },
    [](Desk& desk) { return desk.revision(); }};

const Step reserve{[](Desk& desk) {
                       desk.act(ActionId::go_jobs);
                       if (desk.test.window.actions()[ActionId::release_reservation]->isEnabled()) {
                           desk.act(ActionId::release_reservation);
                       }
                       desk.settleDown();
                       if (desk.test.window.actions()[ActionId::reserve_proposal]->isEnabled()) return;
                       desk.act(ActionId::find_substitutes);
                   },
                   [](Desk& desk) { desk.act(ActionId::reserve_proposal); },
                   [](Desk& desk) {
                       return desk.test.window.actions()[ActionId::reserve_proposal]->isEnabled()
                                  ? QStringLiteral("proposals")
                                  : QString();
                   },
                   [](Desk& desk) { return desk.revision(); }};

const Step receive{[](Desk& desk) {
                       desk.act(ActionId::go_reorder);
                       desk.settleDown();
                       ReorderPage& page = desk.test.window.reorder();
                       auto* expected = page.expectedTable()->model();
                       if (expected->rowCount() == 0) {
                           desk.act(ActionId::mark_ordered);
                           desk.settleDown();
                       }
                       REQUIRE(expected->rowCount() > 0);
                       page.expectedTable()->setCurrentIndex(expected->index(0, ExpectedTableModel::came));
                       expected->setData(expected->index(0, ExpectedTableModel::came), 1, Qt::EditRole);
                       expected->setData(expected->index(0, ExpectedTableModel::bin), QStringLiteral("E01"),
                                         Qt::EditRole);
                   },
                   [](Desk& desk) { desk.act(ActionId::receive_delivery); },
                   [](Desk& desk) {
                       const auto* expected = desk.test.window.reorder().expectedTable()->model();
                       return expected->index(0, ExpectedTableModel::came).data().toString() +
                              expected->index(0, ExpectedTableModel::bin).data().toString();
                   },
                   [](Desk& desk) { return desk.revision(); }};

const Step put_away{
    [](Desk& desk) {
        desk.act(ActionId::go_measure);
        MeasurePanel& panel = desk.test.window.drawers().measure();
        panel.field()->setText(QStringLiteral("23.9 x 6 x 0.148"));
        QTest::keyClick(panel.field(), Qt::Key_Return);
        REQUIRE(panel.matches()->rowCount() > 0);
        panel.bin()->setText(QStringLiteral("A01"));
    },
    [](Desk& desk) { QTest::keyClick(desk.test.window.drawers().measure().bin(), Qt::Key_Return); },
    [](Desk& desk) {
        const MeasurePanel& panel = desk.test.window.drawers().measure();
        return panel.field()->text() + QLatin1Char(' ') + panel.bin()->text();
    },
    [](Desk& desk) { return desk.revision(); },
    [](Desk& desk) { return desk.test.window.drawers().measure().remark(); }};

const Step pieces{
    [](Desk& desk) {
        desk.act(ActionId::go_pieces);
        desk.test.window.drawers().table()->selectRow(3);
        setValues(desk.test.window.drawers().pieces().fields(),
                  {{QStringLiteral("what"), QStringLiteral("came in without an order")},
                   {QStringLiteral("quantity"), 12},
                   {QStringLiteral("reason"), QStringLiteral("found")}});
    },
    [](Desk& desk) { QTest::mouseClick(desk.test.window.drawers().pieces().bookButton(), Qt::LeftButton); },
    [](Desk& desk) {
        const QVariantMap said = valuesOf(desk.test.window.drawers().pieces().fields());
        return said.value(QStringLiteral("quantity")).toString() +
               said.value(QStringLiteral("reason")).toString();
    },
    [](Desk& desk) { return desk.revision(); },
    [](Desk& desk) { return desk.test.window.drawers().pieces().remark(); }};

const Step undo{
    [](Desk& desk) {
        desk.act(ActionId::go_history);
        desk.test.window.drawers().table()->selectRow(3);
        HistoryPanel& panel = desk.test.window.drawers().history();
        panel.reason()->setText(QStringLiteral("counted twice"));
        for (int row = 0; row < panel.table()->rowCount(); ++row) {
            panel.table()->selectRow(row);
            if (panel.undoButton()->isEnabled()) break;
        }
        REQUIRE(panel.undoButton()->isEnabled());
    },
    [](Desk& desk) { QTest::mouseClick(desk.test.window.drawers().history().undoButton(), Qt::LeftButton); },
    [](Desk& desk) { return desk.test.window.drawers().history().reason()->text(); },
    [](Desk& desk) { return desk.revision(); }};

const Step target{
    [](Desk& desk) {
        desk.act(ActionId::go_target);
        TargetEditor& editor = desk.test.window.jobs().target();
        if (!editor.draft().edited()) {
            auto* model = editor.table()->model();
            model->setData(model->index(0, StackTableModel::count), 2 + desk.round % 7, Qt::EditRole);
            if (!editor.draft().edited()) {
                model->setData(model->index(0, StackTableModel::count), 12, Qt::EditRole);
            }
        }
    },
    [](Desk& desk) { desk.act(ActionId::save_target); },
    [](Desk& desk) {
        const TargetDraft& draft = desk.test.window.jobs().target().draft();
        return draft.edited() ? stackOf(draft.rows()) : QString();
    },
    [](Desk& desk) {
        return desk.inFile([](inventory::ShopFile& file) {
            std::string text;
            const auto wanted = inventory::JobBook(file).stack(job, inventory::StackRole::target);
            for (const auto& row : wanted->rows) {
                text += std::to_string(row.count) + ' ';
            }
            return text;
        });
    },
    [](Desk& desk) { return desk.test.window.jobs().target().problem(); }};

const Step inspection{[](Desk& desk) {
                          desk.act(ActionId::go_inspect);
                          InspectPanel& panel = desk.test.window.workshop().inspect();
                          panel.table()->setCurrentCell(panel.table()->rowCount() - 1, 0);
                          auto* place = panel.findChildren<QLineEdit*>().first();
                          if (!place->text().isEmpty()) return;
                          QTest::keyClicks(place, QStringLiteral("slider %1").arg(desk.round));
                          panel.reason()->clear();
                          QTest::keyClicks(panel.reason(), QStringLiteral("scored"));
                      },
                      [](Desk& desk) { desk.act(ActionId::inspect_write); },
                      [](Desk& desk) {
                          InspectPanel& panel = desk.test.window.workshop().inspect();
                          panel.table()->setCurrentCell(panel.table()->rowCount() - 1, 0);
                          QString words;
                          for (const QLineEdit* field : panel.findChildren<QLineEdit*>())
                              words += field->text();
                          return words;
                      },
                      [](Desk& desk) {
                          return desk.inFile([](inventory::ShopFile& file) {
                              return std::to_string(inventory::WearBook(file).ofJob(job).size());
                          });
                      }};

const Step import{[](Desk& desk) {
                      if (auto* open = desk.test.window.importing()->dialog()) delete open;
                      const QString path = desk.shop.file(QStringLiteral("parts.csv"));
                      std::ofstream(path.toStdString(), std::ios::binary)
                          << "part,kind,description,od_mm,id_mm,thickness_mm,unit\r\nNEW-" << desk.round
                          << ",shim,,24.0,6.0,0.10,piece\r\n";
                      desk.test.prompts.next_path = path;
                  },
                  [](Desk& desk) {
                      desk.act(ActionId::import_csv);
                      desk.settleDown();
                      if (auto* open = desk.test.window.importing()->dialog();
                          open && open->importButton()->isEnabled())
                          QTest::mouseClick(open->importButton(), Qt::LeftButton);
                  },
                  [](Desk&) { return QStringLiteral("the file"); },
                  [](Desk& desk) {
                      return desk.inFile([](inventory::ShopFile& file) {
                          return std::to_string(inventory::PartCatalogue(file).list().size());
                      });
                  },
                  [](Desk& desk) {
                      const auto* open = desk.test.window.importing()->dialog();
                      return open != nullptr ? open->strip()->sentence() : QString();
                  }};

} // namespace

// The long form takes every call that the disk is asked for.
#define SHIMLEDGER_FAULT_CASE(words, step)                                                                   \
    TEST_CASE("With the disk failing at any call: " words, "[.long][file]") {                                \
        failAtCalls(step, Calls::each);                                                                      \
    }                                                                                                        \
    TEST_CASE("With the disk failing at some calls: " words, "[file]") {                                     \
        failAtCalls(step, Calls::some);                                                                      \
    }

SHIMLEDGER_FAULT_CASE("a row of the strip sheet stays typed until it is written down", strip_row)
SHIMLEDGER_FAULT_CASE("a count stays typed until it is booked", count)
SHIMLEDGER_FAULT_CASE("a scan stays in its field until it is booked", pull)
SHIMLEDGER_FAULT_CASE("proposals stay until one is reserved", reserve)
SHIMLEDGER_FAULT_CASE("what came stays typed until it is received", receive)
SHIMLEDGER_FAULT_CASE("a measured disc stays typed until it is put away", put_away)
SHIMLEDGER_FAULT_CASE("a movement of pieces stays typed until it is booked", pieces)
SHIMLEDGER_FAULT_CASE("the reason of an undoing stays typed until it is booked", undo)
SHIMLEDGER_FAULT_CASE("an edited target stays edited until it is saved", target)
SHIMLEDGER_FAULT_CASE("a finding stays typed until it is written down", inspection)
SHIMLEDGER_FAULT_CASE("an import is done or told", import)

TEST_CASE("With the disk failing: a new job stays typed in its dialog, which stays open with a sentence",
          "[file]") {
    Desk desk;
    for (const Failing& failing : every_failing) {
        for (std::int64_t nth = 1;; nth = nextCall(nth, Calls::some)) {
            bool hit = false;
            desk.test.prompts.at_job = [&](JobDialog& dialog) {
                setValues(dialog.fields(), {{QStringLiteral("model"), QStringLiteral("FK-CEDAR-41")},
                                            {QStringLiteral("valve"), QStringLiteral("base")},
                                            {QStringLiteral("note"), QStringLiteral("creaks")}});
                const QVariantMap typed = valuesOf(dialog.fields());
                faults::planFault(failing.fault, nth, failing.times);
                QTest::keyClick(&dialog, Qt::Key_Return, Qt::ControlModifier);
                hit = faults::endPlan();
                if (dialog.isVisible()) {
                    CHECK(hit);
                    checkSentences(dialog.problem());
                    CHECK_FALSE(dialog.problem().isEmpty());
                    CHECK(valuesOf(dialog.fields()) == typed);
                }
            };
            INFO(failing.name << ", call " << nth);
            desk.act(ActionId::new_job);
            desk.settleDown();
            CHECK(WatchedApplication::escapedSoFar() == 0);
            if (!hit) break;
            REQUIRE(nth < 1000);
        }
    }
}

TEST_CASE("With the disk failing: reading everything again keeps all that is typed, and recovers by itself",
          "[file]") {
    Desk desk;
    for (const Failing& failing : every_failing) {
        if (failing.fault != Fault::readError) continue;
        for (std::int64_t nth = 1; nth < 200; nth = nextCall(nth, Calls::some)) {
            ++desk.round;
            strip_row.prepare(desk);
            pieces.prepare(desk);
            count.prepare(desk);
            desk.settleDown();
            const QStringList typed{strip_row.typed(desk), count.typed(desk), pieces.typed(desk)};
            // Another program writes, so that the window has to read.
            auto file = inventory::ShopFile::open(desk.shop.path().toStdString());
            inventory::MovementLine line;
            line.kind = inventory::MovementKind::receipt;
            line.part = desk.inFile(
                [](inventory::ShopFile& shop) { return inventory::stockSnapshot(shop).lots.front().part; });
            line.bin = "A01";
            line.quantity = 1;
            (void)inventory::StockLedger(file).post({line});
            faults::planFault(failing.fault, nth, failing.times);
            QTest::qWait(450); // the window looks at the file by its timer
            desk.act(ActionId::refresh);
            for (const ActionId page : {ActionId::go_jobs, ActionId::go_drawers, ActionId::go_reorder,
                                        ActionId::search_everywhere, ActionId::go_strip}) {
                desk.act(page);
            }
            desk.settleDown();
            faults::endPlan();
            INFO(failing.name << ", call " << nth);
            CHECK(WatchedApplication::escapedSoFar() == 0);
            checkSentences(desk.told());
            if (QWidget* dialog = QApplication::activeModalWidget()) dialog->close();
            desk.act(ActionId::refresh);
            desk.settleDown();
            CHECK(QStringList{strip_row.typed(desk), count.typed(desk), pieces.typed(desk)} == typed);
            CHECK(desk.test.window.workshop().strip().entry()->isEnabled());
            CHECK(desk.test.window.workshop().pickedJob() == job);
        }
    }
}

TEST_CASE("With the disk failing: another shop is opened or told, the day's backup is made or told",
          "[file]") {
    Desk desk;
    int opened = 0, refused = 0, no_backup = 0;
    for (const Failing& failing : every_failing) {
        for (std::int64_t nth = 1;; nth = nextCall(nth, Calls::some)) {
            const DemoShopCopy other;
            const auto before = desk.test.window.session().path();
            desk.quieten();
            faults::planFault(failing.fault, nth, failing.times);
            desk.test.window.openShop(other.path());
            desk.settleDown();
            const bool hit = faults::endPlan();
            INFO(failing.name << ", call " << nth);
            CHECK(WatchedApplication::escapedSoFar() == 0);
            checkSentences(desk.told());
            const bool is_open = desk.test.window.session().path() == other.path().toStdString();
            if (!is_open) {
                CHECK(desk.test.window.session().path() == before);
                CHECK_FALSE(desk.told().isEmpty());
            }
            opened += is_open ? 1 : 0;
            refused += is_open ? 0 : 1;
            no_backup += desk.told().contains(QStringLiteral("backup was not made")) ? 1 : 0;
            desk.act(ActionId::refresh); // either one can be read
            desk.settleDown();
            desk.test.window.openShop(desk.shop.path());
            desk.settleDown();
            if (!hit) break;
            REQUIRE(nth < 5000);
        }
    }
    CHECK(opened > 0);
    CHECK(refused > 0);
    CHECK(no_backup > 0);
}
