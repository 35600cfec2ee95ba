// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/kit_plan.h"
#include "app/services/kit_points.h"
#include "app/services/recipe_list.h"
#include "app/services/sheets/kit_sheet.h"
#include "app/services/way_files.h"
#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

using nlohmann::json;

services::KitOptions optionsOf(const KitVerb& verb) {
    services::KitOptions options;
    if (!verb.budget.empty()) {
        try {
            options.budget = inventory::parseMoney(verb.budget);
        } catch (const InputError& error) {
            throw InputError(std::string("--budget: ") + error.what());
        }
    }
    options.drawers = verb.drawers;
    options.within = verb.within_percent / 100;
    if (!verb.season.empty()) options.season = services::parseKitSeason(verb.season);
    if (!verb.recipes_file.empty()) {
        const std::string text = readFile(verb.recipes_file);
        try {
            options.recipes = services::readRecipes(text);
        } catch (const InputError& error) {
            throw InputError(verb.recipes_file + ": " + error.what());
        }
    }
    options.kept_recipes = !verb.no_kept_recipes;
    if (verb.recipes_alone && !options.kept_recipes && options.recipes.empty())
        throw InputError("--recipes-alone with --no-kept-recipes needs recipes: give them with --recipes");
    options.recipes_alone = verb.recipes_alone;
    options.empty_drawers = verb.empty_drawers;
    options.keep_ods = verb.keep_ods;
    for (const std::string& size : verb.keep) options.keep.push_back(services::parseDiscSize(size));
    for (const std::string& size : verb.without) options.without.push_back(services::parseDiscSize(size));
    options.seed = static_cast<std::uint64_t>(verb.seed);
    options.seconds = verb.seconds;
    return options;
}

json coverageJson(const planner::CoverageEstimate& coverage) {
    return {{"mean", coverage.mean}, {"low", coverage.low}, {"high", coverage.high}};
}

double money(std::int64_t hundredths) {
    return static_cast<double>(hundredths) / 100;
}

json lineJson(const services::KitSize& line) {
    return {{"od_mm", line.size.od.millimetres()},
            {"id_mm", line.size.id.millimetres()},
            {"thickness_mm", line.size.thickness.millimetres()},
            {"part", line.part},
            {"on_hand", line.on_hand},
            {"keep", line.keep},
            {"packs_to_buy", line.packs_to_buy},
            {"pack_size", line.pack_size},
            {"pack_price", money(line.pack_price)},
            {"supplier", line.supplier},
            {"jobs", line.jobs},
            {"stacks", line.stacks.size()},
            {"serves", line.stacks},
            {"lost_without", line.lost_without}};
}

json kitJson(const services::KitResult& kit) {
    const planner::KitPlan& plan = kit.plan;
    json root = {{"status", planner::kitStatusName(plan.status)},
                 {"coverage", plan.coverage},
                 {"coverage_bound", plan.coverage_bound},
                 {"statistical_gap", plan.statistical_gap},
                 {"fresh_coverage", coverageJson(plan.fresh)},
                 {"fresh_coverage_foreseen", coverageJson(plan.fresh_foreseen)},
                 {"fresh_coverage_seen", plan.fresh_seen},
                 {"fresh_coverage_unseen", plan.fresh_unseen},
                 {"plain_coverage", plan.plain.mean},
                 {"plain_coverage_alone", plan.plain_alone},
                 {"plain_cost", money(plan.plain_cost)},
                 {"plain_sizes", plan.plain_sizes},
                 {"plain_recommended", plan.plain_is_better},
                 {"budget", money(plan.budget)},
                 {"cost", money(plan.cost)},
                 {"currency", kit.currency},
                 {"season", {{"from", kit.season.from.text()}, {"until", kit.season.until.text()}}},
                 {"window_days", kit.window_days},
                 {"ways", plan.ways},
                 {"notes", kit.notes},
                 {"seconds", plan.seconds}};
    for (const auto& [name, lines] : {std::pair{"sizes", &kit.lines}, std::pair{"dead", &kit.dead},
                                      std::pair{"done_without", &kit.spared}}) {
        root[name] = json::array();
        for (const services::KitSize& line : *lines) root[name].push_back(lineJson(line));
    }
    root["curve"] = json::array();
    for (const planner::KitCurvePoint& point : plan.curve) {
        root["curve"].push_back({{"budget", money(point.budget)},
                                 {"cost", money(point.cost)},
                                 {"coverage", point.coverage},
                                 {"fresh_coverage", point.fresh},
                                 {"plain_coverage", point.plain},
                                 {"sizes", point.sizes}});
    }
    root["orders"] = json::array();
    for (const services::SupplierOrder& order : kit.orders.orders) {
        if (order.linesToBuy() == 0) continue;
        root["orders"].push_back({{"supplier", order.supplier.name},
                                  {"currency", order.supplier.currency},
                                  {"lines", order.linesToBuy()},
                                  {"to_pay", money(order.toPay())}});
    }
    return root;
}

void tell(const services::KitResult& kit, std::ostream& out) {
    for (const std::string& sentence : services::kitSentences(kit)) out << sentence << '\n';
    if (!kit.lines.empty()) {
        out << fmt::format("{:<22} {:>6} {:>6} {:>6} {:>9} {:>8}  {}\n", "size", "keep", "there", "packs",
                           "jobs", "lost", "drawer");
    }
    for (const services::KitSize& line : kit.lines) {
        std::string bins;
        for (const std::string& bin : line.bins) bins += (bins.empty() ? "" : ", ") + bin;
        out << fmt::format("{:<22} {:>6} {:>6} {:>6} {:>9.1f} {:>6.1f} %  {}\n",
                           services::discSizeText(line.size), line.keep, line.on_hand, line.packs_to_buy,
                           line.jobs, 100 * line.lost_without, bins);
    }
    const auto list = [&](const char* head, const std::vector<services::KitSize>& lines) {
        if (lines.empty()) return;
        out << head << '\n';
        for (const services::KitSize& line : lines)
            out << fmt::format("  {:<22} {:>6} there\n", services::discSizeText(line.size), line.on_hand);
    };
    list("In the drawers, but no job of the season needs them:", kit.dead);
    list("Asked for, but others do instead; they may run out:", kit.spared);
    if (!kit.plan.curve.empty()) out << "Jobs built at once, over money (fresh windows):\n";
    for (const planner::KitCurvePoint& point : kit.plan.curve) {
        out << fmt::format("  {:>9}  {:>5.1f} %   reorder points {:>5.1f} %   {} sizes\n",
                           inventory::moneyText(point.budget), 100 * point.fresh, 100 * point.plain,
                           point.sizes);
    }
}

json pointsJson(const services::KitPointsTold& told) {
    return {{"changed", told.changed}, {"left", told.left}};
}

void tellPoints(const services::KitPointsTold& told, const char* how, std::ostream& out) {
    out << fmt::format("{} {} {}\n", told.changed.size(),
                       told.changed.size() == 1 ? "reorder point was" : "reorder points were", how);
    for (const std::string& sentence : told.left) out << sentence << '\n';
}

int takePointsBack(const KitVerb& verb, Streams& streams) {
    if (verb.set_points)
        throw InputError("--points-back takes a step back and makes no plan: leave --set-points out");
    auto shop = openShop(verb.shop_file, streams);
    const services::KitPointsTold told = services::takeKitPointsBack(shop);
    if (verb.json)
        streams.out << json{{"points", pointsJson(told)}}.dump(2) << '\n';
    else
        tellPoints(told, "taken back.", streams.out);
    return exit_done;
}

} // namespace

int runKit(const KitVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    if (verb.points_back) return takePointsBack(verb, streams);
    services::KitOptions options = optionsOf(verb);
    services::WayFiles ways(verb.no_cache ? std::filesystem::path() : services::WayFiles::usualFolder());
    options.remembered = &ways;
    auto shop = openShop(verb.shop_file, streams);
    const services::KitResult kit = services::kitPlan(shop, options);
    ways.tidy();
    const bool possible = kit.plan.status != planner::KitStatus::nothing_possible;
    if (!verb.out_file.empty() && possible) services::writeKitSheet(kit, {verb.out_file, verb.force}, paper);
    services::KitPointsTold told;
    if (verb.set_points && possible) told = services::setKitPoints(shop, services::kitPoints(kit));
    if (verb.json) {
        json root = kitJson(kit);
        if (verb.set_points) root["points"] = pointsJson(told);
        streams.out << root.dump(2) << '\n';
    } else {
        tell(kit, streams.out);
        if (verb.set_points && possible)
            tellPoints(told, "set from the plan; --points-back takes them back.", streams.out);
    }
    if (!verb.json && !verb.out_file.empty() && possible) streams.out << "Wrote " << verb.out_file << '\n';
    switch (kit.plan.status) {
    case planner::KitStatus::proved:
        return exit_done;
    case planner::KitStatus::found_not_proved:
        return exit_limit;
    case planner::KitStatus::nothing_possible:
        return exit_impossible;
    }
    return exit_fault;
}

} // namespace shimledger::command
