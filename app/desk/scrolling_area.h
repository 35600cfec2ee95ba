// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

class QWidget;

namespace shimledger::desk {

/// The page inside an area that scrolls on a low screen, or with large text, before its parts lie over each
/// other. The area owns the page and takes no focus of its own.
[[nodiscard]] QWidget* scrollingArea(QWidget* page);

} // namespace shimledger::desk
