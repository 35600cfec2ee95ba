// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/recipe_variants.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <numeric>
#include <optional>
#include <random>
#include <set>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

Length boreOf(const StackSpec& stack, const DiscRow& row) {
    return row.ring_id.value_or(stack.valve().shim_id);
}

/// The next one on either side, by chance; none where there is none.
std::optional<Length> neighbour(std::set<Length> sold, Length from, bool up) {
    sold.insert(from);
    auto place = sold.find(from);
    if (up) {
        ++place;
        return place == sold.end() ? std::nullopt : std::optional<Length>(*place);
    }
    return place == sold.begin() ? std::nullopt : std::optional<Length>(*std::prev(place));
}

/// One row changed; false where that cannot be.
bool changeRow(const StackSpec& stack, std::vector<DiscRow>& rows, const std::vector<DiscSize>& sizes,
               std::mt19937_64& generator) {
    DiscRow& row = rows[generator() % rows.size()];
    const bool up = generator() % 2 == 0;
    const auto kind = generator() % 6;
    if (kind < 3) {
        row.count += up ? 1 : -1;
        return row.count >= 1;
    }
    std::set<Length> sold;
    const Length bore = boreOf(stack, row);
    for (const DiscSize& size : sizes) {
        if (size.id != bore) continue;
        if (kind < 5 && size.od == row.od) sold.insert(size.thickness);
        if (kind == 5 && size.thickness == row.thickness) sold.insert(size.od);
    }
    const auto next = neighbour(sold, kind < 5 ? row.thickness : row.od, up);
    if (!next) return false;
    (kind < 5 ? row.thickness : row.od) = *next;
    return true;
}

/// The order of wider and narrower rows is that of before.
bool sameOrder(const std::vector<DiscRow>& a, const std::vector<DiscRow>& b) {
    for (std::size_t i = 1; i < a.size(); ++i) {
        if ((a[i - 1].od <=> a[i].od) != (b[i - 1].od <=> b[i].od)) return false;
    }
    return true;
}

} // namespace

std::vector<StackVariant> stackVariants(const std::vector<StackSpec>& stacks,
                                        const std::vector<double>& weights,
                                        const std::vector<DiscSize>& sizes, int count, std::uint64_t seed) {
    std::mt19937_64 generator(seed);
    std::vector<double> sums(weights.size());
    std::partial_sum(weights.begin(), weights.end(), sums.begin());
    std::vector<StackVariant> variants;
    if (stacks.empty() || !(sums.back() > 0)) return variants;
    const int most_tries = 60 * count;
    for (int tries = 0; tries < most_tries && variants.size() < at(count); ++tries) {
        const double u = static_cast<double>(generator() >> 11U) / 9007199254740992.0 * sums.back();
        const auto of =
            static_cast<std::size_t>(std::upper_bound(sums.begin(), sums.end(), u) - sums.begin());
        const StackSpec& stack = stacks[std::min(of, stacks.size() - 1)];
        std::vector<DiscRow> rows = stack.rows();
        const int changes = 1 + static_cast<int>(generator() % 2);
        bool good = true;
        for (int change = 0; change < changes && good; ++change)
            good = changeRow(stack, rows, sizes, generator);
        if (!good || !sameOrder(stack.rows(), rows)) continue;
        try {
            StackSpec variant(stack.valve(), rows);
            const auto same = [&](const StackSpec& other) { return other == variant; };
            const bool known = std::any_of(stacks.begin(), stacks.end(), same) ||
                               std::any_of(variants.begin(), variants.end(),
                                           [&](const StackVariant& one) { return one.stack == variant; });
            if (!known) variants.push_back({std::min(of, stacks.size() - 1), std::move(variant)});
        } catch (const InputError&) {
            continue; // no stack that can exist
        }
    }
    return variants;
}

} // namespace shimledger::planner
