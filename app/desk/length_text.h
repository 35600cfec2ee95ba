// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <QString>

namespace shimledger::desk {

/// Reads a typed length: millimetres ("0.15", "0,15", "24 mm") or inches ("0.006 in", "0.006\""). Inches are
/// rounded to the micrometre. Throws InputError with a sentence fit to show.
[[nodiscard]] Length readLength(const QString& text);

/// Whether the text was given in inches, so that what was understood should be shown beside it.
[[nodiscard]] bool isInches(const QString& text);

/// "0.152 mm"
[[nodiscard]] QString millimetreText(Length length, int decimals = 2);

} // namespace shimledger::desk
