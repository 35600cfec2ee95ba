// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/kit_demand.h"
#include "app/services/order_solver.h"
#include "app/services/reorder.h"
#include "inventory/money.h"
#include "inventory/shop_file.h"
#include "planner/kit/kit_plan.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// What a manager says about the kit that is looked for.
struct KitOptions {
    std::optional<inventory::Hundredths> budget; ///< none: what reorder points for 95 % would cost
    std::optional<int> drawers;
    double within = 0.05;
    std::optional<KitSeason> season;              ///< none: half a year from today
    std::vector<planner::WantedStack> recipes;    ///< beside what the shop's jobs ask for
    bool kept_recipes = true;                     ///< those that the shop keeps count too
    bool recipes_alone = false;                   ///< the shop's jobs are left out
    bool empty_drawers = false;                   ///< as if nothing lay in the drawers yet
    bool keep_ods = false;                        ///< every OD of a wanted stack is kept
    std::vector<planner::DiscSize> keep, without; ///< have a drawer, or none, whatever comes of it
    std::uint64_t seed = 1;
    double seconds = 600;
    bool curve = true;
    bool orders = true; ///< ask the order plan what buying it costs
    OrderSolver solver{};
    planner::WayMemory* remembered = nullptr; ///< ways of earlier runs (way_files.h); changes no plan
    std::function<bool(const std::string& doing)> progress; ///< false ends it
};

/// "24 x 6 x 0.10": OD, bore and thickness in mm; throws InputError.
[[nodiscard]] planner::DiscSize parseDiscSize(const std::string& text);
[[nodiscard]] std::string discSizeText(const planner::DiscSize& size); ///< "24.0 x 6.0 x 0.10"

/// One size of the kit, as the shop has it.
struct KitSize {
    planner::DiscSize size;
    std::string part;                          ///< code; of several of that size the one that is bought
    std::string supplier;                      ///< of the packs; "": nobody sells it
    std::vector<std::string> bins;             ///< where it lies
    std::optional<std::int64_t> reorder_point; ///< of the part, when the plan was made
    std::int64_t on_hand = 0, keep = 0, packs_to_buy = 0, pack_size = 1;
    inventory::Hundredths pack_price = 0;
    double jobs = 0;                 ///< of the season
    double lost_without = 0;         ///< share of jobs
    std::vector<std::string> stacks; ///< wanted stacks that take discs of it
};

struct KitResult {
    planner::KitPlan plan;
    KitSeason season;
    double window_days = 0;
    int history_jobs = 0, kept_recipes = 0, wanted = 0, windows_judged = 0;
    double unseen_share = 0;
    std::string currency;
    std::vector<KitSize> lines;  ///< sizes with a drawer, by bore, OD and thickness
    std::vector<KitSize> dead;   ///< lie there, and no job of the season needs them
    std::vector<KitSize> spared; ///< asked for by wanted stacks, and others do instead
    ReorderPlan orders;          ///< what buying the packs comes to, with freight
    std::vector<std::string> notes;
    inventory::UtcTime made;
};

/// Which sizes to keep, and how many packs of each to buy now. Discs that lie there and are promised to no
/// job count by their nominal sizes, used ones as well. What a kept recipe says of a stack stands in the
/// place of what jobs asked for of the same. Books nothing. Throws InputError where there is
/// neither history nor recipe, where no shim has a price, and for figures that make no sense.
[[nodiscard]] KitResult kitPlan(inventory::ShopFile& shop, const KitOptions& options);

/// What one size is for, what is lost without it and where it lies. `keep`: it has a drawer in the plan;
/// `dead`: it lies there and nothing needs it; else others do instead.
[[nodiscard]] std::string kitSizeSentence(const KitResult& kit, const KitSize& size, bool keep, bool dead);

/// The whole of it in sentences, the answer first.
[[nodiscard]] std::vector<std::string> kitSentences(const KitResult& kit);

} // namespace shimledger::services
