// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/sheet_back_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/lot_check.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

int runStockFarOff(const FarOffVerb& verb, Streams& streams) {
    services::AllowedOff allowed;
    allowed.tolerance = parseTolerance(verb.tolerance);
    if (!verb.limit.empty()) {
        allowed.own = millimetresOf("--limit", verb.limit);
        if (*allowed.own <= Length())
            throw InputError("--limit: what a lot may be off must be above 0, not " + verb.limit);
    }
    auto shop = openShop(verb.shop_file, streams);
    const auto checks = services::checkedLots(shop, allowed, !verb.all);
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const services::LotCheck& check : checks) {
            root.push_back({{"bin", check.bin},
                            {"part", check.part},
                            {"condition", inventory::conditionName(check.condition)},
                            {"on_hand", check.on_hand},
                            {"nominal_mm", check.nominal.millimetres()},
                            {"mean_mm", check.measured.mean.millimetres()},
                            {"least_mm", check.measured.least.millimetres()},
                            {"greatest_mm", check.measured.greatest.millimetres()},
                            {"standard_deviation_mm", check.measured.deviation_mm},
                            {"readings", check.measured.readings},
                            {"off_mm", check.off().millimetres()},
                            {"allowed_mm", check.allowed.millimetres()},
                            {"too_far", check.tooFar()},
                            {"like", check.like}});
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const services::LotCheck& check : checks) {
        streams.out << fmt::format("{:<6} {:>4} {}{}: {}\n", check.bin, check.on_hand, check.part,
                                   check.condition == inventory::Condition::used ? " (used)" : "",
                                   check.sentence);
    }
    if (checks.empty())
        streams.out << (verb.all ? "No lot has been read yet.\n"
                                 : "No lot is too far from what its drawer says.\n");
    return exit_done;
}

} // namespace shimledger::command
