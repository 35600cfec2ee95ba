// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QIcon>
#include <QPalette>

namespace shimledger::desk {

/// A small mark beside a word, told apart by its shape as well as by its colour.
enum class StateMark {
    none,
    good,    ///< a tick
    held,    ///< a filled square: reserved
    done,    ///< a filled circle: pulled
    missing, ///< a triangle with a stroke: short
    low,     ///< a triangle that points down: soon to be bought
    unknown  ///< an open circle
};

[[nodiscard]] QIcon stateMarkIcon(StateMark mark, const QPalette& palette);

} // namespace shimledger::desk
