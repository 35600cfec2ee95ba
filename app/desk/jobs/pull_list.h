// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

class QListWidget;

namespace shimledger::desk {

/// A list of pulls: read from top to bottom, not picked from.
void dressPulls(QListWidget& list);

} // namespace shimledger::desk
