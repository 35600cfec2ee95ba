// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Makes a database (or a schema of one) ready for a shop: the tables, where there are none yet, brings those
/// of an older version up to date, and gives the roles of the server what is theirs. May be done again, and
/// ends what was broken off. Returns what was done, a sentence each.
///
/// An older shop is first copied into a shop file at `backup` (of its own, older schema), and brought up to
/// date while nobody else writes: all steps or none. A program of the older version that has it open is
/// told so when it writes next.
///
/// Roles (made where they are missing, without a login of their own; whoever looks after the server gives
/// them to users: GRANT shimledger_bench TO anna):
///   shimledger_reader  looks at everything
///   shimledger_bench   books entries and changes master data; neither changes nor deletes a movement
///   shimledger_owner   owns the tables, and brings them up to date
///
/// Throws InputError where the address is none, this user may not do that, or an older shop is there and
/// `backup` names no file.
std::vector<std::string> prepareServer(const std::filesystem::path& address,
                                       const std::filesystem::path& backup = {});

} // namespace shimledger::inventory
