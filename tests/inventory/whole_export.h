// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support.h"

#include "inventory/csv_export.h"

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Everything of the shop as CSV, file after file in the order of their names.
inline std::string wholeExport(ShopFile& shop, const std::filesystem::path& folder) {
    exportShopFolder(shop, folder);
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    std::string all;
    for (const auto& file : files) all += file.filename().string() + "\n" + readBytes(file);
    return all;
}

} // namespace shimledger::inventory
