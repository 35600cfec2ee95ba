// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "tests/faults/shop_work.h"

#include <filesystem>

namespace shimledger::faults {

using namespace shimledger::inventory;

/// A shop file in which forty entries were tried, closed.
inline std::filesystem::path workedShop(const TemporaryFolder& folder) {
    ShopFile shop = ShopFile::create(folder / "start.db", fixedClock(test_time));
    fillSmallShop(shop);
    ShopWork work(shop, 1);
    for (int i = 0; i < 40; ++i) work.step();
    return folder / "start.db";
}

/// Without what an earlier run left beside it.
inline void freshCopy(const std::filesystem::path& from, const std::filesystem::path& to) {
    for (const char* suffix : {"", "-wal", "-shm"}) std::filesystem::remove(to.string() + suffix);
    std::filesystem::copy_file(from, to);
}

} // namespace shimledger::faults
