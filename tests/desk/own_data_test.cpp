// SPDX-License-Identifier: GPL-3.0-or-later
// The shop's own data in the window: made, changed, retired by keys; what is typed is kept.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/own_data/own_data_dialog.h"
#include "app/desk/own_data/own_data_panel.h"
#include "app/desk/shop_session.h"
#include "inventory/bin.h"
#include "inventory/model_flow.h"
#include "inventory/part_catalogue.h"
#include "inventory/supplier.h"

#include <QCheckBox>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTabWidget>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

enum Tab { parts, drawers, suppliers, offers, models, flows, recipes, classes };

struct OwnData {
    OwnData() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(settle([&] { return !test.window.busy(); }));
        open();
    }
    void open() {
        test.window.activateWindow();
        REQUIRE(settle([&] { return QApplication::activeWindow() == &test.window; }));
        press(test.window, Qt::Key_D, Qt::ControlModifier | Qt::ShiftModifier);
        REQUIRE(test.window.ownData() != nullptr);
        REQUIRE(settle([&] { return QApplication::activeWindow() == test.window.ownData(); }));
    }
    OwnDataPanel& at(Tab tab) {
        test.window.ownData()->tabs()->setCurrentIndex(tab);
        return test.window.ownData()->panel(tab);
    }
    void pick(OwnDataPanel& panel, const QString& code) {
        for (int row = 0; row < panel.list()->rowCount(); ++row) {
            if (panel.list()->item(row, 0)->text() == code) {
                panel.list()->selectRow(row);
                return;
            }
        }
        FAIL("no row " << code.toStdString());
    }
    MessageStrip::Kind said() { return test.window.ownData()->strip()->kind(); }
    inventory::ShopFile& file() { return test.window.session().shop(); }

    DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("A part is made by keys, and the drawers know it at once") {
    OwnData own;
    OwnDataPanel& panel = own.at(parts);
    panel.newButton()->click();
    panel.field(QStringLiteral("od_mm"))->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("21"));
    press(Qt::Key_Tab);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("6"));
    press(Qt::Key_Tab);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("0.13"));
    CHECK(panel.saveButton()->isEnabled());
    press(Qt::Key_Return, Qt::ControlModifier);
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::PartCatalogue(own.file()).find("SH-21.0-6-0.13"));
    CHECK_FALSE(panel.saveButton()->isEnabled()); // a second press makes nothing
}

TEST_CASE("A reorder point is changed, and what stood there before is told beside it") {
    OwnData own;
    OwnDataPanel& panel = own.at(parts);
    own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
    CHECK_FALSE(panel.field(QStringLiteral("part"))->isEnabled()); // a code stays
    panel.setField(QStringLiteral("reorder_point"), QStringLiteral("33"));
    panel.save();
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10").reorder_point == 33);
    REQUIRE(panel.history()->count() == 1);
    CHECK(panel.history()->item(0)->text().contains(QStringLiteral("33")));
    // What is wrong stays typed, to be put right.
    panel.setField(QStringLiteral("reorder_point"), QStringLiteral("many"));
    panel.save();
    CHECK(own.said() == MessageStrip::Kind::problem);
    CHECK(panel.fieldText(QStringLiteral("reorder_point")) == QStringLiteral("many"));
    CHECK(inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10").reorder_point == 33);
}

TEST_CASE("What is typed of one record and not saved is there when it is picked again, also the next time") {
    OwnData own;
    {
        OwnDataPanel& panel = own.at(parts);
        own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
        panel.setField(QStringLiteral("note"), QStringLiteral("half a sen"));
        own.pick(panel, QStringLiteral("SH-24.0-6-0.15"));
        CHECK(panel.fieldText(QStringLiteral("note")) != QStringLiteral("half a sen"));
        own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
        CHECK(panel.fieldText(QStringLiteral("note")) == QStringLiteral("half a sen"));
    }
    delete own.test.window.ownData();
    own.open();
    OwnDataPanel& panel = own.at(parts);
    own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
    CHECK(panel.fieldText(QStringLiteral("note")) == QStringLiteral("half a sen"));
    CHECK(panel.saveButton()->isEnabled());
}

TEST_CASE("What another program changes meanwhile is not written over, and what is typed stays") {
    OwnData own;
    OwnDataPanel& panel = own.at(parts);
    own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
    panel.setField(QStringLiteral("note"), QStringLiteral("mine"));
    {
        auto other = inventory::ShopFile::open(own.shop.path().toStdString());
        inventory::Part part = inventory::PartCatalogue(other).get("SH-24.0-6-0.10");
        part.note = "theirs";
        static_cast<void>(inventory::PartCatalogue(other).update(part));
    }
    own.test.window.session().announceChange();
    CHECK(panel.fieldText(QStringLiteral("note")) == QStringLiteral("mine"));
    panel.save();
    CHECK(own.said() == MessageStrip::Kind::problem);
    CHECK(inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10").note == "theirs");
}

TEST_CASE("Fifty-two drawers are made as a series, one is retired and brought back") {
    OwnData own;
    OwnDataPanel& panel = own.at(drawers);
    const auto before = inventory::BinList(own.file()).list().size();
    panel.beginNew();
    panel.setField(QStringLiteral("bin"), QStringLiteral("Z01..Z52"));
    panel.setField(QStringLiteral("cabinet"), QStringLiteral("Z"));
    panel.setField(QStringLiteral("walking_order"), QStringLiteral("0"));
    panel.save();
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::BinList(own.file()).list().size() == before + 52);
    own.pick(panel, QStringLiteral("Z07"));
    panel.retireOrBringBack();
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::BinList(own.file()).get("Z07").retired);
    panel.retiredToo()->setChecked(true);
    own.pick(panel, QStringLiteral("Z07"));
    panel.retireOrBringBack();
    CHECK_FALSE(inventory::BinList(own.file()).get("Z07").retired);
}

TEST_CASE("A supplier's price is put right, and all kinds open with what the shop has") {
    OwnData own;
    for (const Tab tab : {parts, drawers, suppliers, offers, models, classes}) {
        INFO(tab);
        CHECK(own.at(tab).list()->rowCount() > 0);
    }
    OwnDataPanel& panel = own.at(offers);
    panel.list()->selectRow(0);
    const QString price = panel.fieldText(QStringLiteral("pack_price"));
    panel.setField(QStringLiteral("pack_price"), QStringLiteral("123.45"));
    panel.save();
    INFO(price.toStdString() << ": " << own.test.window.ownData()->strip()->sentence().toStdString());
    CHECK(own.said() == MessageStrip::Kind::done);
}

TEST_CASE("What the oil meets in a model's valve is written down by keys, and what contradicts it is told") {
    OwnData own;
    OwnDataPanel& of_models = own.at(models);
    own.pick(of_models, QStringLiteral("FK-LARCH-45"));
    of_models.setField(QStringLiteral("valves"),
                       QStringLiteral("compression = clamp 10, ports 13 to 20, bore 6"));
    of_models.save();
    REQUIRE(own.said() == MessageStrip::Kind::done);
    OwnDataPanel& panel = own.at(flows);
    own.pick(panel, QStringLiteral("FK-LARCH-45"));
    CHECK_FALSE(panel.field(QStringLiteral("valve"))->isEnabled());
    panel.field(QStringLiteral("piston_mm"))->setFocus();
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("28"));
    press(Qt::Key_Tab);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("30"));
    press(Qt::Key_Return, Qt::ControlModifier);
    CHECK(own.said() == MessageStrip::Kind::problem);
    CHECK(own.test.window.ownData()->strip()->sentence().contains(QStringLiteral("must be thinner")));
    panel.setField(QStringLiteral("shaft_mm"), QStringLiteral("12"));
    press(Qt::Key_Return, Qt::ControlModifier);
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::ModelFlows(own.file()).get("FK-LARCH-45", "compression").shaft ==
          Length::parseMillimetres("12"));
    CHECK(panel.history()->count() == 3); // with the valve itself
}

TEST_CASE("What a line of the form cannot show is not taken away by it") {
    OwnData own;
    const std::string note = "  first\nsecond \t";
    inventory::Part part = inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10");
    part.note = note;
    static_cast<void>(inventory::PartCatalogue(own.file()).update(part));
    own.test.window.session().announceChange();
    OwnDataPanel& panel = own.at(parts);
    own.pick(panel, QStringLiteral("SH-24.0-6-0.10"));
    CHECK_FALSE(panel.saveButton()->isEnabled()); // looking types nothing
    panel.setField(QStringLiteral("reorder_point"), QStringLiteral("34"));
    panel.save();
    CHECK(own.said() == MessageStrip::Kind::done);
    CHECK(inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10").note == note);
    CHECK(inventory::PartCatalogue(own.file()).get("SH-24.0-6-0.10").reorder_point == 34);
}

TEST_CASE("Where there is none yet, the one that is being typed keeps its place when others book") {
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.prompts.next_path = test.folder.filePath(QStringLiteral("new.db"));
    test.window.actions()[ActionId::new_shop]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    test.window.actions()[ActionId::own_data]->trigger();
    REQUIRE(settle([&] { return QApplication::activeWindow() == test.window.ownData(); }));
    OwnDataPanel& panel = test.window.ownData()->panel(parts);
    QWidget* note = panel.field(QStringLiteral("note"));
    note->setFocus();
    QTest::keyClicks(note, QStringLiteral("half"));
    test.window.session().announceChange();
    CHECK(QApplication::focusWidget() == note);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral(" done"));
    CHECK(panel.fieldText(QStringLiteral("note")) == QStringLiteral("half done"));
}
