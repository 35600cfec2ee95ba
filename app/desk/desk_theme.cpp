// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_theme.h"

#include "app/desk/app_settings.h"
#include "app/desk/desk_colours.h"
#include "app/desk/desk_style.h"

#include <QApplication>

namespace shimledger::desk {

namespace {

struct Ground {
    QColor window;
    QColor base;
    QColor alternate;
    QColor button;
    QColor text;
    QColor highlight;
    QColor highlighted_text;
    QColor tool_tip;
    QColor link;
};

QPalette paletteOf(const Ground& ground) {
    QPalette palette;
    palette.setColor(QPalette::Window, ground.window);
    palette.setColor(QPalette::Base, ground.base);
    palette.setColor(QPalette::AlternateBase, ground.alternate);
    palette.setColor(QPalette::Button, ground.button);
    palette.setColor(QPalette::ToolTipBase, ground.tool_tip);
    for (const QPalette::ColorRole role :
         {QPalette::WindowText, QPalette::Text, QPalette::ButtonText, QPalette::ToolTipText}) {
        palette.setColor(role, ground.text);
        QColor faint = ground.text;
        faint.setAlphaF(0.55F);
        palette.setColor(QPalette::Disabled, role, faint);
    }
    palette.setColor(QPalette::Highlight, ground.highlight);
    palette.setColor(QPalette::HighlightedText, ground.highlighted_text);
    palette.setColor(QPalette::Link, ground.link);
    QColor hint = ground.text;
    hint.setAlphaF(0.72F);
    palette.setColor(QPalette::PlaceholderText, hint);
    palette.setColor(QPalette::Light, ground.button.lighter(125));
    palette.setColor(QPalette::Mid, ground.button.darker(125));
    palette.setColor(QPalette::Dark, ground.button.darker(160));
    return palette;
}

} // namespace

QPalette lightPalette() {
    return paletteOf({QColor(0xef, 0xef, 0xed), QColor(0xff, 0xff, 0xff), QColor(0xf6, 0xf6, 0xf4),
                      QColor(0xe8, 0xe8, 0xe5), QColor(0x1a, 0x1a, 0x1a), QColor(0x1f, 0x5f, 0xa3),
                      QColor(0xff, 0xff, 0xff), QColor(0xff, 0xfb, 0xe6), QColor(0x1b, 0x5a, 0x9e)});
}

QPalette darkPalette() {
    return paletteOf({QColor(0x2d, 0x2e, 0x30), QColor(0x23, 0x24, 0x26), QColor(0x2a, 0x2b, 0x2d),
                      QColor(0x3a, 0x3b, 0x3d), QColor(0xe6, 0xe6, 0xe6), QColor(0x2f, 0x65, 0xa0),
                      QColor(0xff, 0xff, 0xff), QColor(0x3a, 0x3b, 0x3d), QColor(0x86, 0xb9, 0xf5)});
}

namespace {

/// Some systems' selection cannot be read well enough; then ours is used.
QPalette readable(QPalette palette) {
    constexpr double wcag_aa = 4.5;
    const QColor ink = palette.color(QPalette::HighlightedText);
    if (contrastRatio(ink, palette.color(QPalette::Highlight)) < wcag_aa) {
        const QPalette ours = isDark(palette) ? darkPalette() : lightPalette();
        palette.setColor(QPalette::Highlight, ours.color(QPalette::Highlight));
        palette.setColor(QPalette::HighlightedText, ours.color(QPalette::HighlightedText));
    }
    return palette;
}

} // namespace

DeskTheme::DeskTheme()
    : m_system_palette(readable(QApplication::palette())), m_system_font(QApplication::font()) {
    DeskStyle::install();
}

void DeskTheme::apply(const DeskChoices& choices) const {
    QApplication::setPalette(choices.theme == Theme::light  ? lightPalette()
                             : choices.theme == Theme::dark ? darkPalette()
                                                            : m_system_palette);
    QFont font = m_system_font;
    font.setPointSizeF(m_system_font.pointSizeF() * choices.text_size_percent / 100.0);
    QApplication::setFont(font);
}

} // namespace shimledger::desk
