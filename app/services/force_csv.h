// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/damping_fit.h"

#include <istream>
#include <vector>

namespace shimledger::services {

/// Readings of a test bench as CSV: a header with the columns speed_m_s and force_n (more may follow), then a
/// line a reading, in any order, one direction of the shaft. Throws InputError naming line and column on
/// anything else: speeds above 0 and at most 20 m/s, forces above 0 and at most 1000000 N, at most 10000
/// lines.
[[nodiscard]] std::vector<planner::MeasuredForce> readForceCsv(std::istream& csv);

} // namespace shimledger::services
