// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_session.h"

#include "inventory/storage/postgres/server_address.h"
#include "inventory/storage/postgres/server_fault.h"

#include <string>

namespace shimledger::inventory {

namespace {

pqxx::connection connected(const std::filesystem::path& address) {
    const std::string text = connectionText(address.string());
    try {
        return pqxx::connection(text);
    } catch (const std::exception& error) {
        throwNoConnection(address, error);
    }
}

} // namespace

ServerSession::ServerSession(const std::filesystem::path& address) : database(connected(address)) {
    // It would connect again by itself in the middle of a transaction, and the rest of that would be on its
    // own. Marked as going away because later versions do not do this any more.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wdeprecated-declarations"
    database.inhibit_reactivation(true);
#pragma GCC diagnostic pop
}

} // namespace shimledger::inventory
