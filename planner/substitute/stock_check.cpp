// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/stock_check.h"

#include "planner/stack/stack_text.h"
#include "planner/substitute/substitute_search.h"
#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace shimledger::planner {

namespace {

/// What `stock`, called `which` in sentences, cannot give of the target.
std::vector<Shortage> shortagesIn(const SubstituteRequest& request, const UsableStock& stock,
                                  const char* which) {
    std::vector<Shortage> shortages;
    const StackSpec& target = *request.target;
    std::map<std::tuple<Length, Length, Length>, Shortage> wanted; // OD, bore, thickness
    std::vector<std::tuple<Length, Length, Length>> order;
    for (std::size_t row = 0; row < target.rows().size(); ++row) {
        const DiscRow& discs = target.rows()[row];
        const Length id = isRing(target.valve(), discs) ? *discs.ring_id : target.valve().shim_id;
        const auto key = std::tuple(discs.od, id, discs.thickness);
        if (!wanted.contains(key)) {
            order.push_back(key);
            wanted[key] = {static_cast<int>(row),
                           discs.od,
                           discs.thickness,
                           0,
                           stock.pieces(discs.od, id, discs.thickness),
                           {}};
        }
        wanted[key].needed += static_cast<std::int64_t>(discs.count) * request.legs;
    }
    for (const auto& key : order) {
        Shortage& shortage = wanted[key];
        if (shortage.needed <= shortage.available) continue;
        shortage.sentence =
            shortage.od.text() + " x " + shortage.thickness.text(2) + " (bore " + std::get<1>(key).text() +
            "): " + std::to_string(shortage.needed) + " needed for " + std::to_string(request.legs) +
            (request.legs == 1 ? " leg, " : " legs, ") + std::to_string(shortage.available) + which +
            " available, " + std::to_string(shortage.needed - shortage.available) + " short";
        shortages.push_back(shortage);
    }
    return shortages;
}

} // namespace

std::vector<Shortage> checkAgainstStock(const SubstituteRequest& request) {
    if (!request.target) return {};
    if (request.rules.mix_new_and_used && !request.rules.only_new)
        return shortagesIn(request, UsableStock(request, {}), "");
    std::vector<Shortage> fresh = shortagesIn(request, UsableStock(request, false), " new ones");
    if (request.rules.only_new) return fresh;
    // Of one kind alone: what lacks least is told.
    std::vector<Shortage> used = shortagesIn(request, UsableStock(request, true), " used ones");
    const auto pieces = [](const std::vector<Shortage>& shortages) {
        std::int64_t sum = 0;
        for (const Shortage& shortage : shortages) sum += shortage.needed - shortage.available;
        return sum;
    };
    return pieces(used) < pieces(fresh) ? used : fresh;
}

std::vector<Shortage> causesOfImpossibility(const SubstituteRequest& request,
                                            const std::vector<SearchFrame>& frames) {
    std::vector<Shortage> causes;
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    const std::string legs = std::to_string(request.legs) + (request.legs == 1 ? " leg" : " legs");
    const UsableStock stock(request, {});
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const bool fillable = std::any_of(frames.begin(), frames.end(), [&](const SearchFrame& frame) {
            return !frame.choices[g]->states.empty();
        });
        if (fillable) continue;
        const TargetGroup& group = groups[g];
        const std::int64_t held = stock.pieces(group.od, group.id);
        std::string sentence =
            group.od.text() + " mm OD with bore " + group.id.text() +
            " mm: " + std::to_string(static_cast<std::int64_t>(group.discs) * request.legs) + " needed for " +
            legs + ", " + std::to_string(held) + " available in any thickness";
        if (staysAsItIs(request.rules, group)) {
            sentence += ", but its rows are to stay as they are";
        } else if (group.crossover) {
            sentence += ", and none of them add up to the crossover's " + group.thickness.text(2) +
                        " mm for each leg";
        } else if (held >= request.legs) {
            sentence +=
                ", which cannot be dealt alike to the legs within the rules on height, discs and changes";
        }
        const DiscRow& row = request.target->rows()[static_cast<std::size_t>(group.first_row)];
        causes.push_back({group.first_row, group.od, row.thickness,
                          static_cast<std::int64_t>(group.discs) * request.legs, held, std::move(sentence)});
    }
    return causes;
}

} // namespace shimledger::planner
