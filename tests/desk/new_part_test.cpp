// SPDX-License-Identifier: GPL-3.0-or-later
// A part that the shop does not know yet is made where it is wanted; what was being entered stays.
#include "bench_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/length_edit.h"
#include "app/desk/message_strip.h"
#include "app/desk/own_data/new_part_dialog.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_snapshot.h"
#include "inventory/strip_record.h"
#include "inventory/wear_finding.h"

#include <QComboBox>
#include <QLineEdit>
#include <QPushButton>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

const std::string job = "JOB-1002";

struct Making : JobAtBench {
    /// Ctrl+Shift+N where the focus is.
    NewPartDialog& open() {
        press(test.window, Qt::Key_N, Qt::ControlModifier | Qt::ShiftModifier);
        return opened();
    }
    NewPartDialog& opened() {
        REQUIRE(test.window.newPart() != nullptr);
        REQUIRE(settle([&] { return QApplication::activeWindow() == test.window.newPart(); }));
        return *test.window.newPart();
    }
    /// Return makes it; then the window has the keys again, as by a window manager.
    void make(NewPartDialog& dialog) {
        QTest::keyClick(QApplication::focusWidget(), Qt::Key_Return);
        INFO(dialog.strip()->sentence().toStdString());
        REQUIRE_FALSE(dialog.isVisible());
        back();
    }
    void back() {
        test.window.activateWindow();
        REQUIRE(settle([&] { return QApplication::activeWindow() == &test.window && !test.window.busy(); }));
    }
    void size(NewPartDialog& dialog, const char* column, const char* text) {
        QLineEdit* field = dialog.size(QString::fromLatin1(column))->field();
        field->setFocus();
        field->selectAll();
        QTest::keyClicks(field, QString::fromUtf8(text));
    }
    bool known(Length od, Length thickness) {
        return inventory::PartCatalogue(file()).findShim(od, 6_mm, thickness).has_value();
    }
    StripPanel& strip() { return test.window.workshop().strip(); }
};

} // namespace

TEST_CASE("A disc of unknown size in a strip gets its part from the row that is being typed, by keys") {
    Making making;
    press(Qt::Key_6, Qt::ControlModifier);
    QTest::keyClicks(making.strip().entry(), QStringLiteral("2 27,1 0,168"));
    NewPartDialog& dialog = making.open();
    CHECK(dialog.size(QStringLiteral("od_mm"))->text() == QStringLiteral("27.1"));
    CHECK(dialog.size(QStringLiteral("id_mm"))->text() == QStringLiteral("6.0")); // the valve's
    CHECK(dialog.size(QStringLiteral("thickness_mm"))->text() == QStringLiteral("0.168"));
    making.size(dialog, "od_mm", "27");
    making.size(dialog, "thickness_mm", "0,17");
    making.make(dialog);
    CHECK(making.known(27_mm, 0.17_mm));
    REQUIRE(making.strip().entry()->hasFocus());
    CHECK(making.strip().entry()->text() == QStringLiteral("2 x 27.1 x 0.168 SH-27.0-6-0.17"));
    press(Qt::Key_Return);
    CHECK(making.strip().problem().isEmpty());
    CHECK(making.strip()
              .table()
              ->item(0, StripPanel::part)
              ->text()
              .contains(QStringLiteral("27.0 x 6.0 x 0.17")));
    press(Qt::Key_Return, Qt::ControlModifier);
    CHECK(inventory::StripRecords(making.file()).ofJob(job).at(0).rows.at(0).part == "SH-27.0-6-0.17");
}

TEST_CASE("A row that was taken and is not identified gets its part by mouse, and the others stay") {
    Making making;
    press(Qt::Key_6, Qt::ControlModifier);
    for (const char* row : {"5 24 0.099", "2 27.1 0.17", "1 18 0.15"}) {
        QTest::keyClicks(making.strip().entry(), QString::fromLatin1(row));
        press(Qt::Key_Return);
    }
    REQUIRE(making.strip().table()->rowCount() == 3);
    const QString unknown = making.strip().table()->item(1, StripPanel::part)->text();
    CHECK(unknown.contains(QStringLiteral("not identified")));
    QPushButton* button = nullptr;
    for (QPushButton* one : making.strip().findChildren<QPushButton*>()) {
        if (one->text() == making.test.window.actions()[ActionId::new_part]->text()) button = one;
    }
    REQUIRE(button != nullptr);
    QTest::mouseClick(button, Qt::LeftButton);
    NewPartDialog& dialog = making.opened();
    CHECK(dialog.size(QStringLiteral("od_mm"))->text() == QStringLiteral("27.1"));
    making.size(dialog, "od_mm", "27.0");
    QTest::mouseClick(dialog.makeButton(), Qt::LeftButton);
    making.back();
    CHECK(making.known(27_mm, 0.17_mm));
    REQUIRE(making.strip().table()->rowCount() == 3);
    CHECK(making.strip().table()->item(1, StripPanel::part)->text().contains(QStringLiteral("27.0")));
    CHECK(making.strip().entry()->hasFocus());
}

TEST_CASE("What is refused or given up leaves the entry as it was typed") {
    Making making;
    press(Qt::Key_6, Qt::ControlModifier);
    QTest::keyClicks(making.strip().entry(), QStringLiteral("2 27.1 0.168 !1 bent"));
    NewPartDialog& dialog = making.open();
    making.size(dialog, "od_mm", "27.000,5");
    press(Qt::Key_Return);
    CHECK(dialog.isVisible());
    CHECK(dialog.strip()->sentence().contains(QStringLiteral("more than one decimal sign")));
    making.size(dialog, "od_mm", "24");
    making.size(dialog, "thickness_mm", "0.10"); // is there already
    press(Qt::Key_Return);
    CHECK(dialog.isVisible());
    CHECK(dialog.strip()->kind() == MessageStrip::Kind::problem);
    press(Qt::Key_Escape);
    making.back();
    CHECK(making.strip().entry()->text() == QStringLiteral("2 27.1 0.168 !1 bent"));
}

TEST_CASE("Pieces that came in are of a part that is made from their form") {
    Making making;
    press(Qt::Key_M, Qt::ControlModifier | Qt::ShiftModifier);
    making.back();
    PiecesPanel& pieces = making.test.window.drawers().pieces();
    const Fields fields = pieces.fields();
    auto* part = qobject_cast<QLineEdit*>(fields.at(QStringLiteral("part")));
    setValues(fields, {{QStringLiteral("what"), QStringLiteral("came in without an order")},
                       {QStringLiteral("bin"), QStringLiteral("A01")},
                       {QStringLiteral("quantity"), 12},
                       {QStringLiteral("reason"), QStringLiteral("bought at the counter")}});
    part->setFocus();
    part->clear();
    QTest::keyClicks(part, QStringLiteral("oil seal 47,5 x 58 x 11"));
    NewPartDialog& dialog = making.open();
    CHECK(dialog.kind()->currentText() == QStringLiteral("oil seal"));
    CHECK(dialog.size(QStringLiteral("id_mm"))->value() == 47.5_mm);
    CHECK(dialog.size(QStringLiteral("od_mm"))->value() == 58_mm);
    dialog.code()->setFocus();
    QTest::keyClicks(dialog.code(), QStringLiteral("SEAL-475"));
    making.make(dialog);
    CHECK(part->text() == QStringLiteral("SEAL-475"));
    CHECK(part->hasFocus());
    const QVariantMap values = valuesOf(fields);
    CHECK(values.value(QStringLiteral("quantity")).toInt() == 12);
    CHECK(values.value(QStringLiteral("reason")).toString() == QStringLiteral("bought at the counter"));
    CHECK(values.value(QStringLiteral("bin")).toString() == QStringLiteral("A01"));
    CHECK(inventory::PartCatalogue(making.file()).find("SEAL-475"));
}

TEST_CASE("A measured size that nothing has is made, and stands picked to be put away") {
    Making making;
    press(Qt::Key_M, Qt::ControlModifier);
    making.back();
    MeasurePanel& measure = making.test.window.drawers().measure();
    measure.field()->setFocus();
    QTest::keyClicks(measure.field(), QStringLiteral("27,1 x 6 x 0,168"));
    press(Qt::Key_Return);
    NewPartDialog& dialog = making.open();
    CHECK(dialog.size(QStringLiteral("thickness_mm"))->value() == 0.168_mm);
    making.size(dialog, "od_mm", "27");
    making.size(dialog, "thickness_mm", "0.17");
    making.make(dialog);
    CHECK(measure.field()->text() == QStringLiteral("27,1 x 6 x 0,168"));
    CHECK(measure.field()->hasFocus());
    const int row = measure.matches()->currentRow();
    REQUIRE(row >= 0);
    CHECK(measure.matches()->item(row, 0)->text().contains(QStringLiteral("27.0 x 6.0 x 0.17")));
}

TEST_CASE("A row of a target gets the part of its size, and the edit that is not saved stays") {
    Making making;
    press(Qt::Key_2, Qt::ControlModifier);
    making.back();
    QTableView& table = *making.test.window.jobs().stackTable();
    REQUIRE(table.hasFocus());
    auto& model = *qobject_cast<StackTableModel*>(table.model());
    table.setCurrentIndex(model.index(0, StackTableModel::thickness));
    REQUIRE(model.setData(table.currentIndex(), QStringLiteral("0,17"), Qt::EditRole));
    const Length od = model.lines()[0].row.od;
    REQUIRE_FALSE(making.known(od, 0.17_mm));
    NewPartDialog& dialog = making.open();
    CHECK(dialog.size(QStringLiteral("od_mm"))->value() == od);
    CHECK(dialog.size(QStringLiteral("thickness_mm"))->value() == 0.17_mm);
    CHECK(dialog.size(QStringLiteral("id_mm"))->value() == 6_mm);
    making.make(dialog);
    CHECK(making.known(od, 0.17_mm));
    CHECK(making.test.window.jobs().target().draft().edited());
    CHECK(model.lines()[0].row.thickness == 0.17_mm);
    CHECK(table.hasFocus());
}

TEST_CASE("A part that the model does not list is made at the inspection, and can be called for") {
    Making making;
    press(Qt::Key_9, Qt::ControlModifier);
    making.back();
    InspectPanel& inspect = making.test.window.workshop().inspect();
    QTableWidget& table = *inspect.table();
    table.setCurrentCell(table.rowCount() - 1, 0);
    inspect.place()->setFocus();
    QTest::keyClicks(inspect.place(), QStringLiteral("oring 17,2 x 1,9"));
    QTest::keyClicks(inspect.reason(), QStringLiteral("squashed flat"));
    inspect.place()->setFocus();
    NewPartDialog& dialog = making.open();
    CHECK(dialog.kind()->currentText() == QStringLiteral("O-ring"));
    CHECK(dialog.size(QStringLiteral("section_mm"))->value() == 1.9_mm);
    dialog.code()->setFocus();
    QTest::keyClicks(dialog.code(), QStringLiteral("OR-172-19"));
    making.make(dialog);
    CHECK(inspect.place()->text() == QStringLiteral("OR-172-19"));
    CHECK(inspect.place()->hasFocus());
    CHECK(inspect.reason()->text() == QStringLiteral("squashed flat"));
    inspect.decision()->setCurrentIndex(
        inspect.decision()->findData(static_cast<int>(inventory::WearDecision::replace)));
    making.test.window.actions()[ActionId::inspect_write]->trigger();
    INFO(inspect.strip()->sentence().toStdString());
    const auto found = inventory::WearBook(making.file()).ofJob(job);
    REQUIRE_FALSE(found.empty());
    CHECK(found.back().part == "OR-172-19");
    CHECK(found.back().decision == inventory::WearDecision::replace);
}

TEST_CASE("A part found in a drawer while counting is made there, and the number typed is of it") {
    Making making;
    press(Qt::Key_T, Qt::ControlModifier);
    making.back();
    CountPanel& count = making.test.window.drawers().count();
    making.test.window.drawers().pickLine(QStringLiteral("SH-24.0-6-0.10"), QStringLiteral("A01"));
    count.counted()->setFocus();
    QTest::keyClicks(count.counted(), QStringLiteral("7"));
    NewPartDialog& dialog = making.open();
    making.size(dialog, "od_mm", "27");
    making.size(dialog, "thickness_mm", "0.17");
    making.make(dialog);
    CHECK(count.where().contains(QStringLiteral("27.0 x 6.0 x 0.17")));
    CHECK(count.where().contains(QStringLiteral("A01")));
    CHECK(count.counted()->text() == QStringLiteral("7"));
    CHECK(count.counted()->hasFocus());
    press(Qt::Key_Return);
    std::int64_t there = 0;
    for (const auto& lot : inventory::stockSnapshot(making.file()).lots) {
        if (lot.part == "SH-27.0-6-0.17" && lot.bin == "A01") there = lot.on_hand;
    }
    CHECK(there == 7);
}
