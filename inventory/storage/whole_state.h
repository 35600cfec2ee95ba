// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <memory>
#include <optional>
#include <string>

namespace shimledger::inventory {

/// Rows that are looked up one by one: a file answers each in microseconds, a server after a way there and
/// back. So of a server, within one ReadTransaction, the first few are asked for, and then `read` reads all
/// of them at one go. Null where the caller asks for its row itself. `name` tells one kind of rows from
/// another; what is returned is of the state that the transaction reads, and goes with it.
template <class All, class Read>
[[nodiscard]] const All* wholeState(ShopConnection& connection, const std::string& name, const Read& read) {
    if (!connection.reading_state || asFile(connection) != nullptr) return nullptr;
    struct Kept {
        int asked = 0;
        std::optional<All> all;
    };
    constexpr int one_by_one = 3;
    auto& place = connection.of_state[name];
    if (!place) place = std::make_shared<Kept>();
    auto& kept = *std::static_pointer_cast<Kept>(place);
    if (!kept.all && ++kept.asked > one_by_one) kept.all.emplace(read());
    return kept.all ? &*kept.all : nullptr;
}

} // namespace shimledger::inventory
