// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <pqxx/connection>

#include <filesystem>
#include <memory>

namespace shimledger::inventory {

/// One connection to a server as libpqxx has it, which does not connect again by itself. Throws ShopFileFault
/// where nobody answers or this user is not let in, InputError where the address is none.
struct ServerSession {
    explicit ServerSession(const std::filesystem::path& address);

    pqxx::connection database;
};

} // namespace shimledger::inventory
