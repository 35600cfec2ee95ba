// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/paper_size.h"
#include "inventory/calendar.h"

#include <filesystem>
#include <functional>
#include <string>

namespace shimledger::services {

struct DemoOptions {
    std::filesystem::path seed_catalog; ///< empty: seedCatalogFolder()
    inventory::WallClock clock = inventory::systemClock();
    PaperSize paper = PaperSize::a4;
    std::function<void(const std::string& line)> tell; ///< the story, line by line; may be empty
    double search_seconds = 10;                        ///< for each job
};

struct DemoShop {
    std::filesystem::path shop_file; ///< shop.db
    std::filesystem::path untouched; ///< untouched.db: the same before the main job; empty after makeDemoShop
    std::filesystem::path pick_list; ///< pick-list.xlsx; empty after makeDemoShop
    std::filesystem::path reorder_sheet; ///< reorder.xlsx; empty after makeDemoShop
};

/// Where the demo shop's CSV files are: beside an installed program, or else in the source tree that it was
/// built from. Throws InputError naming the places where they were looked for.
[[nodiscard]] std::filesystem::path seedCatalogFolder();

/// Makes DIR/shop.db from the CSV files: ten open jobs, nothing planned yet. Throws InputError when `folder`
/// exists and is not empty.
DemoShop makeDemoShop(const std::filesystem::path& folder, const DemoOptions& options = {});

/// The same, and then the main job: every job is checked, every short one planned, the closest stack for
/// JOB-1002 accepted and reserved, its pick list and the reorder sheet written. A copy from before it is left
/// beside, to go the whole way oneself.
DemoShop runDemo(const std::filesystem::path& folder, const DemoOptions& options = {});

} // namespace shimledger::services
