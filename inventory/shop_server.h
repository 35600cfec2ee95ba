// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Makes a database (or a schema of one) ready for a shop: the tables, where there are none yet, brings those
/// of an older version up to date, and gives the roles of the server what is theirs. Done as a whole or not
/// at all, and may be done again. Returns what was done, a sentence each.
///
/// Roles (made where they are missing, without a login of their own; whoever looks after the server gives
/// them to users: GRANT shimledger_bench TO anna):
///   shimledger_reader  looks at everything
///   shimledger_bench   books entries and changes master data; neither changes nor deletes a movement
///   shimledger_owner   owns the tables, and brings them up to date
///
/// Throws InputError where the address is none, or this user may not do that.
std::vector<std::string> prepareServer(const std::filesystem::path& address);

} // namespace shimledger::inventory
