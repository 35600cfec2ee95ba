// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/import/import_dialog.h"
#include "app/desk/import/import_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/length_edit.h"
#include "app/desk/message_strip.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/settings_dialog.h"
#include "app/desk/shop_session.h"
#include "inventory/stock_snapshot.h"

#include <QApplication>
#include <QClipboard>
#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QImage>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

void openDemo(TestWindow& test, const DemoShopCopy& shop) {
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    test.window.openShop(shop.path());
    REQUIRE(settle([&] { return !test.window.busy(); }));
}

void find(TestWindow& test, const QString& words) {
    test.window.activateWindow(); // a window manager would give the focus back from the search before
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    QTest::keyClick(&test.window, Qt::Key_K, Qt::ControlModifier);
    QTest::keyClicks(test.window.search()->field(), words);
    REQUIRE(settle([&] { return !test.window.busy() && test.window.search()->list()->count() > 0; }));
    QTest::keyClick(test.window.search()->field(), Qt::Key_Return);
}

bool isPdf(const QString& path) {
    QFile file(path);
    return file.open(QIODevice::ReadOnly) && file.read(5) == "%PDF-" && file.size() > 5000;
}

void writeText(const QString& path, const char* text) {
    QFile file(path);
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write(text);
}

} // namespace

TEST_CASE("Ctrl+K goes to a job, to a drawer and to something to do") {
    const DemoShopCopy shop;
    TestWindow test;
    openDemo(test, shop);
    find(test, QStringLiteral("1004 maple"));
    CHECK(test.window.jobs().pickedJob() == std::string("JOB-1004"));
    find(test, QStringLiteral("22,0 0,10 a09"));
    CHECK(test.window.drawers().isVisible());
    const QModelIndex current = test.window.drawers().table()->currentIndex();
    CHECK(current.siblingAtColumn(0).data().toString() == QStringLiteral("A09"));
    find(test, QStringLiteral("keys and what"));
    CHECK_FALSE(test.prompts.told.isEmpty());
}

TEST_CASE("Every page gives a sheet as PDF and to the printer") {
    const DemoShopCopy shop;
    TestWindow test;
    openDemo(test, shop);
    const auto make = [&](ActionId action, const QString& name) {
        test.prompts.next_path = shop.file(name);
        test.window.actions()[action]->trigger();
        REQUIRE(settle([&] { return !test.window.busy(); }));
        CHECK(test.window.strip()->kind() == MessageStrip::Kind::done);
        CHECK(isPdf(shop.file(name)));
    };
    make(ActionId::save_pdf, QStringLiteral("stack.pdf"));
    make(ActionId::print_sheet, QStringLiteral("stack-printed.pdf"));
    test.window.actions()[ActionId::find_substitutes]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    test.window.actions()[ActionId::reserve_proposal]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    make(ActionId::save_pdf, QStringLiteral("pick.pdf"));
    CHECK(test.prompts.suggestions.last().contains(QStringLiteral("pick-list-JOB-")));
    const auto makeAt = [&](ActionId place, const QString& name, const QString& sheet) {
        test.window.actions()[place]->trigger();
        REQUIRE(settle([&] { return !test.window.busy(); }));
        make(ActionId::save_pdf, name);
        INFO(test.prompts.suggestions.last().toStdString());
        CHECK(test.prompts.suggestions.last().contains(sheet));
    };
    makeAt(ActionId::go_strip, QStringLiteral("strip.pdf"), QStringLiteral("strip-form-JOB-"));
    makeAt(ActionId::go_inspect, QStringLiteral("inspect.pdf"), QStringLiteral("strip-form-JOB-"));
    makeAt(ActionId::go_pull, QStringLiteral("pull.pdf"), QStringLiteral("pick-list-JOB-"));
    makeAt(ActionId::go_drawers, QStringLiteral("count.pdf"), QStringLiteral("count-sheet"));
    makeAt(ActionId::go_history, QStringLiteral("history.pdf"), QStringLiteral("history-"));
    makeAt(ActionId::go_reorder, QStringLiteral("reorder.pdf"), QStringLiteral("reorder"));
    make(ActionId::labels_pdf, QStringLiteral("labels.pdf"));
    make(ActionId::print_labels, QStringLiteral("labels-printed.pdf"));
}

TEST_CASE("A PDF that cannot be written is told in a sentence") {
    const DemoShopCopy shop;
    TestWindow test;
    openDemo(test, shop);
    test.prompts.next_path = shop.file(QStringLiteral("no-such-folder/x.pdf"));
    test.window.actions()[ActionId::save_pdf]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(test.window.strip()->sentence().contains(QStringLiteral("no-such-folder")));
}

TEST_CASE("Stacks and curves are copied as a picture") {
    const DemoShopCopy shop;
    TestWindow test;
    openDemo(test, shop);
    test.window.actions()[ActionId::copy_picture]->trigger();
    const QImage image = QApplication::clipboard()->image();
    REQUIRE(image.width() > 600);
    QSet<QRgb> colours;
    for (int y = 0; y < image.height(); y += 7) {
        for (int x = 0; x < image.width(); x += 7) {
            colours.insert(image.pixel(x, y));
        }
    }
    CHECK(colours.size() > 10); // a drawing, and not one flat ground
}

TEST_CASE("Opening stock with mistakes is listed line by line, and nothing of it is imported") {
    TestWindow test;
    test.prompts.next_path = test.folder.filePath(QStringLiteral("new.db"));
    test.window.actions()[ActionId::new_shop]->trigger();
    REQUIRE(test.window.shopShown());
    const QString csv = test.folder.filePath(QStringLiteral("csv"));
    REQUIRE(QDir().mkpath(csv));
    const auto write = [&](const char* name, const char* text) {
        writeText(csv + QLatin1Char('/') + QString::fromLatin1(name), text);
    };
    write("parts.csv", "part,kind,description,od_mm,id_mm,thickness_mm,unit\r\n"
                       "SH-1,shim,invented,24.0,6.0,0.10,piece\r\n");
    write("bins.csv", "bin,cabinet,walking_order\r\nA1,A,10\r\n");
    write("stock.csv", "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                       "shim,24.0,6.0,0.10,,new,A1,12\r\n"
                       "shim,24.0,6.0,thick,,new,A1,5\r\n"
                       "shim,24.0,6.0,0.10,,used,A1,-4\r\n");
    test.prompts.next_path = csv;
    test.window.actions()[ActionId::import_folder]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    REQUIRE(test.window.importing()->dialog() != nullptr);
    const auto* table = test.window.importing()->dialog()->lines();
    REQUIRE(table->rowCount() == 2);
    CHECK(table->item(0, 0)->text() == QStringLiteral("3"));
    CHECK(table->item(0, 1)->text().contains(QStringLiteral("thickness_mm")));
    CHECK(table->item(1, 0)->text() == QStringLiteral("4"));
    CHECK_FALSE(test.window.importing()->dialog()->importButton()->isEnabled());
    CHECK(inventory::stockSnapshot(test.window.session().shop()).lots.empty());
    test.window.importing()->dialog()->close();

    write("stock.csv", "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\r\n"
                       "shim,24.0,6.0,0.10,,new,A1,12\r\n");
    test.window.actions()[ActionId::import_folder]->trigger();
    REQUIRE(settle([&] { return !test.window.busy(); }));
    QTest::mouseClick(test.window.importing()->dialog()->importButton(), Qt::LeftButton);
    REQUIRE(settle([&] { return !test.window.busy(); }));
    CHECK(test.window.strip()->kind() == MessageStrip::Kind::done);
    CHECK(inventory::stockSnapshot(test.window.session().shop()).lots.size() == 1);
    CHECK(test.window.drawers().table()->model()->rowCount() == 1);
}

TEST_CASE("Each field of the settings is reached by the key of its label") {
    SettingsDialog dialog(DeskChoices{});
    dialog.show();
    REQUIRE(QTest::qWaitForWindowActive(&dialog));
    const auto labels = dialog.findChildren<QLabel*>();
    int keys = 0;
    for (const QLabel* label : labels) {
        const qsizetype mark = label->text().indexOf(QLatin1Char('&'));
        if (mark < 0 || label->buddy() == nullptr) continue;
        INFO(label->text().toStdString());
        ++keys;
        const auto letter = static_cast<Qt::Key>(label->text().at(mark + 1).toUpper().unicode());
        QTest::keyClick(&dialog, letter, Qt::AltModifier);
        const QWidget* focus = QApplication::focusWidget();
        CHECK((focus == label->buddy() || label->buddy()->isAncestorOf(focus)));
    }
    CHECK(keys == 8);
}

TEST_CASE("Settings are kept, and the working lift takes inches and shows what they come to") {
    DeskChoices choices;
    SettingsDialog dialog(choices);
    dialog.workingLift()->setText(QStringLiteral("0.02 in"));
    CHECK(dialog.workingLift()->remark() == QStringLiteral("= 0.508 mm"));
    CHECK(dialog.choices().working_lift_mm == Approx(0.508));
    dialog.workingLift()->setText(QStringLiteral("9"));
    CHECK_FALSE(dialog.acceptButton()->isEnabled());
    dialog.workingLift()->setText(QStringLiteral("much"));
    CHECK_FALSE(dialog.acceptButton()->isEnabled());
    CHECK(dialog.workingLift()->remark().contains(QStringLiteral("much")));

    TestWindow test;
    const QPalette palette = QApplication::palette();
    const QFont font = QApplication::font();
    choices = {Theme::dark,
               150,
               Paper::letter,
               services::SizeUnit::inches,
               0.5,
               planner::ToleranceClass::fine,
               services::usual_waiting_day,
               QStringLiteral("A. B.")};
    test.prompts.chosen = choices;
    test.window.actions()[ActionId::edit_settings]->trigger();
    CHECK(test.settings.choices() == choices);
    CHECK(isDark(QApplication::palette()));
    CHECK(QApplication::font().pointSizeF() == Approx(1.5 * font.pointSizeF()));
    QApplication::setPalette(palette);
    QApplication::setFont(font);
}
