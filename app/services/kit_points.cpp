// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kit_points.h"

#include "inventory/master_changes.h"
#include "inventory/part_catalogue.h"
#include "planner/units/input_error.h"

#include <charconv>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

using inventory::MasterChange;

constexpr std::string_view mark = "kit ", back = " back";

/// Which step a change is of, "kit 3" or "kit 3 back"; 0: of none.
struct StepOf {
    int number = 0;
    bool taken_back = false;
};
StepOf stepOf(const MasterChange& change) {
    if (change.about.kind != inventory::MasterKind::part || change.field != "reorder_point") return {};
    std::string_view item = change.item;
    if (!item.starts_with(mark)) return {};
    item.remove_prefix(mark.size());
    StepOf step;
    const auto [end, error] = std::from_chars(item.data(), item.data() + item.size(), step.number);
    if (error != std::errc() || step.number < 1) return {};
    const std::string_view rest = item.substr(static_cast<std::size_t>(end - item.data()));
    if (!rest.empty() && rest != back) return {};
    step.taken_back = !rest.empty();
    return step;
}

/// All steps by their number; those that were taken back, with nothing.
std::map<int, std::vector<MasterChange>> stepsOf(inventory::ShopFile& shop) {
    std::map<int, std::vector<MasterChange>> steps;
    std::set<int> taken_back;
    inventory::MasterHistory(shop).forEach([&](const MasterChange& change) {
        const StepOf step = stepOf(change);
        if (step.number == 0) return;
        if (step.taken_back)
            taken_back.insert(step.number);
        else
            steps[step.number].push_back(change);
    });
    for (const int number : taken_back) steps[number].clear();
    return steps;
}

std::string pointText(const std::optional<std::int64_t>& point) {
    return point ? std::to_string(*point) : std::string("none");
}

std::optional<std::int64_t> pointOf(const std::string& text) {
    if (text.empty()) return std::nullopt;
    return std::stoll(text);
}

/// Changes the point where it still is what is expected; else tells that it is not.
void change(inventory::PartCatalogue& parts, const KitPoint& point, const std::string& step,
            KitPointsTold& told) {
    inventory::Part part = parts.get(point.part);
    if (part.reorder_point != point.seen) {
        told.left.push_back("The reorder point of " + point.part + " is " + pointText(part.reorder_point) +
                            " now and not " + pointText(point.seen) +
                            ": somebody has changed it meanwhile, so it stays.");
        return;
    }
    part.reorder_point = point.wanted;
    if (!parts.update(part, {}, step).empty()) told.changed.push_back(point.part);
}

} // namespace

std::set<std::string> partsWithKitPoints(inventory::ShopFile& shop) {
    std::set<std::string> parts;
    inventory::MasterHistory(shop).forEach([&](const MasterChange& change) {
        if (change.about.kind != inventory::MasterKind::part || change.field != "reorder_point") return;
        const StepOf step = stepOf(change);
        if (step.number > 0 && !step.taken_back && !change.after.empty())
            parts.insert(change.about.part);
        else
            parts.erase(change.about.part);
    });
    return parts;
}

std::vector<KitPoint> kitPoints(const KitResult& kit) {
    std::vector<KitPoint> points;
    const auto add = [&](const KitSize& line, std::optional<std::int64_t> keep) {
        if (line.part.empty() || line.reorder_point == keep) return;
        points.push_back({line.part, line.reorder_point, keep});
    };
    for (const KitSize& line : kit.lines)
        add(line, line.keep > 0 ? std::optional(line.keep - 1) : std::nullopt);
    for (const auto* none : {&kit.dead, &kit.spared}) {
        for (const KitSize& line : *none) add(line, std::nullopt);
    }
    return points;
}

KitPointsTold setKitPoints(inventory::ShopFile& shop, const std::vector<KitPoint>& points) {
    KitPointsTold told;
    shop.atomically([&] {
        const auto steps = stepsOf(shop);
        const std::string step =
            std::string(mark) + std::to_string(steps.empty() ? 1 : steps.rbegin()->first + 1);
        inventory::PartCatalogue parts(shop);
        for (const KitPoint& point : points) change(parts, point, step, told);
    });
    return told;
}

KitPointsTold takeKitPointsBack(inventory::ShopFile& shop) {
    KitPointsTold told;
    shop.atomically([&] {
        const auto steps = stepsOf(shop);
        auto last = steps.rbegin();
        while (last != steps.rend() && last->second.empty()) ++last;
        if (last == steps.rend())
            throw InputError("no reorder points were set from a kit plan that could be taken back");
        inventory::PartCatalogue parts(shop);
        const std::string step = std::string(mark) + std::to_string(last->first) + std::string(back);
        for (const MasterChange& one : last->second)
            change(parts, {one.about.part, pointOf(one.after), pointOf(one.before)}, step, told);
    });
    return told;
}

bool hasKitPoints(inventory::ShopFile& shop) {
    for (const auto& [number, changes] : stepsOf(shop)) {
        if (!changes.empty()) return true;
    }
    return false;
}

} // namespace shimledger::services
