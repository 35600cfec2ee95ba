// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/bench_type.h"

#include <QApplication>
#include <QFontInfo>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr double usual_pixels = 13; ///< what the window's type is on most systems, at most

} // namespace

QFont benchFont(double factor, bool bold) {
    QFont font = QApplication::font();
    const double own = QFontInfo(font).pixelSize();
    font.setPixelSize(static_cast<int>(std::max(own, factor * std::min(own, usual_pixels))));
    font.setBold(bold);
    return font;
}

} // namespace shimledger::desk
