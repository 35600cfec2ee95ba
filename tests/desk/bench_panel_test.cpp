// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/stack_view/curve_panel.h"
#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/stack_section_widget.h"

#include <QPlainTextEdit>
#include <QSignalSpy>
#include <QSlider>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;

namespace {

BenchInput input(int face_discs, const QString& title) {
    return {{title,
             planner::StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                                {{face_discs, 24_mm, 0.15_mm, {}, {}}, {1, 18_mm, 0.20_mm, {}, {}}}),
             {QStringLiteral("A1, 12 available")},
             {},
             {}},
            {}};
}

void settle(const BenchPanel& bench) {
    REQUIRE(QTest::qWaitFor([&bench] { return !bench.busy(); }, 10000));
}

} // namespace

TEST_CASE("The bench reads both curves and their deviation at the slider's lift") {
    BenchPanel bench;
    bench.setTarget(input(3, QStringLiteral("Target")));
    bench.setSubstitute(input(4, QStringLiteral("Proposal 1")));
    settle(bench);
    bench.slider()->setFocus();
    QTest::keyClick(bench.slider(), Qt::Key_End);
    CHECK(bench.section()->lift() == Approx(0.30));
    const QString words = bench.curves()->reading(0.30);
    CHECK(words.contains(QStringLiteral("target")));
    CHECK(words.contains(QStringLiteral("substitute")));
    CHECK(words.contains(QStringLiteral("deviation +"))); // four discs are stiffer than three
    CHECK(bench.curves()->reading(0.31).isEmpty());
}

TEST_CASE(
    "Past the onset of warping the bench reads the warped curve and the rim, and says where it begins") {
    BenchPanel bench;
    BenchInput lone = input(1, QStringLiteral("Target"));
    lone.side.stack = planner::StackSpec(lone.side.stack.valve(), {{1, 24_mm, 0.15_mm, {}, {}}});
    CurveSettings settings;
    settings.working_lift_mm = 0.5;
    bench.setTarget(lone, settings);
    settle(bench);
    CHECK_FALSE(
        bench.curves()->reading(0.45).contains(QStringLiteral("warped"))); // the curves do not wait for it
    REQUIRE(QTest::qWaitFor([&bench] { return !bench.warping(); }, 20000));
    const QString warped = bench.curves()->reading(0.45);
    CHECK(warped.contains(QStringLiteral("; warped, target's rim 0.")));
    bench.setSubstitute(lone);
    settle(bench);
    REQUIRE(QTest::qWaitFor([&bench] { return !bench.warping(); }, 20000));
    // The warped pressure is the one that is told and compared: a stack does not differ from itself.
    CHECK(bench.curves()->reading(0.45).startsWith(warped.left(warped.indexOf(QStringLiteral(" MPa")))));
    CHECK(bench.curves()->reading(0.45).contains(QStringLiteral("deviation +0.0 %; warped, target's rim")));
    CHECK_FALSE(bench.curves()->reading(0.20).contains(QStringLiteral("warped"))); // still round there
    const auto* remarks = bench.findChild<QPlainTextEdit*>();
    REQUIRE(remarks != nullptr);
    CHECK(remarks->toPlainText().contains(QStringLiteral("Target: the discs warp from 0.3")));

    bench.setTarget(input(3, QStringLiteral("Target"))); // 0.30 mm: stays round
    settle(bench);
    REQUIRE(QTest::qWaitFor([&bench] { return !bench.warping(); }, 20000));
    CHECK_FALSE(remarks->toPlainText().contains(QStringLiteral("the discs warp from")));
    CHECK_FALSE(bench.curves()->reading(0.30).contains(QStringLiteral("warped")));
}

TEST_CASE("The bench tells both stacks in words for those who cannot see it") {
    BenchPanel bench;
    bench.setTarget(input(3, QStringLiteral("Target")));
    CHECK(bench.section()->accessibleDescription().contains(QStringLiteral("3 x 24.0 x 0.15")));
    bench.setTarget(std::nullopt);
    CHECK_FALSE(bench.section()->accessibleDescription().contains(QStringLiteral("24.0")));
    CHECK_FALSE(bench.slider()->isEnabled());
}

TEST_CASE("A click on a disc picks its row") {
    StackSectionWidget section;
    section.resize(700, 400);
    section.setTarget(input(3, QStringLiteral("Target")).side);
    QSignalSpy picked(&section, &StackSectionWidget::targetRowPicked);
    bool face = false;
    bool second = false;
    for (int y = 0; y < section.height(); y += 4) {
        picked.clear();
        QTest::mouseClick(&section, Qt::LeftButton, {}, QPoint(section.width() / 2 - 60, y));
        if (picked.isEmpty()) {
            continue;
        }
        face = face || picked.front().front().toInt() == 0;
        second = second || picked.front().front().toInt() == 1;
    }
    CHECK(face);
    CHECK(second);
    CHECK(section.shownHeightFactor() > 1);
}

TEST_CASE("With nothing to draw the plots are as wide as with curves") {
    QWidget parent;
    CurvePlot plot(&parent);
    plot.view()->resize(460, 300);
    plot.setWorkingLift(0.30);
    plot.show({}, {}, QStringLiteral("Substitute"));
    plot.fit(parent.font());
    parent.show();
    REQUIRE(QTest::qWaitForWindowExposed(&parent));
    QCoreApplication::processEvents();
    (void)plot.view()->grab();
    CHECK(plot.liftAt(400) > 0.20);
    CHECK(plot.liftAt(400) < 0.29); // the axis does not end before
}
