// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_colours.h"

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

double linear(double channel) {
    return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}

double luminance(const QColor& colour) {
    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) +
           0.0722 * linear(colour.blueF());
}

} // namespace

bool isDark(const QPalette& palette) {
    return luminance(palette.color(QPalette::Base)) < luminance(palette.color(QPalette::Text));
}

double contrastRatio(const QColor& a, const QColor& b) {
    const auto [low, high] = std::minmax({luminance(a), luminance(b)});
    return (high + 0.05) / (low + 0.05);
}

QColor blended(const QColor& colour, const QColor& ground, double part) {
    const auto mix = [part](double over, double under) { return part * over + (1 - part) * under; };
    return QColor::fromRgbF(static_cast<float>(mix(colour.redF(), ground.redF())),
                            static_cast<float>(mix(colour.greenF(), ground.greenF())),
                            static_cast<float>(mix(colour.blueF(), ground.blueF())));
}

DeskColours DeskColours::of(const QPalette& palette) {
    const QColor quiet = blended(palette.color(QPalette::Text), palette.color(QPalette::Base), 0.72);
    if (isDark(palette)) {
        return {QColor(0x86, 0xb9, 0xf5), QColor(0xf2, 0xab, 0x62), QColor(0x7f, 0xd0, 0x94),
                QColor(0xe8, 0xc2, 0x5a), QColor(0xff, 0x9b, 0x92), quiet};
    }
    return {QColor(0x1b, 0x5a, 0x9e), QColor(0x9a, 0x48, 0x00), QColor(0x1c, 0x6b, 0x35),
            QColor(0x7a, 0x5a, 0x00), QColor(0xa8, 0x1e, 0x1e), quiet};
}

} // namespace shimledger::desk
