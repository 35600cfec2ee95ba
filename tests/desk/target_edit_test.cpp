// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/length_text.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/stack_view/curve_panel.h"
#include "app/services/found_stack.h"
#include "inventory/job_book.h"
#include "planner/units/input_error.h"

#include <QClipboard>
#include <QLineEdit>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1002";

struct OpenJob {
    OpenJob() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        test.window.jobs().pickJob(job);
        REQUIRE(settle([&] { return !test.window.busy(); }));
        press(Qt::Key_2, Qt::ControlModifier);
        REQUIRE(table()->hasFocus());
    }
    QTableView* table() { return test.window.jobs().stackTable(); }
    TargetEditor& editor() { return test.window.jobs().target(); }
    QString cell(int row, int column) { return table()->model()->index(row, column).data().toString(); }
    std::vector<inventory::StackRow> saved() {
        return inventory::JobBook(test.window.session().shop())
            .stack(job, inventory::StackRole::target)
            ->rows;
    }
    QString reading() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
        return test.window.jobs().bench().curves()->reading(0.20);
    }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("The curve follows each key while a thickness is typed, and Escape takes it back") {
    OpenJob open;
    const QString before = open.reading();
    CHECK_FALSE(before.contains(QStringLiteral("substitute")));
    open.table()->setCurrentIndex(open.table()->model()->index(0, StackTableModel::thickness));
    press(Qt::Key_Return);
    auto* cell = qobject_cast<QLineEdit*>(QApplication::focusWidget());
    REQUIRE(cell != nullptr);
    cell->selectAll();
    QTest::keyClicks(cell, QStringLiteral("0.1"));
    QTest::keyClicks(cell, QStringLiteral("5"));
    const QString typed = open.reading();
    CHECK(typed.contains(QStringLiteral("deviation +"))); // thicker discs are stiffer
    CHECK(cell->text() == QStringLiteral("0.15"));        // what is typed is left as it is typed
    CHECK(open.saved().front().thickness == 0.10_mm);
    QTest::keyClick(cell, Qt::Key_Escape);
    CHECK(open.reading() == before);
    CHECK_FALSE(open.editor().draft().edited());
}

TEST_CASE("Rows are inserted, changed, moved and deleted by keys, undone, redone and saved") {
    OpenJob open;
    const int rows = open.table()->model()->rowCount();
    open.table()->setCurrentIndex(open.table()->model()->index(1, StackTableModel::count));
    press(Qt::Key_Insert);
    REQUIRE(open.table()->model()->rowCount() == rows + 1);
    // At once, as a button, and not only after the next move of the cursor.
    CHECK(QTest::qWaitFor([&] { return open.test.window.actions()[ActionId::undo_edit]->isEnabled(); }, 500));
    QTest::keyClicks(open.table(), QStringLiteral("3")); // typing begins an edit
    press(Qt::Key_Return);
    CHECK(QTest::qWaitFor([&] { return open.cell(2, StackTableModel::count) == QStringLiteral("3"); }, 1000));
    open.table()->setFocus();
    press(Qt::Key_Up, Qt::AltModifier);
    CHECK(open.cell(1, StackTableModel::count) == QStringLiteral("3"));
    press(Qt::Key_Delete);
    CHECK(open.table()->model()->rowCount() == rows);
    CHECK_FALSE(open.editor().draft().edited());
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(open.cell(1, StackTableModel::count) == QStringLiteral("3"));
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK(open.cell(2, StackTableModel::count) == QStringLiteral("3"));
    press(Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(open.cell(1, StackTableModel::count) == QStringLiteral("3"));
    CHECK(open.saved().size() == static_cast<std::size_t>(rows));
    press(Qt::Key_S, Qt::ControlModifier);
    CHECK(open.test.window.jobs().strip()->kind() == MessageStrip::Kind::done);
    REQUIRE(open.saved().size() == static_cast<std::size_t>(rows + 1));
    CHECK(open.saved()[1].count == 3);
    CHECK_FALSE(open.editor().draft().edited());
}

TEST_CASE("A stack that cannot exist is told beneath the table and is not saved") {
    OpenJob open;
    open.table()->setCurrentIndex(open.table()->model()->index(0, StackTableModel::od));
    press(Qt::Key_Return);
    auto* cell = qobject_cast<QLineEdit*>(QApplication::focusWidget());
    REQUIRE(cell != nullptr);
    cell->selectAll();
    QTest::keyClicks(cell, QStringLiteral("15")); // does not cover the ports
    QTest::keyClick(cell, Qt::Key_Return);
    CHECK(QTest::qWaitFor([&] { return !open.editor().problem().isEmpty(); }, 1000));
    CHECK_FALSE(open.test.window.actions()[ActionId::save_target]->isEnabled());
    press(Qt::Key_Backspace, Qt::ControlModifier);
    CHECK(open.editor().problem().isEmpty());
    CHECK_FALSE(open.editor().draft().edited());
}

TEST_CASE("A target half edited when the window closes is there again in the next window") {
    const DemoShopCopy shop;
    QTemporaryDir folder;
    ScriptedPrompts prompts;
    AppSettings settings(folder.filePath(QStringLiteral("settings.ini")));
    const auto rowsOf = [](MainWindow& window) { return window.jobs().target().draft().rows(); };
    TargetDraft::Rows edited;
    {
        MainWindow window(settings, prompts);
        window.openShop(shop.path());
        window.jobs().pickJob(job);
        window.jobs().target().draft().removeRow(2);
        edited = rowsOf(window);
        window.close();
    }
    MainWindow window(settings, prompts);
    window.openShop(shop.path());
    window.jobs().pickJob("JOB-1001");
    CHECK_FALSE(window.jobs().target().draft().edited());
    window.jobs().pickJob(job);
    CHECK(window.jobs().target().draft().edited());
    CHECK(rowsOf(window) == edited);
    window.jobs().target().draft().history().undo();
    CHECK_FALSE(window.jobs().target().draft().edited());
}

TEST_CASE("A whole stack is copied and pasted in the trade's notation") {
    OpenJob open;
    press(Qt::Key_C, Qt::ControlModifier);
    CHECK(QApplication::clipboard()->text().startsWith(QStringLiteral("5 x 24.0 x 0.10\n")));
    QApplication::clipboard()->setText(QStringLiteral("3 x 24 x 0.15; 16 x 0.2"));
    press(Qt::Key_V, Qt::ControlModifier);
    CHECK(open.table()->model()->rowCount() == 2);
    CHECK(open.cell(0, StackTableModel::thickness) == QStringLiteral("0.15"));
}

TEST_CASE("An edited target must be saved or put back before a search, and the page says so") {
    OpenJob open;
    open.editor().draft().removeRow(2);
    press(Qt::Key_F5);
    CHECK(open.test.window.jobs().strip()->sentence().contains(QStringLiteral("Ctrl+S")));
    CHECK_FALSE(open.test.window.jobs().flow().searching());
}

TEST_CASE("Lengths are read in millimetres with either mark, and in inches when the unit says so") {
    const SizeUnit mm = SizeUnit::millimetres;
    CHECK(readLength(QStringLiteral("0.15"), mm) == 0.15_mm);
    CHECK(readLength(QStringLiteral(" 0,15 mm"), mm) == 0.15_mm);
    CHECK(readLength(QStringLiteral("0.006 in"), mm) == Length::fromMicrometres(152));
    CHECK(readLength(QStringLiteral("1\""), mm) == 25.4_mm);
    CHECK_FALSE(readTyped(QStringLiteral("0.006in"), mm).in_millimetres);
    CHECK(readTyped(QStringLiteral("0.006"), mm).in_millimetres);
    for (const char* wrong : {"", "x", "1 ft", "0.0001", "1e9 in", "in"}) {
        INFO(wrong);
        CHECK_THROWS_AS(readLength(QString::fromLatin1(wrong), mm), InputError);
    }
}

TEST_CASE("A target saved in one window is in the other within a second, and an edit there is not lost") {
    OpenJob open;
    TestWindow other;
    other.window.openShop(open.shop.path());
    other.window.jobs().pickJob(job);
    REQUIRE(settle([&] { return !other.window.busy(); }));
    open.editor().draft().removeRow(3);
    const std::size_t rows = open.editor().draft().rows().size();
    open.test.window.actions()[ActionId::save_target]->trigger();
    const auto seen = [&] { return other.window.jobs().target().draft().saved().size() == rows; };
    CHECK(QTest::qWaitFor(seen, 1000));
    CHECK_FALSE(other.window.jobs().target().draft().edited());

    other.window.jobs().target().draft().removeRow(0);
    const auto edited = other.window.jobs().target().draft().rows();
    open.editor().draft().removeRow(2);
    open.test.window.actions()[ActionId::save_target]->trigger();
    CHECK(QTest::qWaitFor([&] { return other.window.jobs().target().draft().saved().size() == rows - 1; },
                          1000));
    CHECK(other.window.jobs().target().draft().rows() == edited);
}

TEST_CASE(
    "A target begins from what the strip found, as one step that can be undone, and is saved on purpose") {
    OpenJob open;
    const std::vector<inventory::StackRow> before = open.saved();
    press(Qt::Key_F, Qt::ControlModifier | Qt::ShiftModifier);
    const services::FoundStack found = services::foundStack(open.test.window.session().shop(), job);
    REQUIRE(open.editor().draft().rows().size() == found.rows.size());
    for (std::size_t i = 0; i < found.rows.size(); ++i) {
        CHECK(open.editor().draft().rows()[i].od == found.rows[i].od);
        CHECK(open.editor().draft().rows()[i].thickness == found.rows[i].thickness);
        CHECK(open.editor().draft().rows()[i].count == found.rows[i].count);
    }
    CHECK(open.editor().draft().edited());
    CHECK(open.test.window.jobs().strip()->sentence().contains(QStringLiteral("the legs differ")));
    CHECK(open.saved() == before);
    QCoreApplication::processEvents(); // undo is offered once the step has been made
    press(Qt::Key_Z, Qt::ControlModifier);
    CHECK_FALSE(open.editor().draft().edited());
    press(Qt::Key_F, Qt::ControlModifier | Qt::ShiftModifier);
    press(Qt::Key_S, Qt::ControlModifier);
    CHECK(open.saved() == found.rows);
}

TEST_CASE("Where nothing was stripped there is nothing to begin from, and a ring is not pasted as a disc") {
    OpenJob open;
    inventory::JobBook jobs(open.test.window.session().shop());
    for (const int leg : {1, 2}) jobs.setStack(job, {inventory::StackRole::asFound, leg, {}});
    press(Qt::Key_F, Qt::ControlModifier | Qt::ShiftModifier);
    CHECK(open.editor().problem().contains(QStringLiteral("has been stripped")));
    CHECK_FALSE(open.editor().draft().edited());
    QGuiApplication::clipboard()->setText(QStringLiteral("2 x 24.0 x 0.10\n1 x 24.0 x 0.20 ring 19.0"));
    press(Qt::Key_V, Qt::ControlModifier);
    CHECK(open.editor().problem().contains(QStringLiteral("ring with a bore of 19.0 mm")));
    CHECK_FALSE(open.editor().draft().edited());
}
