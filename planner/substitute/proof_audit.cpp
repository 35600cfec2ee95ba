// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/proof_audit.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

constexpr double near_bound = 0.05; // bounds that exceed by less than this part are drawn nearly alike

bool greaterKey(const std::pair<double, ExcludedBox>& a, const std::pair<double, ExcludedBox>& b) {
    return a.first > b.first;
}

} // namespace

double ProofAudit::keyFor(double bound, double enough) {
    const double tightness = std::max(0.0, bound / std::max(enough, 1e-6) - 1);
    const double weight = 1 / (near_bound + tightness);
    const double u = (static_cast<double>(m_random() >> 11U) + 0.5) / 9007199254740992.0; // 2^53: in (0, 1)
    return std::log(u) / weight;
}

void ProofAudit::keep(double key, ExcludedBox box) {
    if (m_kept.size() >= most_kept) {
        std::pop_heap(m_kept.begin(), m_kept.end(), greaterKey);
        m_kept.pop_back();
    }
    m_kept.emplace_back(key, std::move(box));
    std::push_heap(m_kept.begin(), m_kept.end(), greaterKey);
}

std::vector<ExcludedBox> ProofAudit::boxes() const {
    std::vector<std::pair<double, ExcludedBox>> sorted = m_kept;
    std::sort(sorted.begin(), sorted.end(), greaterKey);
    std::vector<ExcludedBox> boxes;
    boxes.reserve(sorted.size());
    for (auto& [key, box] : sorted) boxes.push_back(std::move(box));
    return boxes;
}

} // namespace shimledger::planner
