// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder_inputs.h"
#include "planner/reorder/demand_forecast.h"

#include <map>
#include <optional>
#include <string>

namespace shimledger::services {

/// What each part of a shop is asked for. A part that is not known for a year yet leans on its like: shims of
/// the same diameters in the next thickness on either side; wear parts of the same component model; else the
/// established parts of its class. Fluids lean on nothing: an average of pieces says nothing of millilitres.
class DemandBook {
public:
    explicit DemandBook(const ReorderInputs& inputs);

    [[nodiscard]] const planner::DemandForecast& of(const std::string& part) const;
    /// Less than a quarter of a year is known and there is no like: what somebody typed in is all there is.
    [[nodiscard]] bool unknown(const std::string& part) const;
    [[nodiscard]] int weeksKnown(const std::string& part) const;

private:
    struct Entry {
        planner::DemandForecast forecast;
        bool leans = false;
    };
    std::map<std::string, Entry> m_parts;
    std::map<std::string, int> m_weeks;
};

} // namespace shimledger::services
