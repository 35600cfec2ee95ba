// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// What an address begins with, see shop_address.h.
inline constexpr std::array<std::string_view, 2> address_schemes{"postgresql://", "postgres://"};

/// The address as sentences may name it: without user and parameters, among which a secret may be.
[[nodiscard]] std::string withoutSecret(std::string_view address);

/// Throws InputError where the address holds a password (this program neither keeps nor passes on any), names
/// no database, or has characters that belong to no address.
void checkServerAddress(const std::string& address);

/// What is handed to libpq: the address, and how long to wait for a server that does not answer.
[[nodiscard]] std::string connectionText(const std::string& address);

} // namespace shimledger::inventory
