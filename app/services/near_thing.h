// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/near_name.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// As nearNameText, among the parts, bins ... that the shop has: ": did you mean 'A1', which is retired?".
/// `name`: &inventory::Bin::code and the like.
template <typename Thing>
[[nodiscard]] std::string nearThingText(std::string_view typed, const std::vector<Thing>& things,
                                        std::string Thing::*name, std::string_view otherwise) {
    std::vector<std::string> names;
    names.reserve(things.size());
    for (const Thing& thing : things) names.push_back(thing.*name);
    const std::string near = nearName(typed, names);
    for (const Thing& thing : things) {
        if (!near.empty() && thing.*name == near && thing.retired)
            return ": did you mean '" + near + "', which is retired?";
    }
    return nearNameText(typed, names, otherwise);
}

} // namespace shimledger::services
