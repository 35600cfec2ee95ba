// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/group_rows.h"

#include <algorithm>
#include <map>
#include <optional>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

void addGroupRows(const StackSpec& target, const TargetGroup& group, const std::vector<DiscKind>& kinds,
                  const std::vector<int>& of_kind, std::vector<ProposalRow>& rows) {
    std::map<Length, int> counts;
    for (std::size_t k = 0; k < of_kind.size(); ++k) {
        if (of_kind[k] > 0) counts[kinds[k].thickness] += of_kind[k];
    }
    std::optional<int> short_row;
    DiscRow pattern = target.rows()[at(group.first_row)];
    const bool moved = pattern.od != group.od;
    for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
        const DiscRow& wanted = target.rows()[at(row)];
        auto& left = counts[wanted.thickness];
        // The last row of a size takes all that is left of it.
        bool last_of_size = true;
        for (int later = row + 1; later < group.first_row + group.row_count; ++later) {
            last_of_size = last_of_size && target.rows()[at(later)].thickness != wanted.thickness;
        }
        const int count = last_of_size ? left : std::min(left, wanted.count);
        left -= count;
        if (count < wanted.count && !short_row) short_row = row;
        if (count == 0) continue;
        DiscRow discs = wanted;
        discs.count = count;
        discs.od = group.od;
        rows.push_back({discs, row, moved || count != wanted.count});
    }
    for (const auto& [thickness, count] : counts) {
        if (count == 0) continue;
        pattern.count = count;
        pattern.od = group.od;
        pattern.thickness = thickness;
        rows.push_back({pattern, short_row.value_or(group.first_row), true});
    }
}

} // namespace shimledger::planner
