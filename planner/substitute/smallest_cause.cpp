// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/smallest_cause.h"

#include "planner/substitute/staged_search.h"
#include "planner/substitute/substitute_search.h"

#include <algorithm>
#include <chrono>
#include <limits>

namespace shimledger::planner {

namespace {

constexpr const char* supplied_bin = "to be supplied";

/// The same request with some of the sizes short in a drawer of their own, enough for a whole target. A group
/// that lacks nothing any more may change as freely as before, so that more discs never allow less.
SubstituteRequest supplied(SubstituteRequest request, const std::vector<Shortage>& shortages) {
    const StackSpec& target = *request.target;
    for (const Shortage& shortage : shortages) {
        const DiscRow& row = target.rows()[static_cast<std::size_t>(shortage.target_row)];
        StockItem item{supplied_bin,
                       "",
                       shortage.od,
                       isRing(target.valve(), row) ? *row.ring_id : target.valve().shim_id,
                       shortage.thickness,
                       {},
                       false,
                       shortage.needed + request.rules.keep_in_stock,
                       std::numeric_limits<std::int64_t>::max(),
                       0};
        request.stock.push_back(item);
        if (!request.rules.mix_new_and_used) {
            item.used = true;
            request.stock.push_back(item);
        }
        ++request.rules.most_other_groups_changed;
    }
    return request;
}

} // namespace

SmallestCause smallestCause(const SubstituteRequest& request, double most_seconds) {
    const auto start = std::chrono::steady_clock::now();
    const std::vector<Shortage> shortages = checkAgainstStock(request);
    for (std::size_t size = 0; size <= shortages.size(); ++size) {
        SmallestCause found;
        std::vector<bool> in_cause(shortages.size(), false);
        std::fill(in_cause.begin(), in_cause.begin() + static_cast<std::ptrdiff_t>(size), true);
        do {
            std::vector<Shortage> cause, others;
            for (std::size_t i = 0; i < shortages.size(); ++i)
                (in_cause[i] ? cause : others).push_back(shortages[i]);
            SubstituteRequest lifted = supplied(request, others);
            lifted.limits.seconds =
                most_seconds -
                std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
            if (lifted.limits.seconds <= 0) return {};
            // Each of these searches is too short to ask by itself.
            if (request.progress && !request.progress({})) return {};
            const std::optional<bool> possible = anyStackPossible(lifted);
            if (!possible) return {};
            if (*possible) continue;
            found.proved = true;
            found.each_alone = !found.shortages.empty();
            found.shortages.insert(found.shortages.end(), cause.begin(), cause.end());
            if (size != 1) return found;
        } while (std::prev_permutation(in_cause.begin(), in_cause.end()));
        if (found.proved) return found;
    }
    return {};
}

} // namespace shimledger::planner
