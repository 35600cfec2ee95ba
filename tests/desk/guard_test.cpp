// SPDX-License-Identifier: GPL-3.0-or-later
// Whatever a slot throws is told, and reaches neither Qt nor the end of the program.
#include "bench_fixture.h"
#include "watched_application.h"

#include "app/desk/background_run.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/services/file_fault.h"
#include "inventory/inventory_error.h"
#include "planner/units/input_error.h"

#include <QAbstractTableModel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>
#include <QTimer>

#include <filesystem>
#include <functional>
#include <memory>
#include <new>
#include <stdexcept>
#include <vector>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

struct Teller : QWidget, ProblemTeller {
    void tellProblem(const Problem& problem) override { told.push_back(problem); }
    std::vector<Problem> told;
};

struct Thrown {
    const char* name;
    std::function<void()> thrower;
    Problem::Kind kind;
    const char* says;
};
const std::vector<Thrown> everything{
    {"bad input", [] { throw InputError("row 3 has no thickness"); }, Problem::Kind::refusal,
     "row 3 has no thickness"},
    {"a fault of the shop file", [] { throw inventory::ShopFileFault("the disk is full"); },
     Problem::Kind::refusal, "the disk is full"},
    {"a fault of another file", [] { throw services::FileFault("no room for the sheet"); },
     Problem::Kind::refusal, "no room for the sheet"},
    {"a fault that the library names",
     [] {
         throw std::filesystem::filesystem_error("copy", "/some/place",
                                                 std::make_error_code(std::errc::permission_denied));
     },
     Problem::Kind::refusal, "/some/place: Permission denied"},
    {"no thread",
     [] { throw std::system_error(std::make_error_code(std::errc::resource_unavailable_try_again)); },
     Problem::Kind::refusal, "Resource temporarily unavailable"},
    {"no memory", [] { throw std::bad_alloc(); }, Problem::Kind::refusal, "not enough memory"},
    {"a bug", [] { throw std::logic_error("a heading is no line"); }, Problem::Kind::bug,
     "A fault of this program, not of yours: a heading is no line"},
    {"a place that is not there", [] { (void)std::vector<int>().at(3); }, Problem::Kind::bug,
     "A fault of this program"},
    {"no exception at all", [] { throw 3; }, Problem::Kind::bug, "A fault of this program"}};

} // namespace

TEST_CASE("Whatever a slot throws is told by the window above it, and the slots after it still run") {
    for (const Thrown& thrown : everything) {
        INFO(thrown.name);
        Teller window;
        auto* page = new QWidget(&window);
        auto* button = new QPushButton(page);
        int after = 0;
        guarded(button, &QPushButton::clicked, page, thrown.thrower);
        guarded(button, &QPushButton::clicked, page, [&after] { ++after; });
        QTest::mouseClick(button, Qt::LeftButton);
        REQUIRE(window.told.size() == 1);
        CHECK(window.told.front().kind == thrown.kind);
        CHECK(window.told.front().sentence.contains(QString::fromUtf8(thrown.says)));
        CHECK(after == 1);
        QTest::mouseClick(button, Qt::LeftButton); // the button is as it was
        CHECK(after == 2);
    }
    CHECK(WatchedApplication::escapedSoFar() == 0);
}

TEST_CASE("A guarded slot takes as many of the signal's arguments as it wants, and ends with its receiver") {
    QPushButton button;
    button.setCheckable(true);
    std::vector<bool> seen;
    int bare = 0;
    auto receiver = std::make_unique<QWidget>();
    guarded(&button, &QPushButton::clicked, receiver.get(), [&](bool on) { seen.push_back(on); });
    guarded(&button, &QPushButton::clicked, receiver.get(), [&] { ++bare; });
    guarded(&button, &QPushButton::toggled, receiver.get(), &QWidget::setDisabled);
    guarded(&button, &QPushButton::toggled, receiver.get(), &QWidget::close); // takes none of them
    button.click();
    CHECK(seen == std::vector<bool>{true});
    CHECK(bare == 1);
    CHECK_FALSE(receiver->isEnabled());
    receiver.reset();
    button.click();
    CHECK(bare == 1);
}

TEST_CASE("What a timer or a queued slot throws is told, also where the receiver has no window above it") {
    Teller window;
    window.show();
    QObject alone;
    QTimer timer;
    timer.setSingleShot(true);
    guarded(&timer, &QTimer::timeout, &alone, [] { throw InputError("timer"); });
    guarded(
        &timer, &QTimer::timeout, &alone, [] { throw InputError("queued"); }, Qt::QueuedConnection);
    timer.start(0);
    REQUIRE(settle([&] { return window.told.size() == 2; }));
    CHECK(window.told[0].sentence == QStringLiteral("timer"));
    CHECK(window.told[1].sentence == QStringLiteral("queued"));
    CHECK(WatchedApplication::escapedSoFar() == 0);
}

TEST_CASE("A receiver that deletes itself and throws then is no trouble") {
    Teller window;
    QPushButton button;
    auto* page = new QWidget(&window);
    guarded(&button, &QPushButton::clicked, page, [page] {
        delete page;
        throw InputError("gone");
    });
    window.show();
    button.click();
    REQUIRE(window.told.size() == 1); // by any window, since nothing is above what has gone
}

TEST_CASE(
    "What background work or its delivery throws is a failure of the run, a bug too, and the run ends") {
    for (const Thrown& thrown : everything) {
        for (const bool in_delivery : {false, true}) {
            INFO(thrown.name << (in_delivery ? " in the delivery" : " in the work"));
            Teller window;
            window.show();
            BackgroundRun run;
            QSignalSpy failed(&run, &BackgroundRun::failed);
            QSignalSpy finished(&run, &BackgroundRun::finished);
            run.start([&](const RunControl&) -> RunDelivery {
                if (!in_delivery) thrown.thrower();
                return thrown.thrower;
            });
            REQUIRE(settle([&] { return !run.running(); }));
            REQUIRE(failed.size() == 1);
            CHECK(failed.front().front().toString().contains(QString::fromUtf8(thrown.says)));
            CHECK(finished.size() == 1);
            CHECK(window.told.size() == (thrown.kind == Problem::Kind::bug ? 1U : 0U));
        }
    }
    CHECK(WatchedApplication::escapedSoFar() == 0);
}

TEST_CASE("A model whose cell throws while it is painted leaves a table that can be painted again") {
    struct Broken : QAbstractTableModel {
        [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override {
            return parent.isValid() ? 0 : 2;
        }
        [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override {
            return parent.isValid() ? 0 : 1;
        }
        [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override {
            return answered(this, QVariant(), [&]() -> QVariant {
                if (broken && role == Qt::DisplayRole) throw std::logic_error("no such line");
                return role == Qt::DisplayRole ? QVariant(index.row()) : QVariant();
            });
        }
        bool broken = true;
    };
    Teller window;
    Broken model;
    QTableView table(&window);
    table.setModel(&model);
    window.show();
    REQUIRE(settle([&] { return !window.told.empty(); }));
    CHECK(window.told.front().kind == Problem::Kind::bug);
    model.broken = false;
    QCoreApplication::processEvents();
    window.told.clear();
    CHECK_FALSE(table.grab().isNull());
    QCoreApplication::processEvents();
    CHECK(window.told.empty());
    CHECK(WatchedApplication::escapedSoFar() == 0);
}

TEST_CASE("A bug in the middle of a step is said with what to do, the window, the proposals and what was "
          "typed stay") {
    JobAtBench desk;
    press(Qt::Key_6, Qt::ControlModifier);
    QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("5 24 0.0"));
    QWidget* entry = QApplication::focusWidget();
    press(Qt::Key_1, Qt::ControlModifier);
    press(Qt::Key_F5);
    REQUIRE(settle([&] { return !desk.test.window.busy(); }));
    desk.test.prompts.at_confirm = [] { throw std::logic_error("the plan has no first row"); };
    press(Qt::Key_F6);
    const QString said = desk.test.window.strip()->sentence();
    CHECK(desk.test.window.strip()->kind() == MessageStrip::Kind::problem);
    CHECK(said.contains(QStringLiteral("the plan has no first row")));
    CHECK(said.contains(QStringLiteral("history"))); // what to do
    CHECK(desk.test.window.isVisible());
    CHECK(qobject_cast<QLineEdit*>(entry)->text() == QStringLiteral("5 24 0.0"));
    desk.test.prompts.at_confirm = {};
    press(Qt::Key_F6); // the same step goes well the next time
    CHECK(desk.test.window.jobs().strip()->kind() == MessageStrip::Kind::done);
    CHECK(WatchedApplication::escapedSoFar() == 0);
}
