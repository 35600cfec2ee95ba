// SPDX-License-Identifier: GPL-3.0-or-later
// The whole window by keyboard: each widget is reached once by Tab, in reading order, and has a name.
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/workshop/workshop_page.h"

#include <QAbstractButton>
#include <QApplication>
#include <QKeySequence>
#include <QLabel>
#include <QMenuBar>
#include <QScrollBar>
#include <QSpinBox>
#include <QTabWidget>
#include <QTest>

#include <algorithm>
#include <functional>
#include <map>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// What is looked at, and how one comes there.
struct Screen {
    const char* name;
    ActionId action;
    std::function<QWidget*(MainWindow&)> page;
};

const Screen screens[] = {
    {"target", ActionId::go_target, [](MainWindow& window) { return &window.jobs(); }},
    {"rules", ActionId::edit_rules, [](MainWindow& window) { return &window.jobs(); }},
    {"strip", ActionId::go_strip, [](MainWindow& window) { return &window.workshop(); }},
    {"inspect", ActionId::go_inspect, [](MainWindow& window) { return &window.workshop(); }},
    {"pull", ActionId::go_pull, [](MainWindow& window) { return &window.workshop(); }},
    {"build", ActionId::go_build, [](MainWindow& window) { return &window.workshop(); }},
    {"drawers", ActionId::go_drawers, [](MainWindow& window) { return &window.drawers(); }},
    {"measure", ActionId::go_measure, [](MainWindow& window) { return &window.drawers(); }},
    {"pieces", ActionId::go_pieces, [](MainWindow& window) { return &window.drawers(); }},
    {"count", ActionId::go_count, [](MainWindow& window) { return &window.drawers(); }},
    {"history", ActionId::go_history, [](MainWindow& window) { return &window.drawers(); }},
    {"reorder", ActionId::go_reorder, [](MainWindow& window) { return &window.reorder(); }},
    // The last, since it picks the first job of the plan.
    {"all jobs", ActionId::plan_all_jobs, [](MainWindow& window) { return &window.jobs(); }}};

/// A window with the demo shop, a job of it searched and reserved, so that there is something on every page.
struct Desk {
    Desk() {
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.resize(1280, 800);
        test.window.openShop(shop.path());
        settleDown();
        test.window.jobs().pickJob("JOB-1002");
        for (QSpinBox* box : test.window.jobs().rules().findChildren<QSpinBox*>()) {
            if (box->suffix() == QStringLiteral(" s")) box->setValue(1); // the order of Tab needs no proof
        }
        trigger(ActionId::find_substitutes);
        trigger(ActionId::reserve_proposal);
    }
    void settleDown() {
        REQUIRE(settle([&] { return !test.window.busy(); }));
    }
    void trigger(ActionId id) {
        test.window.actions()[id]->trigger();
        settleDown();
    }

    DemoShopCopy shop;
    TestWindow test;
};

bool takesTab(const QWidget& widget) {
    return widget.isVisible() && widget.isEnabled() && (widget.focusPolicy() & Qt::TabFocus) &&
           widget.focusProxy() == nullptr;
}

std::string nameOf(const QWidget& widget) {
    QString name = widget.accessibleName();
    if (name.isEmpty()) name = widget.property("text").toString();
    return std::string(widget.metaObject()->className()) + " \"" + name.toStdString() + "\"";
}

QList<QWidget*> focusable(const QWidget& page) {
    QList<QWidget*> widgets;
    for (QWidget* widget : page.findChildren<QWidget*>()) {
        if (takesTab(*widget)) widgets << widget;
    }
    return widgets;
}

/// From the first widget of the page round to it again.
QList<QWidget*> walk(QWidget& page, QWidget& first) {
    constexpr int most_steps = 300;
    first.setFocus(Qt::TabFocusReason);
    QList<QWidget*> walked;
    for (int step = 0; step < most_steps; ++step) {
        QWidget* here = QApplication::focusWidget();
        REQUIRE(here != nullptr);
        if (walked.contains(here)) break;
        walked << here;
        QTest::keyClick(here, Qt::Key_Tab);
    }
    walked.removeIf([&page](const QWidget* widget) { return !page.isAncestorOf(widget); });
    return walked;
}

/// Whether `next` is read before `before`: above it in the same column, left of it in the same row, or above
/// and left of it.
bool goesBack(const QWidget& page, const QWidget& before, const QWidget& next) {
    const auto place = [&page](const QWidget& widget) {
        return QRect(widget.mapTo(&page, QPoint()), widget.size());
    };
    const QRect a = place(before);
    const QRect b = place(next);
    const int shared_height = std::min(a.bottom(), b.bottom()) - std::max(a.top(), b.top());
    const int shared_width = std::min(a.right(), b.right()) - std::max(a.left(), b.left());
    const bool same_row = 2 * shared_height > std::min(a.height(), b.height());
    const bool same_column = shared_width > 0;
    if (same_row && !same_column) return b.left() < a.left();
    if (same_column && !same_row) return b.top() < a.top();
    return !same_row && b.bottom() < a.top() && b.right() < a.left();
}

} // namespace

TEST_CASE("Tab reaches every widget of every page once, in reading order") {
    Desk desk;
    for (const Screen& screen : screens) {
        INFO(screen.name);
        desk.trigger(screen.action);
        QWidget& page = *screen.page(desk.test.window);
        REQUIRE(page.isVisible());
        const QList<QWidget*> all = focusable(page);
        REQUIRE(all.size() > 2);
        // The one that is read first: in the upper row, on the left.
        QWidget* first = *std::min_element(all.begin(), all.end(), [&](const QWidget* a, const QWidget* b) {
            return goesBack(page, *b, *a);
        });
        const QList<QWidget*> walked = walk(page, *first);
        for (QWidget* widget : all) {
            INFO(nameOf(*widget));
            CHECK(walked.count(widget) == 1);
        }
        for (QScrollBar* bar : page.findChildren<QScrollBar*>()) {
            bar->setValue(bar->minimum()); // where it was scrolled to on the way does not count
        }
        for (qsizetype i = 1; i < walked.size(); ++i) {
            INFO("from " << nameOf(*walked[i - 1]) << " to " << nameOf(*walked[i]));
            CHECK_FALSE(goesBack(page, *walked[i - 1], *walked[i]));
        }
    }
}

TEST_CASE("Every widget that is used on any page has a name for a screen reader") {
    Desk desk;
    for (const Screen& screen : screens) {
        desk.trigger(screen.action);
        for (const QWidget* widget : screen.page(desk.test.window)->findChildren<QWidget*>()) {
            const bool inner = widget->objectName().startsWith(QStringLiteral("qt_")) ||
                               widget->inherits("QComboBoxListView"); // Qt's own parts
            if (!takesTab(*widget) || inner) continue;
            INFO(screen.name << ": " << nameOf(*widget));
            CHECK_FALSE((widget->accessibleName() + widget->property("text").toString()).isEmpty());
        }
    }
}

TEST_CASE("Every button of the pages has an action with a key, a mnemonic, or is reached by Tab") {
    Desk desk;
    for (const Screen& screen : screens) {
        desk.trigger(screen.action);
        for (const QAbstractButton* button :
             screen.page(desk.test.window)->findChildren<QAbstractButton*>()) {
            if (!button->isVisible() || button->inherits("QToolButton")) continue;
            INFO(screen.name << ": " << nameOf(*button));
            const bool named_key = button->toolTip().contains(QLatin1Char('(')); // as actions do
            const bool mnemonic = button->text().contains(QLatin1Char('&'));
            CHECK((named_key || mnemonic || (button->focusPolicy() & Qt::TabFocus) ||
                   button->text().contains(QStringLiteral("(Return)"))));
        }
    }
}

TEST_CASE("No letter means two things at once: the menus' letters and those of each page are all different") {
    Desk desk;
    for (const Screen& screen : screens) {
        desk.trigger(screen.action);
        std::map<QString, QStringList> meanings;
        const auto note = [&](const QString& words) {
            const QString key = QKeySequence::mnemonic(words).toString();
            if (!key.isEmpty()) meanings[key] << words;
        };
        for (const QAction* menu : desk.test.window.menuBar()->actions()) note(menu->text());
        for (const QWidget* widget : desk.test.window.centralWidget()->findChildren<QWidget*>()) {
            if (!widget->isVisible() || !widget->isEnabled()) continue;
            const auto* label = qobject_cast<const QLabel*>(widget);
            if (label != nullptr && label->buddy() == nullptr) continue;
            note(widget->property("text").toString());
        }
        for (const auto& [key, words] : meanings) {
            INFO(screen.name << ", " << key.toStdString() << ": "
                             << words.join(QStringLiteral(" | ")).toStdString());
            CHECK(words.size() == 1);
        }
    }
}
