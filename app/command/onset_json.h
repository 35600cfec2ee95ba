// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/warp_onset.h"

#include <nlohmann/json.hpp>

#include <optional>

namespace shimledger::command {

/// The "onset" of the command's contract: null, or pressure_mpa, lift_mm, lobes and disc (counted from 1).
[[nodiscard]] inline nlohmann::json onsetJson(const std::optional<planner::WarpOnset>& onset) {
    if (!onset) return nullptr;
    return {{"pressure_mpa", onset->pressure_mpa},
            {"lift_mm", onset->lift_mm},
            {"lobes", onset->lobes},
            {"disc", onset->row + 1}};
}

} // namespace shimledger::command
