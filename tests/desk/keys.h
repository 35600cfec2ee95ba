// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QApplication>
#include <QTest>

#include <catch2/catch.hpp>

namespace shimledger::desk::testing {

/// Presses a key where the focus is, which must be somewhere.
inline void press(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
    REQUIRE(QApplication::focusWidget() != nullptr);
    QTest::keyClick(QApplication::focusWidget(), key, modifiers);
}

/// Presses a key where the focus is, or in the window itself while nothing has the focus.
inline void press(QWidget& window, Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
    QWidget* focus = QApplication::focusWidget();
    QTest::keyClick(focus != nullptr ? focus : &window, key, modifiers);
}

} // namespace shimledger::desk::testing
