// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_address.h"

#include "inventory/storage/postgres/server_address.h"
#include "planner/units/input_error.h"

#include <string>
#include <system_error>

namespace shimledger::inventory {

bool isServerAddress(const std::filesystem::path& shop) {
    for (const std::string_view scheme : address_schemes) {
        if (shop.native().compare(0, scheme.size(), scheme) == 0) return true;
    }
    return false;
}

void checkServer(const std::filesystem::path& shop) {
    // What was typed is not said again: a secret may be in it, wherever in a text that is no address.
    if (!isServerAddress(shop))
        throw InputError("this is no address of a server: write postgresql://host/shop");
    checkServerAddress(shop.string());
}

std::string shownPlace(const std::filesystem::path& shop) {
    return isServerAddress(shop) ? withoutSecret(shop.string()) : shop.string();
}

bool nothingIsAt(const std::filesystem::path& shop) {
    if (isServerAddress(shop)) return false;
    std::error_code unreadable; // of what cannot be looked at, opening says why
    return !std::filesystem::exists(shop, unreadable) && !unreadable;
}

void refuseServer(const std::filesystem::path& shop, std::string_view sentence) {
    if (!isServerAddress(shop)) return;
    throw InputError(withoutSecret(shop.string()) + " is a server, " + std::string(sentence));
}

} // namespace shimledger::inventory
