// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace shimledger::desk {

/// "1 leg" or "2 legs": `one` as it is, or `many` with the number in place of %1.
[[nodiscard]] inline QString counted(qint64 number, const QString& one, const QString& many) {
    return number == 1 ? one : many.arg(number);
}

} // namespace shimledger::desk
