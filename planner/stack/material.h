// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace shimledger::planner {

/// What a disc is made of. Default: carbon spring steel, E and nu as in DIN 2092 (206 GPa, 0.3).
/// tensile_strength_mpa is only used for warnings; the default is the largest Rm of C75S +CR after
/// EN 10132-4, which hardened shim stock exceeds, so the warning errs on the safe side.
struct Material {
    std::string name = "carbon spring steel";
    double elastic_modulus_mpa = 206000.0;
    double poisson_ratio = 0.3;
    double tensile_strength_mpa = 1170.0;

    bool operator==(const Material&) const = default;
};

} // namespace shimledger::planner
