// SPDX-License-Identifier: GPL-3.0-or-later
// Force over shaft speed on the bench: by one key, ratio first, with what was assumed.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/stack_view/curve_panel.h"
#include "app/desk/stack_view/force_panel.h"
#include "inventory/component_model.h"
#include "inventory/decimal.h"
#include "inventory/job_book.h"
#include "inventory/model_flow.h"

#include <QClipboard>
#include <QFile>
#include <QGuiApplication>
#include <QMimeData>
#include <QTableView>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

struct ForceView {
    ForceView() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(test.window.shopShown());
        settled();
        test.window.jobs().pickJob("JOB-1002");
        settled();
    }
    void settled() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    void key(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
        press(test.window, key, modifiers);
        settled();
    }
    BenchPanel& bench() { return test.window.jobs().bench(); }

    const DemoShopCopy shop;
    TestWindow test;
};

} // namespace

TEST_CASE("One key turns pressure over lift into force over speed, and back") {
    ForceView view;
    CHECK_FALSE(view.bench().forces()->isVisible());
    view.key(Qt::Key_F11);
    REQUIRE(view.bench().forces()->isVisible());
    CHECK_FALSE(view.bench().curves()->isVisible());
    REQUIRE(view.bench().forces()->curves() != nullptr);
    CHECK_FALSE(view.bench().forces()->curves()->comparison);
    const QString reading = view.bench().forces()->reading(0.1);
    CHECK(reading.startsWith(QStringLiteral("At 0.10 m/s: by the model target ")));
    CHECK(view.bench().remarksText().contains(QStringLiteral("taken from what is usual: shaft")));
    CHECK(view.bench().remarksText().contains(QStringLiteral("not a dyno")));
    CHECK(view.bench().remarksText().contains(QStringLiteral("both legs")));
    view.key(Qt::Key_F11);
    CHECK(view.bench().curves()->isVisible());
    CHECK_FALSE(view.bench().remarksText().contains(QStringLiteral("not a dyno")));
}

TEST_CASE("With a proposal the ratio of forces comes first, and the picture is copied with a table") {
    ForceView view;
    view.key(Qt::Key_F11);
    view.key(Qt::Key_F5);
    REQUIRE(view.bench().forces()->curves() != nullptr);
    REQUIRE(view.bench().forces()->curves()->comparison.has_value());
    const QString reading = view.bench().forces()->reading(0.1);
    CHECK(reading.indexOf(QStringLiteral("in force")) < reading.indexOf(QStringLiteral("by the model")));
    CHECK(reading.contains(QStringLiteral("by what cannot be measured")));
    view.key(Qt::Key_C, Qt::ControlModifier | Qt::ShiftModifier);
    const QMimeData* copied = QGuiApplication::clipboard()->mimeData();
    CHECK(copied->hasImage());
    const QStringList lines = copied->text().split(QLatin1Char('\n'), Qt::SkipEmptyParts);
    REQUIRE(lines.size() > 30);
    for (const QString& line : lines)
        CHECK(line.count(QLatin1Char('\t')) == lines.front().count(QLatin1Char('\t')));
    CHECK(view.bench().curves()->reading(0.2).contains(QStringLiteral("deviation")));
}

TEST_CASE("What the component model says of the valve is what is drawn, rebound below zero") {
    ForceView view;
    view.key(Qt::Key_F11);
    inventory::ShopFile& file = view.test.window.session().shop();
    const inventory::Job job = inventory::JobBook(file).get("JOB-1002");
    inventory::ComponentModels models(file);
    inventory::ComponentModel model = models.get(job.model);
    model.valves.push_back(job.valve);
    models.update(model);
    inventory::ModelFlow flow{job.model, job.valve.name};
    flow.stroke = inventory::Stroke::rebound;
    flow.piston = Length::parseMillimetres("28");
    flow.shaft = Length::parseMillimetres("12");
    flow.adjuster = inventory::parseAdjuster("0=0 8=1.2 20=2.4");
    flow.click = 8;
    inventory::ModelFlows(file).update(flow);
    view.key(Qt::Key_R, Qt::ControlModifier);
    REQUIRE(view.bench().forces()->curves() != nullptr);
    CHECK(view.bench().forces()->reading(0.1).contains(QStringLiteral("target -")));
    CHECK_FALSE(view.bench().remarksText().contains(QStringLiteral("piston 26")));
    view.key(Qt::Key_F5);
    CHECK(view.bench().remarksText().contains(QStringLiteral("at 0.1 m/s it is ")));
    CHECK(view.bench().table().contains(QStringLiteral("\t-")));
}

TEST_CASE("A test bench's readings are laid over the forces and the model is fitted to them") {
    ForceView view;
    view.key(Qt::Key_F11);
    REQUIRE(view.bench().forces()->curves() != nullptr);
    std::string csv = "speed_m_s,force_n\n";
    for (const planner::DampingPoint& point : view.bench().forces()->curves()->target.points)
        csv += std::to_string(point.speed_m_s) + "," + std::to_string(0.95 * point.force_n) + "\n";
    const QString path = view.shop.file(QStringLiteral("bench.csv"));
    QFile file(path);
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write(csv.c_str());
    file.close();
    view.test.prompts.next_path = path;
    view.key(Qt::Key_F11, Qt::ShiftModifier);
    CHECK(view.bench().remarksText().contains(QStringLiteral("bench.csv, ")));
    CHECK(view.bench().remarksText().contains(QStringLiteral("fitted with the gap's discharge at 0.7")));
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write("speed,force\n1,2\n");
    file.close();
    view.test.prompts.next_path = path;
    view.key(Qt::Key_F11, Qt::ShiftModifier);
    CHECK(view.test.window.strip()->sentence().contains(QStringLiteral("speed_m_s")));
    CHECK(view.bench().remarksText().contains(QStringLiteral("bench.csv, "))); // the good ones stay
}
