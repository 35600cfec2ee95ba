// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"
#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace shimledger::inventory {

/// Codes to row numbers. The find functions say "none" with nullopt; the others throw a FieldError for
/// `column` ("there is no part 'X'").
[[nodiscard]] std::optional<std::int64_t> findPartId(ShopConnection& connection, std::string_view code);
[[nodiscard]] std::optional<std::int64_t> findBinId(ShopConnection& connection, std::string_view code);
[[nodiscard]] std::optional<std::int64_t> findSupplierId(ShopConnection& connection, std::string_view name);
[[nodiscard]] std::optional<std::int64_t> findModelId(ShopConnection& connection, std::string_view code);
[[nodiscard]] std::optional<std::int64_t> findRecipeId(ShopConnection& connection, std::string_view name);
[[nodiscard]] std::optional<std::int64_t> findJobId(ShopConnection& connection, std::string_view code);

[[nodiscard]] std::int64_t partId(ShopConnection& connection, std::string_view code,
                                  std::string_view column = "part");
[[nodiscard]] std::int64_t binId(ShopConnection& connection, std::string_view code,
                                 std::string_view column = "bin");
[[nodiscard]] std::int64_t supplierId(ShopConnection& connection, std::string_view name);
[[nodiscard]] std::int64_t modelId(ShopConnection& connection, std::string_view code);
[[nodiscard]] std::int64_t recipeId(ShopConnection& connection, std::string_view name);
[[nodiscard]] std::int64_t jobId(ShopConnection& connection, std::string_view code);

/// Conditions as the database holds them: 0 = new, 1 = used.
[[nodiscard]] constexpr int conditionNumber(Condition condition) {
    return condition == Condition::fresh ? 0 : 1;
}
[[nodiscard]] constexpr Condition conditionOf(std::int64_t number) {
    return number == 0 ? Condition::fresh : Condition::used;
}

} // namespace shimledger::inventory
