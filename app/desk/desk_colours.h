// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QColor>
#include <QPalette>

namespace shimledger::desk {

/// Colours that mean something, made for the palette at hand, light or dark. Each stands out from the base
/// colour by at least 4.5 : 1 (WCAG 2.1 AA for text), and nothing is told by colour alone.
struct DeskColours {
    QColor target;
    QColor substitute;
    QColor good;
    QColor warning;
    QColor bad;
    QColor quiet; ///< secondary text

    [[nodiscard]] static DeskColours of(const QPalette& palette);
};

/// True where text is lighter than its ground.
[[nodiscard]] bool isDark(const QPalette& palette);

/// Contrast ratio of two opaque colours after WCAG 2.1, 1 to 21.
[[nodiscard]] double contrastRatio(const QColor& a, const QColor& b);

/// `part` (0 to 1) of `colour` laid over `ground`.
[[nodiscard]] QColor blended(const QColor& colour, const QColor& ground, double part);

} // namespace shimledger::desk
