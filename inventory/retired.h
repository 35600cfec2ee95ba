// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// Whether a list has what the shop has retired: parts, bins, suppliers, offers, models. What is retired is
/// kept for what refers to it; nothing new comes into it.
enum class Retired { leftOut, included };

} // namespace shimledger::inventory
