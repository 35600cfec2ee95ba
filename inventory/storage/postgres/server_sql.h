// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/prepared_statement.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

// The few things in which PostgreSQL's SQL differs from the one that inventory writes. All else is written so
// that both databases take it as it is.

/// ?1 becomes $1::bigint or $1::text, by the kinds of the values (the first is of ?1).
[[nodiscard]] std::string queryForServer(std::string_view sql,
                                         std::span<const PreparedStatement::Kind> kinds);

/// A statement that defines something: types, collation (both databases order texts by their bytes), row
/// numbers that go on from the greatest, triggers that refuse. May become several statements, or none where
/// the server needs nothing of the kind.
[[nodiscard]] std::vector<std::string> definitionForServer(std::string_view statement);

} // namespace shimledger::inventory
