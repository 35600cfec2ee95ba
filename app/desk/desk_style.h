// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QColor>
#include <QIcon>
#include <QPalette>
#include <QProxyStyle>

namespace shimledger::desk {

/// The system's style with what ours must show: where the keyboard is, by a ring of two pixels, room between
/// the columns of tables, and that a narrow menu bar goes on.
class DeskStyle : public QProxyStyle {
    Q_OBJECT

public:
    DeskStyle() = default;

    /// Makes it the application's style; a second call changes nothing.
    static void install();

    void drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                       const QWidget* widget) const override;
    void drawControl(ControlElement element, const QStyleOption* option, QPainter* painter,
                     const QWidget* widget) const override;
    void drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter,
                            const QWidget* widget) const override;
    [[nodiscard]] int pixelMetric(PixelMetric metric, const QStyleOption* option,
                                  const QWidget* widget) const override;
    [[nodiscard]] QSize sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                                         const QWidget* widget) const override;
    /// "More of the menu" in the colour of the words: the style's own picture is dark on any ground, and the
    /// first picture that a program reads from a file costs its start a millisecond.
    [[nodiscard]] QIcon standardIcon(StandardPixmap which, const QStyleOption* option,
                                     const QWidget* widget) const override;
};

/// Of the ring: at least 3 : 1 against window, field, button and table grounds (WCAG 2.1, 1.4.11).
[[nodiscard]] QColor focusColour(const QPalette& palette);

} // namespace shimledger::desk
