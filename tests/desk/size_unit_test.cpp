// SPDX-License-Identifier: GPL-3.0-or-later
// Sizes are typed, found and shown as the settings say, in every place of the window.
#include "bench_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/shim_grid_dialog.h"
#include "app/desk/find_words.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/length_edit.h"
#include "app/desk/length_spin_box.h"
#include "app/desk/message_strip.h"
#include "app/desk/number_spin_box.h"
#include "app/desk/own_data/own_data_dialog.h"
#include "app/desk/own_data/own_data_panel.h"
#include "app/desk/path_text.h"
#include "app/desk/readings/readings_dialog.h"
#include "app/desk/settings_dialog.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"

#include <QClipboard>
#include <QComboBox>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// As if the settings had been accepted with that unit.
void setUnit(TestWindow& test, SizeUnit unit) {
    DeskChoices choices = test.settings.choices();
    choices.size_unit = unit;
    test.prompts.chosen = choices;
    test.window.actions()[ActionId::edit_settings]->trigger();
    REQUIRE(test.settings.choices().size_unit == unit);
}

struct Desk {
    Desk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        test.window.jobs().pickJob("JOB-1002");
        settleDown();
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    QTableView& target() { return *test.window.jobs().stackTable(); }
    StackTableModel& model() { return *qobject_cast<StackTableModel*>(target().model()); }
    QString cell(int row, int column) { return target().model()->index(row, column).data().toString(); }

    DemoShopCopy shop;
    TestWindow test;
};

FindFit fit(const char* typed, const char* text, SizeUnit bare = SizeUnit::millimetres) {
    return FindWords(QString::fromUtf8(typed), bare).fit(FindKey(QString::fromUtf8(text)));
}

} // namespace

TEST_CASE("The settings say in which unit sizes are typed, and keep it") {
    DeskChoices choices;
    SettingsDialog dialog(choices);
    CHECK(dialog.workingLift()->text() == QStringLiteral("0.30"));
    dialog.sizeUnit()->setCurrentIndex(dialog.sizeUnit()->findData(static_cast<int>(SizeUnit::inches)));
    CHECK(dialog.choices().size_unit == SizeUnit::inches);
    choices.size_unit = SizeUnit::inches;
    SettingsDialog in_inches(choices);
    CHECK(in_inches.workingLift()->text() == QStringLiteral("0.0118"));
    CHECK(in_inches.workingLift()->remark() == QStringLiteral("= 0.300 mm"));
    CHECK(in_inches.choices() == choices); // looking at it changes nothing
    TestWindow test;
    CHECK(test.settings.choices().size_unit == SizeUnit::millimetres);
    setUnit(test, SizeUnit::inches);
}

TEST_CASE("A field of sizes says beside it what was understood, and refuses what may be a thousand") {
    LengthEdit edit(QStringLiteral("OD"));
    edit.setText(QStringLiteral("23,95"));
    CHECK(edit.value() == 23.95_mm);
    CHECK(edit.remark() == QStringLiteral("mm"));
    edit.setText(QStringLiteral("0,945 in"));
    CHECK(edit.value() == 24.003_mm);
    CHECK(edit.remark() == QStringLiteral("= 24.003 mm"));
    edit.setText(QStringLiteral("1.234,5"));
    CHECK_FALSE(edit.value());
    CHECK(edit.remark().contains(QStringLiteral("more than one decimal sign")));
    LengthEdit inches(QStringLiteral("OD"), SizeUnit::inches);
    inches.setValue(23.95_mm);
    CHECK(inches.value() == 23.95_mm);
    inches.setText(QStringLiteral("24 mm"));
    CHECK(inches.value() == 24_mm);
}

TEST_CASE("A box of millimetres takes a decimal comma and inches, and nothing else is taken for a number") {
    LengthSpinBox box;
    box.setRange(0, 10);
    box.setValue(2.5);
    const auto type = [&box](const char* text) {
        box.selectAll();
        QTest::keyClicks(&box, QString::fromUtf8(text));
        QTest::keyClick(&box, Qt::Key_Return);
        return box.value();
    };
    CHECK(type("0,05") == 0.05);
    CHECK(type("0.002 in") == 0.051);
    CHECK(box.text() == QStringLiteral("0.051 mm"));
    CHECK(type("1.5 mm") == 1.5);
    CHECK(type("1.234,5") == 1.5);
    CHECK(type("11") == 1.5);
    box.setSizeUnit(SizeUnit::inches);
    CHECK(box.value() == 1.5);
    CHECK(type(box.text().toUtf8().constData()) == 1.5);
    CHECK(type("0,05") == 1.27);
    CHECK(type("0,05 mm") == 0.05);
}

TEST_CASE("A box of other numbers takes a decimal comma as well") {
    NumberSpinBox box;
    box.setRange(0, 100);
    box.selectAll();
    QTest::keyClicks(&box, QStringLiteral("0,5"));
    QTest::keyClick(&box, Qt::Key_Return);
    CHECK(box.value() == 0.5);
}

TEST_CASE("The rules page takes a decimal comma and follows the settings") {
    Desk desk;
    RulesPanel& rules = desk.test.window.jobs().rules();
    const auto boxes = rules.findChildren<LengthSpinBox*>();
    REQUIRE(boxes.size() >= 4);
    // The one for a step that nothing may take is off.
    const auto on = std::ranges::find_if(boxes, [](const LengthSpinBox* one) { return one->isEnabled(); });
    REQUIRE(on != boxes.end());
    LengthSpinBox& box = **on;
    box.selectAll();
    QTest::keyClicks(&box, QStringLiteral("0,15"));
    QTest::keyClick(&box, Qt::Key_Return);
    CHECK(box.value() == 0.15);
    const QString kept = rules.text();
    setUnit(desk.test, SizeUnit::inches);
    CHECK(box.text() == QStringLiteral("0.0059 in"));
    CHECK(rules.text() == kept); // the same rules, written otherwise
}

TEST_CASE("The target is shown and typed in the unit of the settings, and stays what it is") {
    Desk desk;
    const std::vector<planner::DiscRow> rows = desk.test.window.jobs().target().draft().rows();
    const QString od = desk.cell(0, StackTableModel::od);
    setUnit(desk.test, SizeUnit::inches);
    desk.settleDown();
    CHECK(desk.cell(0, StackTableModel::od) != od);
    CHECK(desk.model().headerData(StackTableModel::od, Qt::Horizontal, Qt::DisplayRole).toString() ==
          QStringLiteral("OD, in"));
    // Each cell typed over with what it shows.
    for (int row = 0; row < desk.model().rowCount(); ++row) {
        for (const int column : {StackTableModel::od, StackTableModel::thickness}) {
            const QModelIndex place = desk.model().index(row, column);
            CHECK(desk.model().setData(place, place.data(Qt::EditRole), Qt::EditRole));
        }
    }
    CHECK(desk.test.window.jobs().target().draft().rows() == rows);
    const QModelIndex thickness = desk.model().index(0, StackTableModel::thickness);
    CHECK(desk.model().setData(thickness, QStringLiteral("0,006"), Qt::EditRole));
    CHECK(desk.test.window.jobs().target().draft().rows()[0].thickness == 0.152_mm);
    CHECK(desk.model().setData(thickness, QStringLiteral("0,2 mm"), Qt::EditRole));
    CHECK(desk.test.window.jobs().target().draft().rows()[0].thickness == 0.20_mm);
}

TEST_CASE("A stack is pasted with decimal commas and out of the cells of a spreadsheet") {
    Desk desk;
    press(Qt::Key_2, Qt::ControlModifier);
    REQUIRE(desk.target().hasFocus());
    for (const char* text : {"3 x 24,0 x 0,15; 16 x 0,2", "3\t24,0\t0,15\n1\t16\t0,2\n"}) {
        QApplication::clipboard()->setText(QString::fromUtf8(text));
        press(Qt::Key_V, Qt::ControlModifier);
        const auto& rows = desk.test.window.jobs().target().draft().rows();
        REQUIRE(rows.size() == 2);
        CHECK(rows[0].thickness == 0.15_mm);
        CHECK(rows[1].od == 16_mm);
        CHECK(rows[1].thickness == 0.20_mm);
    }
    QApplication::clipboard()->setText(QStringLiteral("4x24,5x22"));
    press(Qt::Key_V, Qt::ControlModifier);
    CHECK(desk.test.window.jobs().target().problem().contains(QStringLiteral("two ways")));
}

TEST_CASE("The strip sheet is typed in the unit of the settings, and a row fetched back is the same") {
    JobAtBench bench;
    setUnit(bench.test, SizeUnit::inches);
    press(Qt::Key_6, Qt::ControlModifier);
    StripPanel& strip = bench.test.window.workshop().strip();
    QTest::keyClicks(strip.entry(), QStringLiteral("5 0,945 0.0039 0.101 mm"));
    QTest::keyClick(strip.entry(), Qt::Key_Return);
    INFO(strip.problem().toStdString());
    REQUIRE(strip.table()->rowCount() == 1);
    const QString readings = strip.table()->item(0, StripPanel::readings)->text();
    CHECK(readings == QStringLiteral("0.099  0.101"));
    QTest::keyClick(strip.entry(), Qt::Key_Up); // fetched back
    CHECK(strip.entry()->text().contains(QStringLiteral("0.0039")));
    // The settings change while it lies there as a draft: the row that was taken is still what it was.
    QTest::keyClick(strip.entry(), Qt::Key_Return);
    setUnit(bench.test, SizeUnit::millimetres);
    strip.show(std::nullopt);
    strip.show(std::string("JOB-1002"));
    REQUIRE(strip.table()->rowCount() == 1);
    CHECK(strip.table()->item(0, StripPanel::readings)->text() == readings);
}

TEST_CASE("Measured sizes are looked up in the unit of the settings") {
    Desk desk;
    press(desk.test.window, Qt::Key_M, Qt::ControlModifier);
    desk.settleDown();
    MeasurePanel& measure = desk.test.window.drawers().measure();
    const auto first = [&](const char* typed) {
        measure.field()->setText(QString::fromUtf8(typed));
        QTest::keyClick(measure.field(), Qt::Key_Return);
        return measure.matches()->rowCount() == 0 ? measure.remark() : measure.matches()->item(0, 0)->text();
    };
    const QString right = first("24 x 6 x 0.1");
    REQUIRE(right.contains(QStringLiteral("24.0")));
    CHECK(first("24,0 x 6,0 x 0,1") == right);
    CHECK(first("24 x 6 x 0.0039in") == right);
    CHECK(first("0.945 x 0.0039 in").contains(QStringLiteral("is 0.945 in millimetres or in inches?")));
    setUnit(desk.test, SizeUnit::inches);
    CHECK(first("0,945 x 0.236 x 0.0039") == right);
    CHECK(first("24mm x 6mm x 0,1mm") == right);
}

TEST_CASE("Stock and everything else is found by decimal commas, inches and millimetres") {
    const char* disc = "A01 shim 24.0 x 6.0 x 0.15";
    CHECK(fit("24,0 0,15", disc).whole_figures);
    CHECK(fit("24 mm 0,15mm", disc).whole_figures);
    CHECK(fit("0.006 in", disc).whole_figures); // 0.15 mm is 0.0059 in
    CHECK(fit("0.945in x 0.0059in", disc).whole_figures);
    CHECK_FALSE(fit("0.0055 in", disc).fits);
    CHECK_FALSE(fit("0.006", disc).fits);
    const SizeUnit inches = SizeUnit::inches;
    CHECK(fit("0,945 0,006", disc, inches).whole_figures);
    CHECK(fit("0.15 mm", disc, inches).whole_figures);
    CHECK_FALSE(fit("0.15", disc, inches).fits);
    CHECK(fit("1002", "JOB-1002: fork", inches).whole_figures); // whole numbers are codes and counts
    Desk desk;
    press(desk.test.window, Qt::Key_F, Qt::ControlModifier);
    desk.settleDown();
    const auto shown = [&](const char* words) {
        desk.test.window.drawers().find()->setText(QString::fromUtf8(words));
        return desk.test.window.drawers().table()->model()->rowCount();
    };
    const int right = shown("24.0 0.10");
    REQUIRE(right > 0);
    CHECK(shown("24,0 0,10") == right);
    CHECK(shown("24mm 0.10 mm") == right);
    CHECK(shown("0.9449in 0.0039in") == right);
}

TEST_CASE("The grid takes decimal commas and follows the settings, and refuses what may be two sizes") {
    Desk desk;
    desk.test.window.actions()[ActionId::shim_grid]->trigger();
    ShimGridDialog* grid = desk.test.window.shimGrid();
    const auto sides = [&](const char* ods, const char* thicknesses) {
        grid->ods()->setText(QString::fromUtf8(ods));
        grid->thicknesses()->setText(QString::fromUtf8(thicknesses));
        emit grid->thicknesses()->editingFinished();
        return std::pair(grid->table()->rowCount(), grid->table()->columnCount());
    };
    CHECK(sides("18,5 24", "0,10; 0,15") == std::pair(2, 2));
    CHECK(grid->table()->verticalHeaderItem(1)->text() == QStringLiteral("18.5"));
    (void)sides("24,26", "0.10");
    CHECK(grid->strip()->kind() == MessageStrip::Kind::problem);
    CHECK(grid->strip()->sentence().contains(QStringLiteral("may be one size or two")));
    delete grid;
    setUnit(desk.test, SizeUnit::inches);
    desk.test.window.actions()[ActionId::shim_grid]->trigger();
    grid = desk.test.window.shimGrid();
    CHECK(grid->bore()->currentText() == QStringLiteral("0.23622"));
    CHECK(grid->strip()->kind() != MessageStrip::Kind::problem); // what stands there reads back
    CHECK(sides("0,945 24mm", "0.004") == std::pair(2, 1));
    CHECK(sides("10..12 mm", "0.10..0.20/0.05 mm") == std::pair(3, 3));
    CHECK(grid->table()->horizontalHeaderItem(1)->text() == QStringLiteral("0.0059"));
}

TEST_CASE("Own data is typed with decimal commas and shown in the unit of the settings") {
    Desk desk;
    setUnit(desk.test, SizeUnit::inches);
    desk.test.window.actions()[ActionId::own_data]->trigger();
    REQUIRE(settle([&] { return QApplication::activeWindow() == desk.test.window.ownData(); }));
    OwnDataPanel& panel = desk.test.window.ownData()->panel(0);
    panel.newButton()->click();
    panel.setField(QStringLiteral("od_mm"), QStringLiteral("0,83"));
    panel.setField(QStringLiteral("id_mm"), QStringLiteral("6 mm"));
    panel.setField(QStringLiteral("thickness_mm"), QStringLiteral("0,13mm"));
    panel.saveButton()->click();
    INFO(desk.test.window.ownData()->strip()->sentence().toStdString());
    CHECK(inventory::PartCatalogue(desk.test.window.session().shop()).findShim(21.082_mm, 6_mm, 0.13_mm));
    // The list is found in by the same words as the drawers.
    panel.find()->setText(QStringLiteral("0,83 0,0051"));
    int shown = 0;
    for (int row = 0; row < panel.list()->rowCount(); ++row) shown += panel.list()->isRowHidden(row) ? 0 : 1;
    CHECK(shown == 1);
}

TEST_CASE("Micrometer readings and the sizes of a job follow the settings") {
    Desk desk;
    setUnit(desk.test, SizeUnit::inches);
    desk.test.window.actions()[ActionId::take_readings]->trigger();
    ReadingsDialog& readings = *desk.test.window.readings();
    readings.pickLot("SH-24.0-6-0.10", "A01", inventory::Condition::fresh);
    readings.field()->setFocus();
    QTest::keyClicks(readings.field(), QStringLiteral("0,0039"));
    QTest::keyClick(readings.field(), Qt::Key_Return);
    CHECK(readings.remark() == QStringLiteral("0,0039 is 0.099 mm"));
    REQUIRE(readings.readings()->count() == 1);
    QTest::keyClicks(readings.field(), QStringLiteral("0,101 mm"));
    QTest::keyClick(readings.field(), Qt::Key_Return);
    CHECK(readings.readings()->count() == 2);
    delete &readings;
    desk.test.window.activateWindow();

    bool asked = false;
    desk.test.prompts.at_job = [&](JobDialog& dialog) {
        asked = true;
        auto* clamp = qobject_cast<QLineEdit*>(dialog.fields().at(QStringLiteral("clamp_od_mm")));
        CHECK(readLength(clamp->text(), SizeUnit::inches) ==
              inventory::JobBook(desk.test.window.session().shop()).get("JOB-1002").valve.clamp_od);
        CHECK_FALSE(
            clamp->text() ==
            textOf(
                inventory::JobBook(desk.test.window.session().shop()).get("JOB-1002").valve.clamp_od.text()));
    };
    const inventory::Job before = inventory::JobBook(desk.test.window.session().shop()).get("JOB-1002");
    desk.test.window.actions()[ActionId::change_job]->trigger();
    CHECK(asked);
    CHECK(inventory::JobBook(desk.test.window.session().shop()).get("JOB-1002").valve == before.valve);
}
