// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/wish_limits.h"

#include "planner/substitute/substitute_search.h"
#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <limits>
#include <set>

namespace shimledger::planner {

namespace {

constexpr const char* plenty_bin = "plenty of it";
constexpr double least_gain = 1e-3;   // of the pressure: what is worth telling
constexpr double least_seconds = 0.2; // of one search
constexpr int more_than_now = 4;      // discs of a size beyond what the group has

SubstituteRequest withPlenty(SubstituteRequest request, const TargetGroup& group,
                             const std::vector<Length>& thicknesses) {
    for (const Length thickness : thicknesses) {
        const std::int64_t pieces = request.rules.keep_in_stock +
                                    static_cast<std::int64_t>(request.legs) * (group.discs + more_than_now);
        request.stock.push_back({plenty_bin,
                                 "",
                                 group.od,
                                 group.id,
                                 thickness,
                                 {},
                                 false,
                                 pieces,
                                 std::numeric_limits<std::int64_t>::max(), // the drawers' own come first
                                 0});
    }
    return request;
}

} // namespace

std::vector<WishLimit> wishLimits(const SubstituteRequest& request,
                                  const std::vector<Length>& known_thicknesses, double now,
                                  double most_seconds) {
    std::vector<WishLimit> limits;
    std::set<Length> seen;
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    for (const TargetGroup& group : groups) {
        if (staysAsItIs(request.rules, group) || !seen.insert(group.od).second) continue;
        SubstituteRequest later = withPlenty(request, group, known_thicknesses);
        later.limits.seconds = std::max(least_seconds, most_seconds / static_cast<double>(groups.size()));
        later.limits.proposals = 1;
        const SubstituteResult found = findSubstitutes(later);
        if (request.progress && !request.progress({})) return limits;
        if (found.proposals.empty()) continue;
        const SubstituteProposal& best = found.proposals.front();
        if (best.deviation.max_deviation > now - least_gain) continue;
        WishLimit limit{group.first_row + 1, group.od, best.deviation.max_deviation, {}};
        for (const Pull& pull : best.pulls) {
            const bool known =
                std::find(limit.sizes.begin(), limit.sizes.end(), pull.thickness) != limit.sizes.end();
            if (pull.bin == plenty_bin && !known) limit.sizes.push_back(pull.thickness);
        }
        limits.push_back(std::move(limit));
    }
    std::stable_sort(limits.begin(), limits.end(),
                     [](const WishLimit& a, const WishLimit& b) { return a.deviation < b.deviation; });
    return limits;
}

} // namespace shimledger::planner
