// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <string>
#include <vector>

namespace shimledger::command {

/// Each throws InputError when the shop file has nothing of that name: the sentence names it and what is
/// near it. An empty name passes: whether it may be left out is the verb's matter.
void mustBeJob(inventory::ShopFile& shop, const std::string& code);
void mustBePart(inventory::ShopFile& shop, const std::string& code);
void mustBeCabinet(inventory::ShopFile& shop, const std::string& name);
void mustBeSupplier(inventory::ShopFile& shop, const std::string& name);
void mustBeOrder(inventory::ShopFile& shop, const std::string& code);
void mustBeModel(inventory::ShopFile& shop, const std::string& code,
                 const char* otherwise = "--kind fork or --kind shock makes it known");
void mustBeRecipe(inventory::ShopFile& shop, const std::string& name);
/// A class of the catalogue's parts, or one that has settings already.
void mustBePartClass(inventory::ShopFile& shop, const std::string& name);
/// As scanned or typed (services/scan.h).
void mustBeBin(inventory::ShopFile& shop, const std::string& typed);

/// The codes of the bins that are named, as scanned or typed; throws as mustBeBin.
[[nodiscard]] std::vector<std::string> binCodes(inventory::ShopFile& shop,
                                                const std::vector<std::string>& typed);

/// The same for a list that is no shop's: throws InputError for a name that is not among `known`.
void mustBeAmong(const char* noun, const std::string& name, const std::vector<std::string>& known,
                 const std::string& otherwise);

} // namespace shimledger::command
