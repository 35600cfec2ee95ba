// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_stability.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace shimledger::planner {

namespace {

constexpr int inverse_iterations = 6; // about a state next to the neutral one, where two would do

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

LobedStability::LobedStability(const LiftModel& model, const std::vector<GroupSums>& sums)
    : m_model(model), m_sums(sums) {
    const ContactLayout& layout = model.layout();
    for (int g = 0; g < layout.groupCount(); ++g) {
        m_groups.emplace_back();
        if (const PlateTables* tables = model.tables(g))
            m_groups.back().emplace(*tables, model.shapes()[at(g)]);
    }
    const auto freedoms = at(2 * layout.dofCount());
    m_unknown.resize(freedoms);
    m_master.resize(freedoms);
    m_first.resize(freedoms);
    m_solution.resize(freedoms);
    m_system.reserve(2 * layout.dofCount());
}

void LobedStability::setState(const StackState& state, const std::vector<char>& pressing) {
    const ContactLayout& layout = m_model.layout();
    for (int g = 0; g < layout.groupCount(); ++g) {
        if (!m_groups[at(g)]) continue;
        m_round.take(*m_model.tables(g), m_model.shapes()[at(g)].ring,
                     state.deflection_mm.data() + layout.first_dof[at(g)], m_sums[at(g)].membrane_n_per_mm);
        m_groups[at(g)]->setState(m_round, m_sums[at(g)]);
    }
    setContacts(pressing);
}

/// Of a dof's two freedoms the slope comes first, so that the deflection of the face's rim, the last dof of
/// the group that is numbered last, is the last unknown.
int LobedStability::unknownOf(int group, int freedom) const {
    const int dof = m_model.layout().first_dof[at(group)] + freedom / 2;
    return m_unknown[at(2 * dof + freedom % 2)];
}

/// Pressing nodes share their deflection, which is numbered with the group nearest the face. Groups are
/// numbered from the clamp side towards the face, so the envelope holds a group and what it touches, no more.
void LobedStability::setContacts(const std::vector<char>& pressing) {
    const ContactLayout& layout = m_model.layout();
    for (int dof = 0; dof < layout.dofCount(); ++dof) m_master[at(dof)] = dof;
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) { // lower pairs of a chain come first
        if (!pressing[i]) continue;
        m_master[at(layout.pairs[i].upper_dof)] = m_master[at(layout.pairs[i].lower_dof)];
    }
    m_unknowns = 0;
    for (int g = layout.groupCount() - 1; g >= 0; --g) {
        for (int dof = layout.first_dof[at(g)]; dof < layout.first_dof[at(g + 1)]; ++dof) {
            m_unknown[at(2 * dof + 1)] = m_unknowns++;
            if (m_master[at(dof)] == dof) m_unknown[at(2 * dof)] = m_unknowns++;
        }
    }
    for (int dof = 0; dof < layout.dofCount(); ++dof)
        m_unknown[at(2 * dof)] = m_unknown[at(2 * m_master[at(dof)])];
    for (int i = 0; i < m_unknowns; ++i) m_first[at(i)] = i;
    for (int g = 0; g < layout.groupCount(); ++g) {
        int least = m_unknowns;
        const int begin = 2 * layout.first_dof[at(g)], end = 2 * layout.first_dof[at(g + 1)];
        for (int i = begin; i < end; ++i) least = std::min(least, m_unknown[at(i)]);
        for (int i = begin; i < end; ++i) {
            int& first = m_first[at(m_unknown[at(i)])];
            first = std::min(first, least);
        }
    }
}

bool LobedStability::factor(int lobes) {
    const ContactLayout& layout = m_model.layout();
    m_system.reset(m_first, m_unknowns);
    for (int g = 0; g < layout.groupCount(); ++g) {
        if (!m_groups[at(g)]) continue;
        LobedGroup& group = *m_groups[at(g)];
        group.evaluate(lobes, m_matrix);
        const int* unknown = m_unknown.data() + 2 * layout.first_dof[at(g)];
        for (int i = 0; i < group.size(); ++i) {
            const double* row = m_matrix.data() + i * group.size();
            for (int j = 0; j <= i; ++j)
                m_system.at(std::max(unknown[i], unknown[j]), std::min(unknown[i], unknown[j])) += row[j];
        }
    }
    return m_system.factor();
}

LobedStability::Hold LobedStability::hold(int lobes) {
    if (!factor(lobes)) return {};
    const int negative = m_system.negativePivots();
    const double last = m_system.lastPivot();
    Hold hold{negative == 0, {}};
    if (negative == 0 || (negative == 1 && last < 0)) hold.rim_stiffness = last;
    return hold;
}

bool LobedStability::surelyStable(int lobes) {
    return std::all_of(m_groups.begin(), m_groups.end(), [&](std::optional<LobedGroup>& group) {
        return !group || group->surelyStable(lobes);
    });
}

int LobedStability::softestGroup(int lobes) {
    if (!factor(lobes)) return 0;
    std::fill_n(m_solution.begin(), m_unknowns, 1.0);
    for (int i = 0; i < inverse_iterations; ++i) {
        m_system.solve(m_solution.data());
        double largest = 0;
        for (int j = 0; j < m_unknowns; ++j) largest = std::max(largest, std::abs(m_solution[at(j)]));
        if (!(largest > 0)) return 0;
        for (int j = 0; j < m_unknowns; ++j) m_solution[at(j)] /= largest;
    }
    int softest = 0;
    double most = 0;
    const ContactLayout& layout = m_model.layout();
    for (int g = 0; g < layout.groupCount(); ++g) {
        for (int freedom = 0; freedom < 2 * layout.node_count[at(g)]; freedom += 2) {
            const double value = std::abs(m_solution[at(unknownOf(g, freedom))]);
            if (value > 1.0001 * most) {
                most = value;
                softest = g;
            }
        }
    }
    return softest;
}

} // namespace shimledger::planner
