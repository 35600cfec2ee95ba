// SPDX-License-Identifier: GPL-3.0-or-later
// A shop sets itself up in the window: counts by size, sheets as people write them, help.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/shim_grid_dialog.h"
#include "app/desk/help/help_dialog.h"
#include "app/desk/import/import_dialog.h"
#include "app/desk/import/import_flow.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <QClipboard>
#include <QComboBox>
#include <QFile>
#include <QGuiApplication>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QRegularExpression>
#include <QTableView>
#include <QTableWidget>
#include <QTest>
#include <QTextBrowser>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

struct NewShop {
    NewShop() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.prompts.next_path = test.folder.filePath(QStringLiteral("new.db"));
        test.window.actions()[ActionId::new_shop]->trigger();
        settleDown();
        REQUIRE(test.window.shopShown());
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    ShimGridDialog& openGrid() {
        test.window.actions()[ActionId::shim_grid]->trigger();
        REQUIRE(test.window.shimGrid() != nullptr);
        REQUIRE(settle([&] { return QApplication::activeWindow() == test.window.shimGrid(); }));
        return *test.window.shimGrid();
    }
    void closeGrid() { delete test.window.shimGrid(); }
    ImportDialog& openSheet(const char* name, const QByteArray& text) {
        const QString path = test.folder.filePath(QString::fromLatin1(name));
        QFile file(path);
        REQUIRE(file.open(QIODevice::WriteOnly));
        file.write(text);
        file.close();
        test.prompts.next_path = path;
        test.window.actions()[ActionId::import_csv]->trigger();
        settleDown();
        REQUIRE(test.window.importing()->dialog() != nullptr);
        return *test.window.importing()->dialog();
    }
    std::int64_t pieces() {
        std::int64_t sum = 0;
        for (const inventory::StockLot& lot : lots()) sum += lot.on_hand;
        return sum;
    }
    std::vector<inventory::StockLot> lots() {
        return inventory::stockSnapshot(test.window.session().shop()).lots;
    }

    TestWindow test;
};

/// Each key where the focus is by then: the first one opens a cell's editor.
void type(const char* keys) {
    for (const char* key = keys; *key != 0; ++key) {
        INFO(QApplication::focusWidget()->metaObject()->className());
        REQUIRE(QApplication::focusWidget() != nullptr);
        QTest::keyClick(QApplication::focusWidget(), *key);
    }
}

} // namespace

TEST_CASE("Sixty sizes are typed into the grid by keys alone and booked at once") {
    NewShop shop;
    ShimGridDialog& grid = shop.openGrid();
    grid.ods()->setText(QStringLiteral("11..22"));
    emit grid.ods()->editingFinished();
    REQUIRE(grid.table()->rowCount() == 12);
    REQUIRE(grid.table()->columnCount() == 5);
    grid.table()->setFocus();
    CHECK_FALSE(grid.bookButton()->isEnabled());
    for (int cell = 0; cell < 60; ++cell) {
        type("12");
        press(Qt::Key_Return);
    }
    CHECK(grid.bookButton()->isEnabled());
    press(Qt::Key_Return, Qt::ControlModifier);
    CHECK(grid.strip()->kind() == MessageStrip::Kind::done);
    CHECK_THAT(grid.strip()->sentence().toStdString(), Contains("60 sizes") && Contains("60 parts"));
    CHECK(shop.lots().size() == 60);
    CHECK(shop.pieces() == 720);
    CHECK(inventory::verifyStock(shop.test.window.session().shop()).good());
    CHECK_FALSE(grid.bookButton()->isEnabled()); // a second press books nothing
    CHECK(grid.table()->item(0, 0)->text().isEmpty());
    CHECK(grid.table()->item(0, 0)->data(Qt::UserRole).toString() == QStringLiteral("12"));
}

TEST_CASE("Arrows go about in the grid, and the cell in hand says what it is and where it is counted into") {
    NewShop shop;
    ShimGridDialog& grid = shop.openGrid();
    grid.table()->setCurrentCell(0, 0);
    CHECK(grid.about().contains(QStringLiteral("30.0 x 6.0 x 0.10")));
    CHECK(grid.about().contains(QStringLiteral("A01")));
    type("4");
    press(Qt::Key_Down);
    CHECK(grid.table()->currentRow() == 1);
    CHECK(grid.table()->currentColumn() == 0);
    press(Qt::Key_Right);
    CHECK(grid.about().contains(QStringLiteral("29.0 x 6.0 x 0.15")));
    CHECK(grid.about().contains(QStringLiteral("A01"))); // new sizes take drawers in the order of sizes
    press(Qt::Key_Up);
    CHECK(grid.about().contains(QStringLiteral("A02"))); // A01 goes to what is typed, which is thinner
    grid.firstBin()->setText(QStringLiteral("left"));
    QTest::keyClicks(grid.firstBin(), QStringLiteral("most"));
    CHECK(grid.about().contains(QStringLiteral("ends in no number")));
}

TEST_CASE("A block of a spreadsheet is pasted as a whole or not at all") {
    NewShop shop;
    ShimGridDialog& grid = shop.openGrid();
    grid.table()->setCurrentCell(1, 1);
    QGuiApplication::clipboard()->setText(QStringLiteral("5\t6\r\n\t7\r\n"));
    press(Qt::Key_V, Qt::ControlModifier);
    CHECK(grid.table()->item(1, 1)->text() == QStringLiteral("5"));
    CHECK(grid.table()->item(1, 2)->text() == QStringLiteral("6"));
    CHECK(grid.table()->item(2, 1)->text().isEmpty());
    CHECK(grid.table()->item(2, 2)->text() == QStringLiteral("7"));
    for (const char* wrong : {"1\tx", "1\t-2", "1\t2\t3\t4\t5\t6", "0.5"}) {
        INFO(wrong);
        QGuiApplication::clipboard()->setText(QString::fromLatin1(wrong));
        grid.table()->setCurrentCell(4, 1);
        press(Qt::Key_V, Qt::ControlModifier);
        CHECK(grid.strip()->kind() == MessageStrip::Kind::problem);
        CHECK(grid.table()->item(4, 1)->text().isEmpty());
    }
}

TEST_CASE("What was typed into the grid and not booked is there the next time, of its bore alone") {
    NewShop shop;
    shop.openGrid();
    type("4");
    press(Qt::Key_Return);
    shop.closeGrid();
    ShimGridDialog& again = shop.openGrid();
    CHECK(again.table()->item(0, 0)->text() == QStringLiteral("4"));
    again.bore()->setEditText(QStringLiteral("8"));
    CHECK(again.table()->item(0, 0)->text().isEmpty());
    again.bore()->setEditText(QStringLiteral("six"));
    CHECK(again.table()->rowCount() == 0);
    CHECK_FALSE(again.bookButton()->isEnabled());
    again.bore()->setEditText(QStringLiteral("6,0"));
    CHECK(again.table()->item(0, 0)->text() == QStringLiteral("4"));
}

TEST_CASE("A sheet of another country shows how it was understood, and is imported after a look") {
    NewShop shop;
    ImportDialog& dialog =
        shop.openSheet("Lager.csv", "Bestand 2026\n\nAbmessung;Fach;St\xc3\xbc"
                                    "ck\n24x6x0,10;A1;12\n22 x 6 x 0,15;A2;7\nSumme;;19\n");
    REQUIRE(dialog.columns()->rowCount() == 3);
    CHECK(dialog.columns()->item(0, 0)->text() == QStringLiteral("Abmessung"));
    CHECK(dialog.columnBox(0)->currentData().toString() == QStringLiteral("size"));
    CHECK(dialog.columnBox(2)->currentData().toString() == QStringLiteral("quantity"));
    CHECK(shop.lots().empty()); // looking keeps nothing
    REQUIRE(dialog.importButton()->isEnabled());
    QTest::mouseClick(dialog.importButton(), Qt::LeftButton);
    shop.settleDown();
    CHECK(shop.test.window.strip()->kind() == MessageStrip::Kind::done);
    CHECK(shop.lots().size() == 2);
    CHECK(shop.pieces() == 19);
}

TEST_CASE(
    "What a sheet does not say is asked, said in the window, and remembered for sheets with these headings") {
    NewShop shop;
    const QByteArray text = "OD,ID,thickness,how much of it\n24,6,0.10,12\n22,6,0.15,7\n";
    {
        ImportDialog& dialog = shop.openSheet("mine.csv", text);
        REQUIRE(dialog.columns()->rowCount() == 4);
        CHECK(dialog.columnBox(3)->currentData().toString() == QStringLiteral("ignore"));
        QComboBox* box = dialog.columnBox(3);
        box->setCurrentIndex(box->findData(QStringLiteral("quantity")));
        emit box->activated(box->currentIndex());
        shop.settleDown();
        CHECK_FALSE(dialog.importButton()->isEnabled()); // in which drawer?
        auto* bin = dialog.findChildren<QLineEdit*>().front();
        QTest::keyClicks(bin, QStringLiteral("A1"));
        emit bin->editingFinished();
        shop.settleDown();
        REQUIRE(dialog.importButton()->isEnabled());
        QTest::mouseClick(dialog.importButton(), Qt::LeftButton);
        shop.settleDown();
        CHECK(shop.pieces() == 19);
    }
    QCoreApplication::sendPostedEvents(nullptr, QEvent::DeferredDelete);
    ImportDialog& again = shop.openSheet("mine too.csv", "OD,ID,thickness,how much of it\n20,6,0.10,3\n");
    CHECK(again.columnBox(3)->currentData().toString() == QStringLiteral("quantity"));
    CHECK(again.importButton()->isEnabled());
}

TEST_CASE("Lines that are wrong stand first, and nothing of the sheet is kept") {
    NewShop shop;
    ImportDialog& dialog =
        shop.openSheet("mine.csv", "OD,ID,thickness,bin,quantity\n24,6,0.10,A1,12\n22,6,thick,A2,7\n");
    CHECK_FALSE(dialog.importButton()->isEnabled());
    REQUIRE(dialog.lines()->rowCount() > 0);
    CHECK(dialog.lines()->item(0, 0)->text() == QStringLiteral("3"));
    CHECK(dialog.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(shop.lots().empty());
    dialog.close();
}

TEST_CASE("F1 opens the page about what is shown, and each page and link leads somewhere") {
    NewShop shop;
    HelpDialog* help = shop.test.window.help();
    const std::pair<ActionId, const char*> places[] = {{ActionId::go_jobs, "tuner"},
                                                       {ActionId::go_strip, "tech"},
                                                       {ActionId::go_drawers, "sheets"},
                                                       {ActionId::go_reorder, "manager"}};
    for (const auto& [go, page] : places) {
        shop.test.window.actions()[go]->trigger();
        shop.test.window.actions()[ActionId::show_help]->trigger();
        CHECK(help->page().toStdString() == page);
        help->close();
    }
    QStringList names;
    for (int row = 0; row < help->list()->count(); ++row)
        names << help->list()->item(row)->data(Qt::UserRole).toString() + QStringLiteral(".md");
    for (int row = 0; row < help->list()->count(); ++row) {
        help->list()->setCurrentRow(row);
        CHECK(help->text()->toPlainText().size() > 300);
        auto links =
            QRegularExpression(QStringLiteral("\\]\\(([^)]*)\\)")).globalMatch(help->text()->toMarkdown());
        while (links.hasNext()) CHECK(names.contains(links.next().captured(1)));
    }
}
