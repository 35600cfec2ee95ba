// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// An amount of money in hundredths of its currency (12.50 -> 1250): whole, never rounded.
/// Range: 0 to 10 000 000.00.
using Hundredths = std::int64_t;

/// Reads "12", "12.5" or "12.50"; throws InputError on a sign, a third decimal or anything else.
[[nodiscard]] Hundredths parseMoney(std::string_view text);

/// 1250 -> "12.50", in every locale.
[[nodiscard]] std::string moneyText(Hundredths amount);

/// Throws InputError unless the text is three capital letters, as ISO 4217 writes currencies ("EUR").
void checkCurrency(std::string_view currency);

} // namespace shimledger::inventory
