// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/usable_stock.h"

#include <algorithm>
#include <tuple>

namespace shimledger::planner {

namespace {

/// Lots of one size, walking order first, less what must stay in the drawers (taken from the last bins).
using Lots = std::vector<std::pair<std::size_t, std::int64_t>>;

double cube(double x) {
    return x * x * x;
}

void keepBack(Lots& lots, std::int64_t keep) {
    for (auto lot = lots.rbegin(); lot != lots.rend() && keep > 0; ++lot) {
        const std::int64_t kept = std::min(keep, lot->second);
        lot->second -= kept;
        keep -= kept;
    }
    std::erase_if(lots, [](const auto& lot) { return lot.second <= 0; });
}

/// The kinds of one size. Lots without a reading are one kind; each different reading is one of its own.
std::vector<DiscKind> kindsOfSize(const SubstituteRequest& request, const Lots& lots) {
    std::vector<DiscKind> kinds;
    for (const auto& [index, pieces] : lots) {
        const StockItem& item = request.stock[index];
        const double effective = item.measured.value_or(item.thickness).millimetres();
        auto kind = std::find_if(kinds.begin(), kinds.end(),
                                 [&](const DiscKind& other) { return other.effective_mm == effective; });
        if (kind == kinds.end()) {
            kinds.emplace_back();
            kind = kinds.end() - 1;
            kind->thickness = item.thickness;
            kind->effective_mm = effective;
            kind->effective_cube_mm3 = cube(effective);
            kind->unit_cost = item.replacement_cost;
        }
        kind->unit_cost = std::max(kind->unit_cost, item.replacement_cost);
        kind->lots.emplace_back(index, pieces);
    }
    if (kinds.size() < 2) return kinds;
    // What does not go round all legs alike is left over from each kind ...
    std::vector<std::pair<std::size_t, double>> rest; // stock index and thickness, piece by piece
    std::int64_t cost = 0;
    for (DiscKind& kind : kinds) {
        std::int64_t total = 0;
        for (const auto& lot : kind.lots) total += lot.second;
        std::int64_t odd = total % request.legs;
        cost = std::max(cost, kind.unit_cost);
        for (auto lot = kind.lots.rbegin(); lot != kind.lots.rend() && odd > 0; ++lot) {
            const std::int64_t taken = std::min(odd, lot->second);
            rest.insert(rest.end(), static_cast<std::size_t>(taken), {lot->first, kind.effective_mm});
            lot->second -= taken;
            odd -= taken;
        }
        std::erase_if(kind.lots, [](const auto& lot) { return lot.second <= 0; });
    }
    // ... and makes mixed kinds of one piece a leg, so that their mean is that of the very pieces pulled.
    const auto legs = static_cast<std::size_t>(request.legs);
    for (std::size_t first = 0; first + legs <= rest.size(); first += legs) {
        DiscKind mixed;
        mixed.thickness = kinds.front().thickness;
        mixed.unit_cost = cost;
        mixed.mixed = true;
        for (std::size_t piece = first; piece < first + legs; ++piece) {
            mixed.pieces_mm.push_back(rest[piece].second);
            mixed.effective_mm += rest[piece].second / static_cast<double>(legs);
            mixed.effective_cube_mm3 += cube(rest[piece].second) / static_cast<double>(legs);
            if (!mixed.lots.empty() && mixed.lots.back().first == rest[piece].first) {
                ++mixed.lots.back().second;
            } else {
                mixed.lots.emplace_back(rest[piece].first, 1);
            }
        }
        kinds.push_back(std::move(mixed));
    }
    return kinds;
}

} // namespace

UsableStock::UsableStock(const SubstituteRequest& request, std::optional<bool> used_discs,
                         const SharedTerms* terms)
    : m_used_discs(used_discs) {
    std::map<Outline, std::map<Length, Lots>> lots;
    const auto& left_alone = request.rules.bins_left_alone;
    for (std::size_t i = 0; i < request.stock.size(); ++i) {
        const StockItem& item = request.stock[i];
        if (item.available <= 0 || (used_discs && item.used != *used_discs)) continue;
        if (request.rules.only_new && item.used) continue;
        if (std::find(left_alone.begin(), left_alone.end(), item.bin) != left_alone.end()) continue;
        lots[{item.od, item.id}][item.thickness].emplace_back(i, item.available);
    }
    for (auto& [outline, sizes] : lots) {
        std::vector<DiscKind>& kinds = m_kinds[outline];
        for (auto& [thickness, of_size] : sizes) {
            std::sort(of_size.begin(), of_size.end(), [&](const auto& a, const auto& b) {
                const StockItem& x = request.stock[a.first];
                const StockItem& y = request.stock[b.first];
                return std::tie(x.walking_order, x.bin, x.used, a.first) <
                       std::tie(y.walking_order, y.bin, y.used, b.first);
            });
            keepBack(of_size, request.rules.keep_in_stock);
            for (const auto& lot : of_size) m_pieces[outline][thickness] += lot.second;
            m_lots.insert(m_lots.end(), of_size.begin(), of_size.end());
            for (DiscKind& kind : kindsOfSize(request, of_size)) {
                std::int64_t total = 0;
                for (const auto& lot : kind.lots) total += lot.second;
                kind.per_stack = kind.per_stack_alone = total / request.legs;
                if (kind.per_stack > 0) kinds.push_back(std::move(kind));
            }
        }
    }
    if (!terms) return;
    for (const auto& [name, left] : terms->kinds) {
        if (name.used != used_discs) continue;
        DiscKind& kind = m_kinds.at({name.od, name.id}).at(name.index);
        kind.per_stack = std::min(kind.per_stack, left.most_per_stack);
        if (!left.lots.empty()) kind.lots = left.lots;
    }
}

const std::vector<DiscKind>& UsableStock::kinds(Length od, Length id) const {
    static const std::vector<DiscKind> none; // immutable
    const auto found = m_kinds.find({od, id});
    return found == m_kinds.end() ? none : found->second;
}

std::int64_t UsableStock::pieces(Length od, Length id, Length thickness) const {
    const auto outline = m_pieces.find({od, id});
    if (outline == m_pieces.end()) return 0;
    const auto size = outline->second.find(thickness);
    return size == outline->second.end() ? 0 : size->second;
}

std::int64_t UsableStock::pieces(Length od, Length id) const {
    std::int64_t total = 0;
    const auto outline = m_pieces.find({od, id});
    if (outline == m_pieces.end()) return 0;
    for (const auto& [thickness, held] : outline->second) total += held;
    return total;
}

std::vector<Length> UsableStock::ods(Length id) const {
    std::vector<Length> result;
    for (const auto& [outline, kinds] : m_kinds) {
        if (outline.id == id && !kinds.empty()) result.push_back(outline.od);
    }
    return result;
}

std::vector<KindName> UsableStock::names() const {
    std::vector<KindName> names;
    for (const auto& [outline, kinds] : m_kinds) {
        for (std::size_t k = 0; k < kinds.size(); ++k)
            names.push_back({m_used_discs, outline.od, outline.id, k});
    }
    return names;
}

std::vector<UsableStock> usableStocks(const SubstituteRequest& request, const SharedTerms* terms) {
    std::vector<UsableStock> stocks;
    if (request.rules.only_new) {
        stocks.emplace_back(request, false, terms);
    } else if (request.rules.mix_new_and_used) {
        stocks.emplace_back(request, std::nullopt, terms);
    } else {
        stocks.emplace_back(request, false, terms);
        stocks.emplace_back(request, true, terms);
    }
    return stocks;
}

} // namespace shimledger::planner
