// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/typed_length.h"
#endif

#include <QString>

namespace shimledger::desk {

using services::SizeUnit;

/// What services::typedLength() makes of a typed length. Throws InputError with a sentence fit to show.
[[nodiscard]] services::TypedLength readTyped(const QString& text, SizeUnit bare);
[[nodiscard]] Length readLength(const QString& text, SizeUnit bare);

/// What reads back as exactly this length where `bare` is the unit of numbers without one.
[[nodiscard]] QString lengthText(Length length, SizeUnit bare, int decimals = 1);

/// What is said beside a field into which sizes are typed: "mm; inches as 0.006 in".
[[nodiscard]] QString typingHelp(SizeUnit bare);

/// "0.152 mm"
[[nodiscard]] QString millimetreText(Length length, int decimals = 2);

} // namespace shimledger::desk
