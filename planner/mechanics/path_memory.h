#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// The points of the last stack that a solver followed, so that a stack much like it starts each point from
/// the contacts and the deflections found there. It changes how soon a point settles, not where.
class PathMemory {
public:
    /// Starts the path of another stack; `kind` tells apart what may not be mixed (regime, what is
    /// controlled).
    void begin(int kind) {
        if (kind != m_kind) m_known = 0;
        m_kind = kind;
        m_next = 0;
        m_shift_known = false;
        m_contacts_alike = true;
    }

    /// The last stack's contacts at the coming point, null where it is unknown or this stack's contacts have
    /// been others at the point before.
    [[nodiscard]] const std::vector<char>* closed(double target) const {
        return m_contacts_alike && knows(target) ? &m_points[m_next].closed : nullptr;
    }

    /// Puts what the last stack's deflections suggest for the coming point into `deflection`; false, changing
    /// nothing, where the last stack is not close by.
    bool suggest(double target, std::vector<double>& deflection) const {
        if (!m_shift_known || !knows(target)) return false;
        // Near means: from that stack to this is less than a part of the step that comes.
        constexpr double near = 0.25;
        const std::vector<double>& next = m_points[m_next].deflection;
        double step = 0, shift = 0;
        for (std::size_t i = 0; i < next.size(); ++i) {
            shift = std::max(shift, std::abs(m_shift[i]));
            step = std::max(step, std::abs(next[i] - (deflection[i] - m_shift[i])));
        }
        if (!(shift < near * step)) return false;
        for (std::size_t i = 0; i < next.size(); ++i) deflection[i] = next[i] + m_shift[i];
        return true;
    }

    /// Notes a settled point of this stack in the place of the last one's.
    void note(double target, const std::vector<double>& deflection, const std::vector<char>& closed) {
        if (m_next == m_points.size()) {
            if (m_next == most_points) return;
            m_points.emplace_back();
        }
        Point& point = m_points[m_next];
        m_shift_known = knows(target);
        m_shift.resize(deflection.size());
        if (m_shift_known) {
            for (std::size_t i = 0; i < deflection.size(); ++i)
                m_shift[i] = deflection[i] - point.deflection[i];
        }
        m_contacts_alike = m_shift_known && point.closed == closed;
        point.target = target;
        point.deflection = deflection;
        point.closed = closed;
        ++m_next;
        m_known = std::max(m_known, m_next);
    }

private:
    static constexpr std::size_t most_points = 64;
    static constexpr double same_target = 1e-9; // mm or MPa
    struct Point {
        double target = 0;
        std::vector<double> deflection;
        std::vector<char> closed;
    };
    [[nodiscard]] bool knows(double target) const {
        return m_next < m_known && std::abs(m_points[m_next].target - target) < same_target;
    }

    int m_kind = -1;
    std::size_t m_known = 0; ///< points of the path that are valid, this stack's in front
    std::size_t m_next = 0;
    bool m_shift_known = false;
    bool m_contacts_alike = false;
    std::vector<double> m_shift; ///< from the last stack to this one at the point just noted
    std::vector<Point> m_points;
};

} // namespace shimledger::planner
