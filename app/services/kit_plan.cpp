// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kit_plan.h"

#include "app/services/kept_recipes.h"
#include "app/services/shim_offers.h"
#include "app/services/usable_offers.h"
#include "inventory/part_catalogue.h"
#include "inventory/reorder_class.h"
#include "inventory/stock_snapshot.h"
#include "inventory/supplier.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

/// Sizes of the wanted stacks' bores that are offered or lie there.
struct Shelf {
    std::vector<planner::DiscSize> sizes;
    std::vector<planner::KitStock> stock;
    std::vector<KitSize> lines; ///< the same sizes as the shop knows them
    std::string currency;
    double lead_days = 0; ///< the usual one of the offers chosen
};

double eachOf(std::int64_t price, std::int64_t pack) {
    return static_cast<double>(price) / static_cast<double>(std::max<std::int64_t>(1, pack));
}

Shelf readShelf(inventory::ShopFile& shop, const std::set<Length>& bores, const KitOptions& options) {
    std::map<planner::DiscSize, KitSize> lines;
    const ShimOffers known = shimOffers(shop);
    std::map<std::string, int> lead;
    for (const inventory::Supplier& supplier : inventory::SupplierList(shop).list())
        lead[supplier.name] = supplier.lead_time_days;
    for (std::size_t i = 0; i < known.packs.size(); ++i) {
        const planner::PackOffer& pack = known.packs[i];
        if (!bores.contains(pack.id) || pack.pack_price <= 0 || pack.pack_size <= 0) continue;
        const planner::DiscSize size{pack.od, pack.id, pack.thickness};
        KitSize& line = lines[size];
        line.size = size;
        const double each = eachOf(pack.pack_price, pack.pack_size),
                     now = eachOf(line.pack_price, line.pack_size);
        // The cheapest by the disc; of equals the smaller pack.
        if (line.pack_price > 0 && std::pair(each, pack.pack_size) >= std::pair(now, line.pack_size))
            continue;
        line.part = pack.part;
        line.supplier = known.offers[i].supplier;
        line.pack_size = pack.pack_size;
        line.pack_price = pack.pack_price;
    }
    if (lines.empty())
        throw InputError("no supplier offers a shim of the wanted stacks' bores at a price: add offers first "
                         "('supplier offer add')");
    Shelf shelf;
    std::vector<int> days;
    for (const auto& [size, line] : lines) days.push_back(lead[line.supplier]);
    std::nth_element(days.begin(), days.begin() + static_cast<std::ptrdiff_t>(days.size() / 2), days.end());
    shelf.lead_days = std::max(0, days[days.size() / 2]);
    const auto snapshot = inventory::stockSnapshot(shop, inventory::PartKind::shim);
    for (const inventory::StockLot& lot : snapshot.lots) {
        if (!lot.od || !lot.id || !lot.thickness || !bores.contains(*lot.id) || lot.part_retired) continue;
        const planner::DiscSize size{*lot.od, *lot.id, *lot.thickness};
        if (lot.available() <= 0) continue;
        KitSize& line = lines[size];
        line.size = size;
        if (line.part.empty()) line.part = lot.part;
        line.on_hand += lot.available();
        line.bins.push_back(lot.bin);
    }
    const inventory::PartCatalogue parts(shop);
    for (auto& [size, line] : lines) line.reorder_point = parts.get(line.part).reorder_point;
    const auto among = [](const std::vector<planner::DiscSize>& sizes, const planner::DiscSize& size) {
        return std::find(sizes.begin(), sizes.end(), size) != sizes.end();
    };
    for (const auto* locks : {&options.keep, &options.without}) {
        for (const planner::DiscSize& size : *locks) {
            if (!lines.contains(size))
                throw InputError("the size " + discSizeText(size) +
                                 " is neither offered nor in stock in a bore that is wanted");
        }
    }
    for (auto& [size, line] : lines) {
        planner::KitStock stock;
        stock.on_hand = options.empty_drawers ? 0 : line.on_hand;
        stock.pack_size = line.pack_size;
        stock.pack_price = line.pack_price;
        stock.kept = among(options.keep, size);
        stock.left_out = among(options.without, size);
        if (stock.kept && stock.left_out)
            throw InputError("the size " + discSizeText(size) + " cannot be both kept and left out");
        shelf.sizes.push_back(size);
        shelf.stock.push_back(stock);
        shelf.lines.push_back(line);
    }
    shelf.currency = known.currency;
    return shelf;
}

void addBores(const planner::StackSpec& stack, std::set<Length>& bores) {
    bores.insert(stack.valve().shim_id);
    for (const planner::DiscRow& row : stack.rows()) {
        if (row.ring_id) bores.insert(*row.ring_id);
    }
}

/// The recipes that the shop keeps; one that cannot be is noted.
std::vector<planner::WantedStack> keptRecipes(inventory::ShopFile& shop, std::vector<std::string>& notes) {
    std::vector<planner::WantedStack> kept;
    for (const inventory::Recipe& recipe : inventory::RecipeList(shop).list()) {
        try {
            kept.push_back(wantedOf(recipe));
        } catch (const InputError& error) {
            notes.push_back(std::string(error.what()) + ", and is not counted");
        }
    }
    return kept;
}

/// Jobs that ask for what a recipe tells are the recipe's: not counted twice.
void leaveToRecipes(std::vector<planner::WantedStack>& jobs, std::vector<planner::WantedStack>& kept,
                    std::vector<std::string>& notes) {
    int replaced = 0;
    for (planner::WantedStack& recipe : kept) {
        const auto same = std::find_if(jobs.begin(), jobs.end(), [&](const planner::WantedStack& one) {
            return one.legs == recipe.legs && one.stack == recipe.stack;
        });
        if (same == jobs.end()) continue;
        recipe.waiting = same->waiting;
        jobs.erase(same);
        ++replaced;
    }
    if (replaced > 0)
        notes.push_back(fmt::format("of {} {} the recipe says how often it comes, not the jobs", replaced,
                                    replaced == 1 ? "stack" : "stacks"));
}

std::string percent(double share) {
    return fmt::format("{:.1f} %", 100 * share);
}

} // namespace

planner::DiscSize parseDiscSize(const std::string& text) {
    std::vector<std::string> parts{""};
    for (const char c : text) {
        if (c == 'x' || c == 'X')
            parts.emplace_back();
        else
            parts.back() += c;
    }
    try {
        if (parts.size() == 3)
            return {Length::parseMillimetres(parts[0]), Length::parseMillimetres(parts[1]),
                    Length::parseMillimetres(parts[2])};
    } catch (const InputError&) {
        // told below
    }
    throw InputError("'" + text.substr(0, 40) +
                     "' is no size of a shim: write OD, bore and thickness in mm, such as 24x6x0.10");
}

std::string discSizeText(const planner::DiscSize& size) {
    return size.od.text() + " x " + size.id.text() + " x " + size.thickness.text(2);
}

KitResult kitPlan(inventory::ShopFile& shop, const KitOptions& options) {
    KitResult kit;
    planner::KitRequest request;
    shop.consistently([&] {
        kit.made = shop.now();
        constexpr int half_a_year = 182;
        kit.season =
            options.season.value_or(KitSeason{kit.made.date(), kit.made.date().plusDays(half_a_year - 1)});
        // Bores first, for the offers; the offers tell how long a window is, and that how jobs fall into
        // them.
        KitDemandBook book = kitDemandOf(shop, kit.season, 28);
        std::set<Length> bores;
        if (!options.recipes_alone) {
            for (const planner::WantedStack& one : book.wanted) addBores(one.stack, bores);
        }
        for (const planner::WantedStack& one : options.recipes) addBores(one.stack, bores);
        std::vector<std::string> kept_notes;
        std::vector<planner::WantedStack> kept;
        if (options.kept_recipes) kept = keptRecipes(shop, kept_notes);
        for (const planner::WantedStack& one : kept) addBores(one.stack, bores);
        if (bores.empty())
            throw InputError(
                "no job of the shop has a target stack yet, so nobody knows what to keep: give recipes "
                "with a number a year ('recipe add', or --recipes)");
        const Shelf shelf = readShelf(shop, bores, options);
        kit.window_days = std::max(1.0, shelf.lead_days + inventory::ReorderClasses(shop).of("").review_days);
        book = kitDemandOf(shop, kit.season, kit.window_days);
        if (!options.recipes_alone) {
            request.wanted = book.wanted;
            kit.history_jobs = book.jobs;
            request.clumping = book.clumping;
            request.unseen_share = book.unseen_share;
            kit.notes = book.notes;
        }
        leaveToRecipes(request.wanted, kept, kept_notes);
        request.wanted.insert(request.wanted.end(), kept.begin(), kept.end());
        kit.kept_recipes = static_cast<int>(kept.size());
        kit.notes.insert(kit.notes.end(), kept_notes.begin(), kept_notes.end());
        request.season = book.season;
        request.wanted.insert(request.wanted.end(), options.recipes.begin(), options.recipes.end());
        request.sizes = shelf.sizes;
        request.stock = shelf.stock;
        kit.lines = shelf.lines;
        kit.currency = shelf.currency;
    });
    kit.wanted = static_cast<int>(request.wanted.size());
    kit.unseen_share = request.unseen_share;
    kit.windows_judged = request.windows_judged;
    request.rules.within = options.within;
    if (options.keep_ods) request.rules.od_step = Length();
    request.budget = options.budget;
    request.drawers = options.drawers;
    request.window_days = kit.window_days;
    request.seed = options.seed;
    request.seconds = options.seconds;
    request.curve = options.curve;
    request.progress = options.progress;
    request.remembered = options.remembered;
    kit.plan = planner::planKit(request);
    for (const std::string& note : kit.plan.notes) kit.notes.push_back(note);
    const std::vector<KitSize> all = std::move(kit.lines);
    kit.lines.clear();
    std::vector<ExtraDemand> pieces;
    for (const planner::KitSizePlan& size : kit.plan.sizes) {
        KitSize line = all[static_cast<std::size_t>(size.size)];
        line.keep = size.keep;
        line.packs_to_buy = size.packs_to_buy;
        line.jobs = size.jobs;
        line.lost_without = size.lost_without;
        for (const int stack : size.stacks)
            line.stacks.push_back(request.wanted[static_cast<std::size_t>(stack)].name);
        if (line.packs_to_buy > 0)
            pieces.push_back({line.part, line.packs_to_buy * line.pack_size, "for the kit", false});
        kit.lines.push_back(std::move(line));
    }
    for (const int size : kit.plan.dead) kit.dead.push_back(all[static_cast<std::size_t>(size)]);
    for (const int size : kit.plan.spared) kit.spared.push_back(all[static_cast<std::size_t>(size)]);
    const auto by_size = [](const KitSize& a, const KitSize& b) {
        return std::tuple(a.size.id, a.size.od, a.size.thickness) <
               std::tuple(b.size.id, b.size.od, b.size.thickness);
    };
    for (auto* lines : {&kit.lines, &kit.dead, &kit.spared}) std::sort(lines->begin(), lines->end(), by_size);
    if (options.orders && !pieces.empty()) kit.orders = purchasePlan(shop, pieces, options.solver);
    return kit;
}

std::string kitSizeSentence(const KitResult& kit, const KitSize& size, bool keep, bool dead) {
    std::string bins;
    for (const std::string& bin : size.bins) bins += (bins.empty() ? " in " : ", ") + bin;
    std::string text = discSizeText(size.size) + ": ";
    if (dead)
        return text + fmt::format("{} there{}, and no job of the season needs them.", size.on_hand, bins);
    if (!keep) return text + "wanted stacks ask for it, and others do instead; it may run out.";
    text += fmt::format("keep {}, {} there{}", size.keep, size.on_hand, bins);
    if (size.packs_to_buy > 0)
        text += fmt::format("; buy {} {} of {} at {} {} from {}", size.packs_to_buy,
                            size.packs_to_buy == 1 ? "pack" : "packs", size.pack_size,
                            inventory::moneyText(size.pack_price), kit.currency, size.supplier);
    text += fmt::format(". {:.1f} jobs of the season take it; without it {} of all jobs are lost.", size.jobs,
                        percent(size.lost_without));
    constexpr std::size_t most_named = 6;
    if (!size.stacks.empty()) text += " Taken by: ";
    for (std::size_t i = 0; i < size.stacks.size() && i < most_named; ++i)
        text += (i > 0 ? ", " : "") + size.stacks[i];
    if (size.stacks.size() > most_named) text += fmt::format(" and {} more", size.stacks.size() - most_named);
    return size.stacks.empty() ? text : text + ".";
}

std::vector<std::string> kitSentences(const KitResult& kit) {
    const planner::KitPlan& plan = kit.plan;
    std::vector<std::string> told;
    if (plan.status == planner::KitStatus::nothing_possible) return kit.notes;
    std::int64_t packs = 0;
    for (const KitSize& line : kit.lines) packs += line.packs_to_buy;
    told.push_back(fmt::format("Keep {} sizes; buy {} {} for {} {} (budget {}).", kit.lines.size(), packs,
                               packs == 1 ? "pack" : "packs", inventory::moneyText(plan.cost), kit.currency,
                               inventory::moneyText(plan.budget)));
    told.push_back(fmt::format("Of the season's jobs {} can be built at once ({} to {}, on {} fresh windows "
                               "of {:.0f} days with stacks that the "
                               "plan has not seen): {} of those asked for before, {} of new ones.",
                               percent(plan.fresh.mean), percent(plan.fresh.low), percent(plan.fresh.high),
                               kit.windows_judged, kit.window_days, percent(plan.fresh_seen),
                               percent(plan.fresh_unseen)));
    told.push_back(
        fmt::format("Reorder points size by size for the same money: {} where other sizes stand in, {} where "
                    "none do ({} sizes, {} {}).",
                    percent(plan.plain.mean), percent(plan.plain_alone), plan.plain_sizes,
                    inventory::moneyText(plan.plain_cost), kit.currency));
    told.push_back(
        plan.status == planner::KitStatus::proved
            ? fmt::format("No plan does better in the windows that this one was made from: {}, proved.",
                          percent(plan.coverage))
            : fmt::format(
                  "In the windows that it was made from it builds {}; no plan builds more than {} there "
                  "by the ways that were tried.",
                  percent(plan.coverage), percent(plan.coverage_bound)));
    if (plan.statistical_gap < 1)
        told.push_back(
            fmt::format("In the long run no plan by these ways covers more than {} above what this one does, "
                        "with 95 % confidence.",
                        percent(plan.statistical_gap)));
    told.push_back(fmt::format(
        "It rests on {} jobs, {} wanted stacks and {} ways to build them; {} of the jobs are taken "
        "to ask for a stack nobody has asked for before.",
        kit.history_jobs, kit.wanted, plan.ways, percent(kit.unseen_share)));
    for (const SupplierOrder& order : kit.orders.orders) {
        if (order.linesToBuy() == 0) continue;
        told.push_back(fmt::format("Order from {}: {} sizes, {} {} to pay with freight.", order.supplier.name,
                                   order.linesToBuy(), inventory::moneyText(order.toPay()),
                                   order.supplier.currency));
    }
    for (const std::string& note : kit.notes) told.push_back("Note: " + note + ".");
    return told;
}

} // namespace shimledger::services
