// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/shared_terms.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/usable_stock.h"

#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// Discs that serve alike: of one size and reading, whichever bin they lie in.
struct PoolKey {
    std::optional<bool> used; ///< told apart where new and used ones are not mixed
    Length od, id, thickness; ///< nominal
    Length effective;         ///< the reading, or the nominal

    auto operator<=>(const PoolKey&) const = default;
};

using PoolUse = std::map<PoolKey, std::int64_t>;     ///< pieces, all legs
using KindCounts = std::map<KindName, std::int64_t>; ///< pieces in each stack

/// What several jobs draw on: the discs that the rules let a search touch.
class SharedPool {
public:
    /// The target and the legs of the request are not asked for.
    explicit SharedPool(const SubstituteRequest& request);

    /// What may be mixed in a stack: new ones and used ones apart, or all together.
    [[nodiscard]] const std::vector<UsableStock>& stocks() const { return m_usable; }
    [[nodiscard]] std::int64_t total(const PoolKey& key) const;
    [[nodiscard]] PoolKey keyOf(std::optional<bool> used, std::size_t stock_index) const;

    /// What the kinds take that make up a job's stacks.
    [[nodiscard]] PoolUse useOf(const KindCounts& counts, const std::vector<UsableStock>& kinds_of_job,
                                int legs) const;
    [[nodiscard]] bool fits(const PoolUse& use, const PoolUse& taken) const;

    /// Takes the pieces out of the bins, first bins first, whole rounds of all legs as far as they go, and
    /// tells which they are. Together no more than fits may be dealt.
    [[nodiscard]] std::map<KindName, KindTerms> deal(const KindCounts& counts,
                                                     const std::vector<UsableStock>& kinds_of_job, int legs);

private:
    struct Lot {
        std::size_t index = 0;
        std::int64_t left = 0;
    };

    const std::vector<StockItem>& m_stock;
    std::vector<UsableStock> m_usable;
    std::map<PoolKey, std::vector<Lot>> m_lots; ///< in walking order
    PoolUse m_total;
};

/// Of one name, as a job's search sees it.
[[nodiscard]] const DiscKind& kindNamed(const KindName& name, const std::vector<UsableStock>& kinds_of_job);

/// Pieces of each lot's key that one disc of the kind in every stack takes.
[[nodiscard]] PoolUse useOfOne(const KindName& name, const DiscKind& kind, const SharedPool& pool, int legs);

void addUse(PoolUse& sum, const PoolUse& use, std::int64_t times = 1);

} // namespace shimledger::planner
