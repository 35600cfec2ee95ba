// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "planner/substitute/substitute_result.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// Take this many from this drawer.
struct PickLine {
    std::string bin;
    std::int64_t walking_order = 0;
    std::string part;
    std::string what; ///< "shim 24.0 x 6.0 x 0.12"
    bool used = false;
    std::optional<Length> measured;    ///< mean reading of the lot
    std::string unit;                  ///< "piece", "mm", "ml"
    std::int64_t quantity = 0;         ///< all legs
    std::vector<std::int64_t> per_leg; ///< of the valve's legs, from its first
    std::string wanted_part;           ///< code of what a substitute stands in for; "" otherwise
    std::string replaces;              ///< what a substitute stands in for, in words; "" otherwise
    bool shim = false;                 ///< else a consumable
};

/// One row of a build sheet.
struct BuildRow {
    inventory::StackRow row;
    std::string text;     ///< "4 x 24.0 x 0.12"
    std::string replaces; ///< "4 x 24.0 x 0.10" in the build stack, where the row differs; "" otherwise
};

/// Everything that the tech takes to the bench for one valve of a job.
struct PickList {
    std::string job;
    std::string model;
    std::string model_text;
    std::string valve;
    int legs = 1; ///< that have this stack
    int first_leg = 1;
    std::optional<inventory::CalendarDate> due;
    std::string note;
    inventory::UtcTime made;
    std::int64_t revision = 0;
    std::vector<PickLine> lines;      ///< everything that is reserved, in walking order
    std::vector<std::string> missing; ///< what a count took from the job, and consumables that it still
                                      ///< wants, one sentence each
    std::vector<BuildRow> target;     ///< per leg, piston face first
    std::vector<BuildRow> build;      ///< the accepted plan; as the target where nothing was accepted
    Length target_height;
    Length build_height;
    /// Of pickSheet(): where the adjuster makes an accepted stack its target again; "" where there is no
    /// telling.
    std::string clicks;
    /// Of pickSheet(): how the build's curve stands against the target's over the valve's working lift, and
    /// what was wished of both; a sentence each.
    std::vector<std::string> curves;
    std::vector<std::string> cautions;

    [[nodiscard]] std::int64_t pieces() const; ///< of shims, all legs
};

/// The pick lists of all valves of a component: one walk through the drawers, one sheet.
struct ComponentPick {
    std::vector<PickList> valves; ///< one at least; those for which something is reserved

    struct Stop {
        const PickList* valve;
        const PickLine* line;
    };
    [[nodiscard]] std::vector<Stop> walk() const; ///< all lines, in walking order
    [[nodiscard]] int legs() const;               ///< the greatest number of a leg
    [[nodiscard]] std::int64_t pieces() const;    ///< of shims, all valves and legs
    /// "compression", and where it lies in some legs only "compression, leg 2".
    [[nodiscard]] std::string valveText(const PickList& valve) const;
    /// The valve that a line's discs are for; empty for wear parts, and where the component has but one
    /// valve.
    [[nodiscard]] std::string purposeOf(const Stop& stop) const;
    /// "base and rebound"
    [[nodiscard]] std::string valveNames() const;
    /// Of the line by leg 1, 2, ..., none where its valve does not lie in that leg.
    [[nodiscard]] std::vector<std::optional<std::int64_t>> byLeg(const Stop& stop) const;
};

/// From what is reserved for the job. Throws InputError when there is no such job, or nothing is reserved for
/// it (reserve first).
[[nodiscard]] PickList pickList(inventory::ShopFile& shop, std::string_view job);
/// The same with what only the sheet says. Where the valve has an adjuster the curves of both stacks are
/// computed for it: some tens of milliseconds.
[[nodiscard]] PickList pickSheet(inventory::ShopFile& shop, std::string_view job);

/// The sheets of the job and, where it is a component's, of its other valves for which something is reserved.
/// Throws as pickList() where nothing is reserved for any.
[[nodiscard]] ComponentPick componentPickSheet(inventory::ShopFile& shop, std::string_view job);
/// The same without what only the sheet says.
[[nodiscard]] ComponentPick componentPick(inventory::ShopFile& shop, std::string_view job);

/// The shims of a pick list as a plan has them.
[[nodiscard]] std::vector<planner::Pull> shimPulls(inventory::ShopFile& shop, const PickList& list);

} // namespace shimledger::services
