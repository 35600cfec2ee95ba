// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/shared_pool.h"

#include <algorithm>
#include <stdexcept>

namespace shimledger::planner {

namespace {

/// Kept back and sorted as for a search; what is dealt to legs does not matter here.
SubstituteRequest forOneLeg(SubstituteRequest request) {
    request.legs = 1;
    return request;
}

} // namespace

SharedPool::SharedPool(const SubstituteRequest& request)
    : m_stock(request.stock), m_usable(usableStocks(forOneLeg(request))) {
    for (const UsableStock& stock : m_usable) {
        for (const auto& [index, pieces] : stock.lots()) {
            const PoolKey key = keyOf(stock.usedDiscs(), index);
            m_lots[key].push_back({index, pieces});
            m_total[key] += pieces;
        }
    }
}

std::int64_t SharedPool::total(const PoolKey& key) const {
    const auto found = m_total.find(key);
    return found == m_total.end() ? 0 : found->second;
}

PoolKey SharedPool::keyOf(std::optional<bool> used, std::size_t stock_index) const {
    const StockItem& item = m_stock[stock_index];
    return {used, item.od, item.id, item.thickness, item.measured.value_or(item.thickness)};
}

PoolUse SharedPool::useOf(const KindCounts& counts, const std::vector<UsableStock>& kinds_of_job,
                          int legs) const {
    PoolUse use;
    for (const auto& [name, count] : counts)
        addUse(use, useOfOne(name, kindNamed(name, kinds_of_job), *this, legs), count);
    return use;
}

bool SharedPool::fits(const PoolUse& use, const PoolUse& taken) const {
    return std::all_of(use.begin(), use.end(), [&](const auto& wanted) {
        const auto gone = taken.find(wanted.first);
        return wanted.second + (gone == taken.end() ? 0 : gone->second) <= total(wanted.first);
    });
}

std::map<KindName, KindTerms> SharedPool::deal(const KindCounts& counts,
                                               const std::vector<UsableStock>& kinds_of_job, int legs) {
    std::map<KindName, KindTerms> dealt;
    for (const auto& [name, count] : counts) {
        KindTerms& terms = dealt[name];
        terms.most_per_stack = count;
        for (const auto& [key, pieces_each] : useOfOne(name, kindNamed(name, kinds_of_job), *this, legs)) {
            std::int64_t wanted = pieces_each * count;
            std::vector<Lot>& lots = m_lots.at(key);
            const auto take = [&](Lot& lot, std::int64_t pieces) {
                if (pieces <= 0) return;
                lot.left -= pieces;
                wanted -= pieces;
                const auto same = std::find_if(terms.lots.begin(), terms.lots.end(),
                                               [&](const auto& other) { return other.first == lot.index; });
                if (same == terms.lots.end())
                    terms.lots.emplace_back(lot.index, pieces);
                else
                    same->second += pieces;
            };
            for (Lot& lot : lots) take(lot, std::min(lot.left / legs, wanted / legs) * legs);
            for (Lot& lot : lots) take(lot, std::min(lot.left, wanted));
            if (wanted > 0) throw std::logic_error("more discs were dealt to jobs than there are");
        }
    }
    return dealt;
}

const DiscKind& kindNamed(const KindName& name, const std::vector<UsableStock>& kinds_of_job) {
    const auto stock = std::find_if(kinds_of_job.begin(), kinds_of_job.end(),
                                    [&](const UsableStock& other) { return other.usedDiscs() == name.used; });
    if (stock == kinds_of_job.end()) throw std::logic_error("no such stock to name a kind of disc of");
    return stock->kinds(name.od, name.id).at(name.index);
}

PoolUse useOfOne(const KindName& name, const DiscKind& kind, const SharedPool& pool, int legs) {
    PoolUse use;
    if (!kind.mixed) {
        use[pool.keyOf(name.used, kind.lots.front().first)] = legs;
    } else {
        for (const auto& [index, pieces] : kind.lots) use[pool.keyOf(name.used, index)] += pieces;
    }
    return use;
}

void addUse(PoolUse& sum, const PoolUse& use, std::int64_t times) {
    for (const auto& [key, pieces] : use) sum[key] += times * pieces;
}

} // namespace shimledger::planner
