// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/lot_readings.h"

#include "inventory/reading_sums.h"

#include <algorithm>
#include <stdexcept>

namespace shimledger::inventory {

MeasuredThickness measuredOf(const std::vector<Length>& readings) {
    if (readings.empty()) throw std::logic_error("no readings are no measured thickness");
    std::int64_t sum_um = 0, sum_of_squares = 0;
    for (const Length reading : readings) {
        sum_um += reading.micrometres();
        sum_of_squares += reading.micrometres() * reading.micrometres();
    }
    const auto [least, greatest] = std::minmax_element(readings.begin(), readings.end());
    const auto count = static_cast<std::int64_t>(readings.size());
    return {meanOf(sum_um, count), *least, *greatest, static_cast<int>(count),
            deviationOf(sum_um, sum_of_squares, count)};
}

} // namespace shimledger::inventory
