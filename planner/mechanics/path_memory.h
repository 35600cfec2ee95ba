// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace shimledger::planner {

/// The points of stacks that a solver followed last, so that a stack much like them starts each point from
/// the contacts and the deflections found there. Paths that begin at different points are kept apart. It
/// changes how soon a point settles, not where.
class PathMemory {
public:
    /// Starts the path of another stack.
    void begin(std::span<const GroupSums> sums) {
        m_next = 0;
        m_track = none;
        m_sums.assign(sums.begin(), sums.end());
        m_shift_known = false;
        m_contacts_alike = true;
        ++m_stacks;
    }

    /// The last stack's contacts at the coming point, null where it is unknown or this stack's contacts have
    /// been others at the point before.
    [[nodiscard]] const std::vector<char>* closed(double target) {
        if (m_next == 0) m_track = trackFrom(target);
        return m_contacts_alike && knows(target) ? &track().points[m_next].closed : nullptr;
    }

    /// Puts what the last stack's deflections suggest for the coming point into `deflection`; false, changing
    /// nothing, where the last stack is not close by.
    bool suggest(double target, std::vector<double>& deflection) const {
        if (!knows(target)) return false;
        const std::vector<double>& next = track().points[m_next].deflection;
        if (m_next == 0) {
            if (!alike(track().sums)) return false;
            deflection = next;
            return true;
        }
        if (!m_shift_known) return false;
        // Near means: from that stack to this is less than a part of the step that comes.
        constexpr double near = 0.25;
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
        if (m_next == 0) m_track = trackFrom(target);
        if (m_track == none) { // the one that lay idle longest
            const auto idle =
                std::min_element(m_tracks.begin(), m_tracks.end(),
                                 [](const Track& a, const Track& b) { return a.stack < b.stack; });
            idle->known = 0;
            m_track = idle - m_tracks.begin();
        }
        if (m_next == track().points.size()) {
            if (m_next == most_points) return;
            track().points.emplace_back();
        }
        if (m_next == 0) track().sums = m_sums;
        Point& point = track().points[m_next];
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
        track().stack = m_stacks;
        ++m_next;
        track().known = std::max(track().known, m_next);
    }

private:
    static constexpr std::size_t most_points = 64;
    static constexpr double same_target = 1e-9; // mm or MPa
    struct Point {
        double target = 0;
        std::vector<double> deflection;
        std::vector<char> closed;
    };
    struct Track {
        std::vector<GroupSums> sums; ///< of the stack that followed it last
        std::vector<Point> points;
        std::size_t known = 0;  ///< points that are valid, this stack's in front
        std::int64_t stack = 0; ///< that followed it last
    };

    static constexpr std::ptrdiff_t none = -1;

    [[nodiscard]] std::ptrdiff_t trackFrom(double target) const {
        for (std::size_t i = 0; i < m_tracks.size(); ++i) {
            const Track& known = m_tracks[i];
            if (known.known > 0 && std::abs(known.points.front().target - target) < same_target)
                return static_cast<std::ptrdiff_t>(i);
        }
        return none;
    }
    [[nodiscard]] Track& track() { return m_tracks[static_cast<std::size_t>(m_track)]; }
    [[nodiscard]] const Track& track() const { return m_tracks[static_cast<std::size_t>(m_track)]; }
    [[nodiscard]] bool knows(double target) const {
        return m_track != none && m_next < track().known &&
               std::abs(track().points[m_next].target - target) < same_target;
    }
    /// So near that a stack's first point is soon found from the other's.
    [[nodiscard]] bool alike(const std::vector<GroupSums>& other) const {
        constexpr double near = 0.15;
        const auto close = [](double a, double b) { return std::abs(a - b) < near * b; };
        for (std::size_t g = 0; g < m_sums.size(); ++g) {
            if (!close(m_sums[g].thickness_mm, other[g].thickness_mm) ||
                !close(m_sums[g].bending_n_mm, other[g].bending_n_mm) ||
                !close(m_sums[g].membrane_n_per_mm, other[g].membrane_n_per_mm))
                return false;
        }
        return true;
    }

    std::array<Track, 6> m_tracks;
    std::ptrdiff_t m_track = none; ///< of the stack in hand; none before its first point is known
    std::vector<GroupSums> m_sums;
    std::int64_t m_stacks = 1;
    std::size_t m_next = 0;
    bool m_shift_known = false;
    bool m_contacts_alike = false;
    std::vector<double> m_shift; ///< from the last stack to this one at the point just noted
};

} // namespace shimledger::planner
