// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/wrapping_layout.h"

#include <QPushButton>
#include <QTest>
#include <QVBoxLayout>

#include <algorithm>

#include <catch2/catch.hpp>

using namespace shimledger::desk;

namespace {

/// A row of five buttons above one that takes the rest.
struct Column {
    Column() {
        auto* row = new QWidget;
        auto* wrapping = new WrappingLayout(4, row);
        for (int i = 0; i < 5; ++i) {
            buttons << new QPushButton(QStringLiteral("Button %1").arg(i));
            wrapping->addWidget(buttons.back());
        }
        below->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
        auto* layout = new QVBoxLayout(&widget);
        layout->addWidget(row);
        layout->addWidget(below, 1);
    }
    void show(int width) {
        widget.resize(width, 400);
        widget.show();
        QTest::qWait(20); // what a new height asks for comes with the next turn of the event loop
    }

    QWidget widget;
    QList<QPushButton*> buttons;
    QPushButton* below = new QPushButton;
};

} // namespace

TEST_CASE("A row of buttons stays in one line where it fits, and goes on below where it does not") {
    Column column;
    column.show(1000);
    for (const QPushButton* button : column.buttons) CHECK(button->y() == column.buttons.front()->y());
    const int one_line = column.buttons.front()->parentWidget()->height();

    column.show(2 * column.buttons.front()->width() + 40);
    CHECK(column.buttons[1]->y() == column.buttons[0]->y());
    CHECK(column.buttons[2]->y() > column.buttons[0]->y());
    CHECK(column.buttons[4]->y() > column.buttons[2]->y());
    CHECK(column.buttons.front()->parentWidget()->height() > 2 * one_line);
    for (const QPushButton* button : column.buttons) {
        const QRect place(button->mapTo(&column.widget, QPoint()), button->size());
        CHECK(column.widget.rect().contains(place));
        CHECK_FALSE(place.intersects(column.below->geometry())); // nothing lies over what comes next
    }
}

TEST_CASE("A row of buttons can be made as narrow as its widest button, and no narrower") {
    const Column column;
    int widest = 0;
    for (const QPushButton* button : column.buttons)
        widest = std::max(widest, button->minimumSizeHint().width());
    CHECK(column.buttons.front()->parentWidget()->minimumSizeHint().width() == widest);
}
