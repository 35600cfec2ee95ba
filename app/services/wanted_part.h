// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"
#include "inventory/part.h"

#include <optional>
#include <string_view>

namespace shimledger::services {

/// What somebody typed who wants a part that the shop does not have yet: "23.9 x 0.148", "oil seal 48 59 11",
/// a code, a word. Sizes and kind go where they belong, a single word that is no size is the code, several
/// are the description. Nothing is refused: it is a form's first filling, which a person looks at.
[[nodiscard]] inventory::Part wantedPart(std::string_view typed, inventory::PartKind usual,
                                         SizeUnit bare = SizeUnit::millimetres,
                                         std::optional<Length> shim_bore = std::nullopt);

} // namespace shimledger::services
