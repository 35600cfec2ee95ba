// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/desk_theme.h"

#include <QApplication>
#include <QPushButton>
#include <QSet>
#include <QSignalSpy>

#include <memory>

#include <catch2/catch.hpp>

using namespace shimledger::desk;

TEST_CASE("Every action is declared once, in order, with text, help and a key of its own") {
    QSet<QString> keys;
    int expected = 0;
    for (const ActionEntry& entry : allActions()) {
        INFO(entry.text);
        CHECK(static_cast<int>(entry.id) == expected++);
        CHECK(QString::fromLatin1(entry.help).endsWith(QLatin1Char('.')));
        const QKeySequence key = QKeySequence::fromString(QString::fromLatin1(entry.keys));
        CHECK_FALSE(key.isEmpty());
        CHECK_FALSE(keys.contains(key.toString()));
        keys.insert(key.toString());
    }
    CHECK(expected == static_cast<int>(ActionId::count));
}

TEST_CASE("A button follows its action and names the key") {
    const DeskActions actions;
    QAction* action = actions[ActionId::find_substitutes];
    action->setEnabled(false);
    const std::unique_ptr<QPushButton> button(actions.button(ActionId::find_substitutes));
    CHECK_FALSE(button->isEnabled());
    action->setEnabled(true);
    CHECK(button->isEnabled());
    CHECK(button->toolTip().contains(QStringLiteral("F5")));
    QSignalSpy triggered(action, &QAction::triggered);
    button->click();
    CHECK(triggered.size() == 1);
}

TEST_CASE("Colours that mean something are readable on light and on dark ground") {
    const QPalette light = lightPalette();
    const QPalette dark = darkPalette();
    CHECK_FALSE(isDark(light));
    CHECK(isDark(dark));
    constexpr double wcag_aa = 4.5;
    const QPalette before = QApplication::palette();
    DeskTheme().apply({}); // as the system has it
    const QPalette system = QApplication::palette();
    QApplication::setPalette(before);
    for (const QPalette& palette : {light, dark, system}) {
        const DeskColours colours = DeskColours::of(palette);
        const QColor base = palette.color(QPalette::Base);
        const std::pair<QPalette::ColorRole, QPalette::ColorRole> pairs[] = {
            {QPalette::Text, QPalette::Base},
            {QPalette::Text, QPalette::AlternateBase},
            {QPalette::WindowText, QPalette::Window},
            {QPalette::ButtonText, QPalette::Button},
            {QPalette::ToolTipText, QPalette::ToolTipBase},
            {QPalette::HighlightedText, QPalette::Highlight},
            {QPalette::Link, QPalette::Window}};
        for (const auto& [ink, ground] : pairs) {
            INFO(static_cast<int>(ink) << " on " << static_cast<int>(ground));
            CHECK(contrastRatio(palette.color(ink), palette.color(ground)) >= wcag_aa);
        }
        for (const QColor& colour : {colours.target, colours.substitute, colours.good, colours.warning,
                                     colours.bad, colours.quiet}) {
            CHECK(contrastRatio(colour, base) >= wcag_aa);
            CHECK(contrastRatio(colour, palette.color(QPalette::AlternateBase)) >= wcag_aa);
            CHECK(contrastRatio(colour, palette.color(QPalette::Window)) >= wcag_aa);
        }
    }
    CHECK(contrastRatio(Qt::black, Qt::white) == Approx(21.0));
}
