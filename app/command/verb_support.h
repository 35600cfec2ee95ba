// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"
#include "inventory/shop_file.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/scatter_band.h"
#include "planner/stack/stack_json.h"
#include "planner/stack/stack_spec.h"

#include <string>
#include <string_view>

namespace shimledger::command {

/// Opens a shop for work: makes the day's backup, and says on the error stream what an owner should know (a
/// network drive, a backup that could not be made, a file that may only be read). Throws as ShopFile::open.
[[nodiscard]] inventory::ShopFile openShop(const std::string& path, Streams& streams);
/// The whole file; throws InputError where it cannot be read or is larger than 64 MB.
[[nodiscard]] std::string readFile(const std::string& path);
/// STACK.json; errors name the file.
[[nodiscard]] planner::StackFile readStackFile(const std::string& path);
[[nodiscard]] planner::StackSpec readStack(const std::string& path);
/// A length in millimetres as it was typed behind an option; throws InputError that names the option.
[[nodiscard]] Length millimetresOf(const char* option, std::string_view text);
/// "large" or "small"; throws InputError otherwise.
[[nodiscard]] planner::Regime parseRegime(std::string_view text);
[[nodiscard]] planner::ToleranceClass parseTolerance(std::string_view text);
/// "row 2 (1 x 14.0 x 0.10)", rows counted from 1.
[[nodiscard]] std::string namedRow(const planner::StackSpec& stack, int row);

} // namespace shimledger::command
