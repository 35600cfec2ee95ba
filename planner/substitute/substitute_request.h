// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/scatter_band.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/wanted_factor.h"
#include "planner/units/length.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Discs of one size, in one bin, in one condition, that may be taken.
struct StockItem {
    std::string bin;
    std::string part; ///< carried through to the pulls; may be empty
    Length od;
    Length id;
    Length thickness;               ///< nominal
    std::optional<Length> measured; ///< mean reading of the lot: used in place of the nominal in the curve
    bool used = false;
    std::int64_t available = 0;
    std::int64_t walking_order = 0;
    double reading_spread_mm = 0;      ///< standard deviation of the lot's readings; 0: fewer than two
    std::int64_t replacement_cost = 0; ///< of one disc, hundredths of the shop's currency; 0 = unknown
};

/// The rules of a search, each with its default. Lengths of 0 mean "not allowed".
struct SubstituteRules {
    /// Else the face may be of a neighbouring OD too, as far as `od_step`, where it still covers ports and
    /// seat. Lift is the rise of each face's own edge.
    bool face_od_fixed = true;
    bool keep_every_od = true; ///< else tapers may move to a neighbouring OD
    /// Rows of the target, from 1: the groups that they lie in may move as far as `od_step`, whatever the two
    /// rules above say.
    std::vector<int> rows_that_may_move;
    /// Rows of the target, from 1: the groups that they lie in keep the target's discs and OD.
    std::vector<int> rows_that_stay;
    int most_groups_moved = 1; ///< groups, crossovers too, that may stand at another OD at once
    Length od_step = Length::fromMicrometres(1000); ///< how far an OD may move that is not kept
    Length crossover_od_tolerance = Length::fromMicrometres(1000); ///< a crossover's OD may vary by this
    /// How far the OD of the clamp's own discs may move among those in the drawers; the clamp's radius moves
    /// with it. 0: they keep it. Of one stack: plans of several jobs leave every clamp as it is.
    Length clamp_od_step;
    Length crossover_gap_tolerance; ///< its gap (sum of thickness) may differ by this; 0: equal sum
    Length height_tolerance = Length::fromMicrometres(300); ///< stack height within +- this
    /// Groups (runs of one OD) that may change besides those that are short; any number where another curve
    /// than the target's is wanted.
    int most_other_groups_changed = 1;
    /// Per stack and group: discs of the target taken out, or added beyond their number; summed over groups.
    std::optional<int> most_discs_changed;
    int most_discs = 60; ///< per stack, in all
    bool mix_new_and_used = true;
    bool only_new = false; ///< used discs stay where they are
    std::vector<std::string> bins_left_alone;
    std::int64_t keep_in_stock = 0; ///< leave at least this many of each size in the drawers
    double working_lift_mm = 0.30;
    /// Curves are compared while the pressure rises, with the usual friction between the discs; else without
    /// friction, which is the middle between rising and falling.
    bool compare_loading = false;
    /// The curve looked for, as a factor on the target's: 1 everywhere for a substitute.
    WantedFactor wanted;
    double low_speed_weight = 1; ///< weights of the deviation below and above ...
    double high_speed_weight = 1;
    double low_speed_lift_mm = 0; ///< ... this lift; 0: the whole range counts alike
    /// Choices besides the closest (fewest changes, ...) may deviate by this, or as much as the closest one.
    double most_choice_deviation = 0.10;
    Regime regime = Regime::large;
    ToleranceClass tolerance = ToleranceClass::precision;
};

struct SearchLimits {
    double seconds = 10;
    std::int64_t candidates = 5'000'000;
    int proposals = 6;
    /// Stacks that are closer than the best by less than this are not looked for. The default is a tenth of
    /// what the default grid may err by, and far below what the discs' own tolerance does. 0 proves the last
    /// digit.
    double gap = 5e-4;
};

struct SubstituteProgress {
    std::int64_t examined = 0;
    double best_deviation = 0; ///< of the best so far; infinite before there is one
    double lower_bound = 0;
    double seconds = 0;
};

struct SubstituteRequest {
    std::optional<StackSpec> target;
    /// Whose curve is looked for, where it is not the target's own: the same stack on another clamp.
    std::optional<StackSpec> curve_of{};
    int legs = 2; ///< identical stacks to build
    std::vector<StockItem> stock;
    SubstituteRules rules;
    SearchLimits limits;
    /// Called now and then; false ends the search with what has been found.
    std::function<bool(const SubstituteProgress&)> progress;
};

} // namespace shimledger::planner
