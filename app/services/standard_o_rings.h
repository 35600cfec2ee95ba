// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A size of a standard's list; seed_catalog/README.md says where the figures come from.
struct StandardORing {
    std::string code; ///< "210" (ISO 3601-1, equal to the AS568 dash number), "P18" or "G25" (JIS B 2401-1)
    std::string standard; ///< "ISO 3601-1", "JIS B 2401-1"
    Length id;            ///< d1
    Length id_tolerance;
    Length section; ///< d2
    Length section_tolerance;

    [[nodiscard]] std::string text() const; ///< "ISO 3601-1 code 210, 18.64 x 3.53"
};

/// All of both lists, ISO first, in the order of the lists.
[[nodiscard]] const std::vector<StandardORing>& standardORings();
[[nodiscard]] std::optional<StandardORing> findStandardORing(std::string_view code);

/// A published gland, from seed_catalog/o_ring_gland_rules.csv.
struct GlandRule {
    std::string id;                                 ///< "G03"
    std::string application;                        ///< "static radial", "dynamic reciprocating", ...
    Length section;                                 ///< to the nearest um where the source is in inches
    double least_squeeze = 0, greatest_squeeze = 0; ///< per cent, over the tolerances
    double nominal_fill = 0;                        ///< per cent
    std::string source;
};
[[nodiscard]] const std::vector<GlandRule>& glandRules();

} // namespace shimledger::services
