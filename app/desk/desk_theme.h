// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFont>
#include <QPalette>

namespace shimledger::desk {

struct DeskChoices;

[[nodiscard]] QPalette lightPalette();
[[nodiscard]] QPalette darkPalette();

/// Lays theme and text size of the settings over what the system gave at the start, and our style over the
/// system's.
class DeskTheme {
public:
    DeskTheme(); ///< remembers the application's palette and font; make it once, before any window

    void apply(const DeskChoices& choices) const;

private:
    QPalette m_system_palette;
    QFont m_system_font;
};

} // namespace shimledger::desk
