// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_fields.h"
#include "inventory/storage/query.h"

#include <optional>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// The column of the shop file that a field is kept in.
[[nodiscard]] std::string columnOfField(std::string_view field, FieldContent content);

/// What a column says, as a change would write it; "" where nothing stands there.
[[nodiscard]] std::string textOfColumn(const Query& row, int column, FieldContent content);

} // namespace shimledger::inventory
