// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/desk_theme.h"
#include "app/desk/kit/kit_curve_view.h"
#include "app/desk/kit/kit_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/shop_session.h"
#include "inventory/bin.h"
#include "inventory/money.h"
#include "inventory/part_catalogue.h"
#include "inventory/recipe.h"
#include "inventory/stock_ledger.h"
#include "inventory/supplier.h"

#include <QAbstractItemModelTester>
#include <QApplication>
#include <QComboBox>
#include <QDoubleSpinBox>
#include <QFile>
#include <QLineEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using KitLock = KitGridModel::Lock;
using KitCell = KitGridModel::Kind;

namespace {

const auto mm = Length::parseMillimetres;

void type(const QString& text) {
    REQUIRE(QApplication::focusWidget() != nullptr);
    QTest::keyClicks(QApplication::focusWidget(), text);
}

/// Six sizes of one bore from one supplier, one of them of no use to the two recipes.
struct KitShop {
    explicit KitShop(bool with_prices = true, bool with_recipes = true) {
        qputenv("XDG_CACHE_HOME", test.folder.path().toUtf8()); // nobody else's
        path = test.folder.filePath(QStringLiteral("kit.db"));
        {
            inventory::ShopFile shop = inventory::ShopFile::create(pathOf(path));
            inventory::SupplierList suppliers(shop);
            suppliers.add({"Invented Discs", 7, "EUR", {}, {}, {}, ""});
            inventory::BinList(shop).add({"A1", "A", 10, ""});
            for (const char* size : {"24 0.15", "24 0.20", "18 0.15", "18 0.20", "12 0.20", "30 0.30"}) {
                const std::string text = size;
                inventory::Part part;
                part.code = "S" + text;
                part.kind = inventory::PartKind::shim;
                part.od = mm(text.substr(0, 2));
                part.id = mm("6");
                part.thickness = mm(text.substr(3));
                inventory::PartCatalogue(shop).add(part);
                if (with_prices) suppliers.addOffer({"Invented Discs", part.code, 10, 400, "", {}, {}});
            }
            inventory::MovementLine line;
            line.kind = inventory::MovementKind::receipt;
            line.part = "S30 0.30";
            line.bin = "A1";
            line.quantity = 7;
            inventory::StockLedger(shop).post({line});
            if (!with_recipes) return;
            for (const auto& [name, stack] :
                 {std::pair{"trail", "4 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20"},
                  std::pair{"race", "6 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20"}})
                inventory::RecipeList(shop).add({name,
                                                 inventory::Decimal::parse("30"),
                                                 2,
                                                 "",
                                                 "",
                                                 mm("10"),
                                                 mm("13"),
                                                 mm("20"),
                                                 mm("6"),
                                                 {},
                                                 {},
                                                 inventory::parseRecipeStack(stack)});
        }
    }
    void open() {
        test.window.show();
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(path);
        press(Qt::Key_0, Qt::ControlModifier | Qt::AltModifier);
        REQUIRE(page().isVisible());
    }
    void planned() {
        REQUIRE(settle([&] { return !page().busy(); }));
        INFO(page().strip()->sentence().toStdString());
        REQUIRE(page().kit());
    }
    KitPage& page() { return test.window.kit(); }
    inventory::ShopFile& file() { return test.window.session().shop(); }
    [[nodiscard]] std::vector<std::optional<std::int64_t>> points() {
        std::vector<std::optional<std::int64_t>> points;
        for (const inventory::Part& part : inventory::PartCatalogue(file()).list())
            points.push_back(part.reorder_point);
        return points;
    }

    TestWindow test;
    QString path;
};

} // namespace

TEST_CASE(
    "The kit is planned by keys alone: budget typed, sizes looked at, one locked out, points set and back") {
    KitShop shop;
    shop.open();
    KitPage& page = shop.page();
    QAbstractItemModelTester tester(&page.grid(), QAbstractItemModelTester::FailureReportingMode::Fatal);
    CHECK(page.told().contains(QStringLiteral("Plan the kit")));
    CHECK(page.budgetEdit()->hasFocus());
    type(QStringLiteral("60"));
    press(Qt::Key_Return);
    REQUIRE(page.busy());
    shop.planned();
    CHECK(page.kit()->plan.cost <= 6000);
    CHECK(page.told().startsWith(QStringLiteral("Keep")));
    CHECK(page.curve().curve().size() > 3);
    // Every size of the plan has its cell, with the number that is to be kept, and no other cell has one.
    int told = 0;
    for (int row = 0; row < page.grid().rowCount(); ++row) {
        for (int column = 0; column < page.grid().columnCount(); ++column) {
            const QModelIndex index = page.grid().index(row, column);
            const auto cell = page.grid().cell(index);
            if (cell.kind != KitCell::kept) continue;
            ++told;
            CHECK(index.data().toString().startsWith(QString::number(cell.size->keep)));
            CHECK(page.grid().headerData(row, Qt::Vertical, Qt::DisplayRole).toString() ==
                  textOf(cell.size->size.od.text()));
        }
    }
    CHECK(told == static_cast<int>(page.kit()->lines.size()));
    const QModelIndex dead = page.grid().indexOf({mm("30"), mm("6"), mm("0.30")});
    REQUIRE(dead.isValid());
    CHECK(page.grid().cell(dead).kind == KitCell::dead);
    CHECK(dead.data().toString() == QStringLiteral("7!"));
    // What a size is for.
    const QModelIndex face = page.grid().indexOf({mm("24"), mm("6"), mm("0.15")});
    REQUIRE(face.isValid());
    page.gridTable()->setCurrentIndex(face);
    CHECK(page.about().contains(QStringLiteral("trail")));
    CHECK(page.about().contains(QStringLiteral("without it")));
    // What if it were not there.
    page.lock(KitLock::out);
    CHECK(face.data().toString().contains(QChar(0x00d7)));
    press(Qt::Key_F9, Qt::ControlModifier | Qt::ShiftModifier);
    shop.planned();
    for (const services::KitSize& line : page.kit()->lines)
        CHECK_FALSE(line.size == planner::DiscSize{mm("24"), mm("6"), mm("0.15")});
    page.grid().clearLocks();
    press(Qt::Key_F9, Qt::ControlModifier | Qt::ShiftModifier);
    shop.planned();
    // Reorder points, asked for once, and back.
    const auto before = shop.points();
    shop.test.prompts.accept = false;
    page.setPoints();
    CHECK(shop.points() == before);
    shop.test.prompts.accept = true;
    page.setPoints();
    CHECK(shop.points() != before);
    inventory::PartCatalogue parts(shop.file());
    inventory::Part changed = parts.get(page.kit()->lines.front().part);
    changed.reorder_point = 99;
    parts.update(changed);
    page.takePointsBack();
    CHECK(page.strip()->sentence().contains(QStringLiteral("99")));
    CHECK(parts.get(changed.code).reorder_point == 99);
    // The sheet and the paper.
    shop.test.prompts.next_path = shop.test.folder.filePath(QStringLiteral("kit.xlsx"));
    press(Qt::Key_F9, Qt::ControlModifier | Qt::AltModifier);
    CHECK(QFile(shop.test.prompts.next_path).size() > 2000);
    const QString paper = page.printJob().html(shop.file());
    CHECK(paper.contains(QStringLiteral("24.0 x 6.0 x 0.15")));
}

TEST_CASE("The budget's handle goes where the mouse and the keys put it and plans for what it says") {
    KitShop shop;
    shop.open();
    KitPage& page = shop.page();
    type(QStringLiteral("60"));
    press(Qt::Key_Return);
    shop.planned();
    KitCurveView& curve = page.curve();
    curve.setFocus();
    const std::int64_t most = curve.curve().back().budget;
    press(Qt::Key_End);
    CHECK(curve.budget() == most);
    press(Qt::Key_Home);
    CHECK(curve.budget() == curve.curve().front().budget);
    press(Qt::Key_Right);
    CHECK(curve.budget() > curve.curve().front().budget);
    CHECK(page.budgetEdit()->text() == textOf(inventory::moneyText(curve.budget())));
    const QPoint at = curve.handle().toPoint();
    QTest::mousePress(&curve, Qt::LeftButton, {}, at);
    QTest::mouseMove(&curve, at + QPoint(60, 0));
    CHECK(std::abs(curve.handle().x() - (at.x() + 60)) < 4);
    CHECK(curve.sentence().contains(QStringLiteral("%")));
    const std::int64_t wanted = curve.budget();
    QTest::mouseRelease(&curve, Qt::LeftButton, {}, at + QPoint(60, 0));
    REQUIRE(page.busy());
    shop.planned();
    CHECK(page.kit()->plan.budget == wanted);
    CHECK(page.kit()->plan.cost <= wanted);
}

TEST_CASE("What the kit cannot be planned from is one sentence on its page, and Stop ends the planning") {
    SECTION("no jobs and no recipes") {
        KitShop shop(true, false);
        shop.open();
        shop.page().plan();
        REQUIRE(settle([&] { return !shop.page().busy(); }));
        CHECK(shop.page().told().contains(QStringLiteral("recipe add")));
        CHECK_FALSE(shop.page().kit());
    }
    SECTION("no prices") {
        KitShop shop(false, true);
        shop.open();
        shop.page().plan();
        REQUIRE(settle([&] { return !shop.page().busy(); }));
        CHECK(shop.page().told().contains(QStringLiteral("add offers")));
    }
    SECTION("fields that say nothing") {
        KitShop shop;
        shop.open();
        KitPage& page = shop.page();
        for (const char* bad : {"much", "-5", "1.234"}) {
            page.budgetEdit()->setText(QString::fromLatin1(bad));
            page.plan();
            CHECK_FALSE(page.busy());
            CHECK(page.strip()->sentence().contains(QStringLiteral("budget")));
        }
        page.budgetEdit()->setText(QStringLiteral("60,50"));
        CHECK(page.options().budget == 6050);
        page.drawersEdit()->setText(QStringLiteral("none"));
        page.plan();
        CHECK(page.strip()->sentence().contains(QStringLiteral("drawers")));
        page.drawersEdit()->clear();
        page.plan();
        REQUIRE(page.busy());
        press(Qt::Key_Escape);
        CHECK_FALSE(page.busy());
        CHECK_FALSE(page.kit());
    }
    SECTION("recipes of a file, with the next plan alone") {
        KitShop shop;
        shop.open();
        KitPage& page = shop.page();
        const QString file = shop.test.folder.filePath(QStringLiteral("more.csv"));
        QFile out(file);
        REQUIRE(out.open(QIODevice::WriteOnly));
        out.write(
            "name,jobs_a_year,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,stack\n"
            "third,5,10,13,20,6,3 x 24 x 0.15\n");
        out.close();
        shop.test.prompts.next_path = file;
        page.takeRecipes();
        CHECK(page.options().recipes.size() == 1);
        page.takeRecipes();
        CHECK(page.options().recipes.empty());
        page.demandBox()->setCurrentIndex(2);
        CHECK_FALSE(page.options().kept_recipes);
    }
}

TEST_CASE("The grid of the kit can be read in light and dark, and the page fits a small screen") {
    KitShop shop;
    shop.open();
    KitPage& page = shop.page();
    type(QStringLiteral("60"));
    press(Qt::Key_Return);
    shop.planned();
    const QPalette before = QApplication::palette();
    for (const QPalette& palette : {lightPalette(), darkPalette()}) {
        QApplication::setPalette(palette);
        for (int row = 0; row < page.grid().rowCount(); ++row) {
            for (int column = 0; column < page.grid().columnCount(); ++column) {
                const QModelIndex index = page.grid().index(row, column);
                if (index.data().toString().isEmpty()) continue;
                const auto ground = index.data(Qt::BackgroundRole), ink = index.data(Qt::ForegroundRole);
                const QColor on =
                    ground.isValid() ? ground.value<QBrush>().color() : palette.color(QPalette::Base);
                const QColor text =
                    ink.isValid() ? ink.value<QBrush>().color() : palette.color(QPalette::Text);
                CHECK(contrastRatio(text, on) >= 4.5);
            }
        }
    }
    QApplication::setPalette(before);
    CHECK(page.minimumSizeHint().width() <= 1260);
    CHECK(page.minimumSizeHint().height() <= 640);
}
