// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFont>

namespace shimledger::desk {

/// Type for the bench, where one reads from an arm's length: the window's type times a factor. Where the
/// window's own type was made large in the settings, the factor gives way, so that a stack still fits one
/// look; never smaller than the window's type.
[[nodiscard]] QFont benchFont(double factor, bool bold = false);

} // namespace shimledger::desk
