// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/model_flow.h"
#include "inventory/shop_file.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// A figure of a valve's flow that nobody has told, and what was taken in its place.
struct AssumedFigure {
    std::string field; ///< "piston_mm"; of several that go together the first
    std::string text;  ///< "piston 26.4 mm (somewhat more than the face disc)"
};

struct KnownFlow {
    planner::ValveFlow flow;
    inventory::Stroke stroke = inventory::Stroke::compression;
    std::vector<AssumedFigure> assumed; ///< empty: all of it was told
    std::string fitted_to;              ///< as the model says it
};

/// What the oil meets in a valve with this stack. What is told of it is taken; what is not is typical of its
/// kind and marked. A valve whose name begins with "rebound" damps rebound, one that begins with "base" lets
/// pass what the shaft displaces. Typical values are common practice, without a source. Throws InputError
/// where what is told and what is typical cannot both be.
[[nodiscard]] KnownFlow knownFlow(const inventory::ModelFlow& told, const planner::StackSpec& stack);

/// Of the job's valve, as its component model tells it.
[[nodiscard]] KnownFlow knownFlow(inventory::ShopFile& shop, const inventory::Job& job,
                                  const planner::StackSpec& stack);

/// "piston 26.4 mm (somewhat more than the face disc), shaft ..."; "" where nothing was assumed.
[[nodiscard]] std::string assumedText(const std::vector<AssumedFigure>& assumed);

/// What a screen says where something was assumed; "" where all was told.
[[nodiscard]] std::string assumedSentence(const std::vector<AssumedFigure>& assumed);

} // namespace shimledger::services
