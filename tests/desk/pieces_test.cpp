// SPDX-License-Identifier: GPL-3.0-or-later
// Pieces that move without a plan, booked beside the table of the drawers.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "app/services/stock_flow.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <QLineEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Catch::Matchers::Contains;

namespace {

const std::string part = "SH-24.0-6-0.10";

struct Pieces {
    explicit Pieces(const QString& shop) {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop);
        press(test.window, Qt::Key_M, Qt::ControlModifier | Qt::ShiftModifier);
        settleDown();
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy() && !test.window.drawers().busy(); }));
    }
    PiecesPanel& panel() { return test.window.drawers().pieces(); }
    void set(const char* field, const QVariant& value) {
        setValues(panel().fields(), {{QString::fromLatin1(field), value}});
    }
    void set(const char* field, const char* words) { set(field, QVariant(QString::fromLatin1(words))); }
    QString said(const char* field) {
        return valuesOf(panel().fields()).value(QString::fromLatin1(field)).toString();
    }
    void find(const char* words) {
        test.window.drawers().find()->setText(QString::fromLatin1(words));
        test.window.drawers().table()->selectRow(0);
    }
    void book() {
        QTest::mouseClick(panel().bookButton(), Qt::LeftButton);
        settleDown();
    }
    std::int64_t onHand(const std::string& bin,
                        inventory::Condition condition = inventory::Condition::fresh) {
        std::int64_t sum = 0;
        for (const inventory::StockLot& lot : inventory::stockSnapshot(test.window.session().shop()).lots) {
            sum += lot.part == part && lot.bin == bin && lot.condition == condition ? lot.on_hand : 0;
        }
        return sum;
    }

    TestWindow test;
};

} // namespace

TEST_CASE("Part, drawer and condition follow the line that is picked, and can be typed") {
    const DemoShopCopy shop;
    Pieces pieces(shop.path());
    pieces.find("A01");
    CHECK(pieces.said("part").toStdString() == part);
    CHECK(pieces.said("bin") == QStringLiteral("A01"));
    CHECK(pieces.said("condition") == QStringLiteral("new"));
    CHECK_FALSE(pieces.panel().bookButton()->isEnabled()); // how many?
    pieces.set("part", "SH-NOWHERE");
    pieces.set("quantity", 1);
    pieces.book();
    CHECK_THAT(pieces.panel().remark().toStdString(), Contains("SH-NOWHERE"));
}

TEST_CASE("Each kind of movement changes what lies in the drawers as it says, and the ledger stays true") {
    const DemoShopCopy shop;
    Pieces pieces(shop.path());
    pieces.find("A01");
    const std::int64_t before = pieces.onHand("A01");
    const auto book = [&](const char* what, int quantity) {
        pieces.set("what", what);
        pieces.set("quantity", quantity);
        pieces.book();
        INFO(what);
        CHECK(pieces.panel().remark().toStdString().empty());
        CHECK(pieces.said("quantity") == QStringLiteral("0")); // a second click books nothing
        CHECK_FALSE(pieces.panel().bookButton()->isEnabled());
    };
    book("came in without an order", 12);
    CHECK(pieces.onHand("A01") == before + 12);
    book("taken out", 3);
    CHECK(pieces.onHand("A01") == before + 9);
    book("put back", 1);
    CHECK(pieces.onHand("A01") == before + 10);
    pieces.set("reason", "bent");
    book("thrown away", 2);
    CHECK(pieces.onHand("A01") == before + 8);
    const std::int64_t there = pieces.onHand("A02");
    pieces.set("to_bin", "a02"); // as some scanners send it
    book("moved to another drawer", 4);
    CHECK(pieces.onHand("A01") == before + 4);
    CHECK(pieces.onHand("A02") == there + 4);
    CHECK_THAT(pieces.test.window.drawers().strip()->sentence().toStdString(), Contains("4"));
    CHECK(inventory::verifyStock(pieces.test.window.session().shop()).good());
}

TEST_CASE("What cannot be is told beneath the button, and what was typed stays to be put right") {
    const DemoShopCopy shop;
    Pieces pieces(shop.path());
    pieces.find("A01");
    const std::int64_t before = pieces.onHand("A01");
    const auto refused = [&](const char* what, int quantity, const char* sentence) {
        pieces.set("what", what);
        pieces.set("quantity", quantity);
        pieces.book();
        INFO(what);
        CHECK_THAT(pieces.panel().remark().toStdString(), Contains(sentence));
        CHECK(pieces.said("quantity") == QString::number(quantity));
    };
    refused("thrown away", 1, "say why");
    refused("taken out", 100000, "A01");
    pieces.set("to_bin", "Z99");
    refused("moved to another drawer", 1, "Z99");
    pieces.set("job", "JOB-9999");
    refused("taken out", 1, "JOB-9999");
    CHECK(pieces.onHand("A01") == before);
}

TEST_CASE("An entry that was not booked stands there again after the window was closed") {
    const DemoShopCopy shop;
    QTemporaryDir folder;
    AppSettings settings(folder.filePath(QStringLiteral("desk.ini")));
    ScriptedPrompts prompts;
    const auto panelOf = [&](MainWindow& window) -> PiecesPanel& {
        window.show();
        window.openShop(shop.path());
        PiecesPanel& panel = window.drawers().pieces();
        REQUIRE(settle([&] { return !window.busy() && !window.drawers().busy(); }));
        return panel;
    };
    {
        MainWindow window(settings, prompts);
        const PiecesPanel& panel = panelOf(window);
        window.drawers().find()->setText(QStringLiteral("A02"));
        window.drawers().table()->selectRow(0);
        setValues(panel.fields(),
                  {{QStringLiteral("what"), QStringLiteral("thrown away")}, {QStringLiteral("quantity"), 3}});
        auto* reason = static_cast<QLineEdit*>(panel.fields().at(QStringLiteral("reason")));
        reason->setFocus();
        QTest::keyClicks(reason, QStringLiteral("bent"));
        window.close();
    }
    MainWindow window(settings, prompts);
    const QVariantMap again = valuesOf(panelOf(window).fields());
    CHECK(again.value(QStringLiteral("what")) == QStringLiteral("thrown away"));
    CHECK(again.value(QStringLiteral("bin")) == QStringLiteral("A02"));
    CHECK(again.value(QStringLiteral("quantity")) == 3);
    CHECK(again.value(QStringLiteral("reason")) == QStringLiteral("bent"));
}

TEST_CASE("An entry under way stays when another program books something, and follows the next line picked") {
    const DemoShopCopy shop;
    Pieces pieces(shop.path());
    pieces.find("A01");
    pieces.set("condition", "used");
    pieces.set("quantity", 3);
    {
        auto other = inventory::ShopFile::open(shop.path().toStdString());
        services::PieceMove came;
        came.part = part;
        came.bin = "A01";
        came.quantity = 5;
        services::receivePieces(other, came);
    }
    pieces.test.window.actions()[ActionId::refresh]->trigger();
    pieces.settleDown();
    CHECK(pieces.said("condition") == QStringLiteral("used"));
    CHECK(pieces.said("quantity") == QStringLiteral("3"));
    pieces.test.window.drawers().find()->setText(QStringLiteral("A02"));
    CHECK(pieces.said("bin") == QStringLiteral("A01")); // looking for something picks nothing
    pieces.test.window.drawers().table()->selectRow(0);
    CHECK(pieces.said("bin") == QStringLiteral("A02"));
    CHECK(pieces.said("condition") == QStringLiteral("new"));
    CHECK(pieces.said("quantity") == QStringLiteral("3"));
}
