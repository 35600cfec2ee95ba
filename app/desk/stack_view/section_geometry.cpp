// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/section_geometry.h"

#include <algorithm>
#include <array>
#include <optional>

namespace shimledger::desk {

namespace {

using planner::DiscShape;

/// Deflection between the computed radii; 0 inside the clamp, none outside the disc.
std::optional<double> deflectionAt(const DiscShape& shape, double radius_mm) {
    if (shape.radii_mm.empty() || radius_mm > shape.radii_mm.back() + 1e-9) {
        return std::nullopt;
    }
    if (radius_mm <= shape.radii_mm.front()) {
        return shape.deflection_mm.front();
    }
    const auto above = std::ranges::lower_bound(shape.radii_mm, radius_mm);
    const auto i =
        static_cast<std::size_t>(std::min(above, shape.radii_mm.end() - 1) - shape.radii_mm.begin());
    const double step = shape.radii_mm[i] - shape.radii_mm[i - 1];
    const double part = step > 0 ? (radius_mm - shape.radii_mm[i - 1]) / step : 0;
    return shape.deflection_mm[i - 1] + part * (shape.deflection_mm[i] - shape.deflection_mm[i - 1]);
}

/// Lower faces of the rows at rest. A ring lies on what is below it and adds nothing to the clamped height.
std::vector<double> restHeights(const planner::StackSpec& stack) {
    std::vector<double> heights;
    double height = 0;
    for (const planner::DiscRow& row : stack.rows()) {
        heights.push_back(height);
        if (!planner::isRing(stack.valve(), row)) {
            height += row.count * row.thickness.millimetres();
        }
    }
    return heights;
}

QPolygonF outlineOf(const DiscShape& shape, double bore_radius, double outer_radius, double lower,
                    double thickness) {
    QPolygonF outline;
    outline << QPointF(bore_radius, lower);
    for (std::size_t i = 0; i < shape.radii_mm.size(); ++i) {
        outline << QPointF(shape.radii_mm[i], lower + shape.deflection_mm[i]);
    }
    if (shape.radii_mm.empty()) {
        outline << QPointF(outer_radius, lower);
    }
    const auto count = outline.size();
    for (auto i = count; i-- > 0;) {
        outline << QPointF(outline[i].x(), outline[i].y() + thickness);
    }
    return outline;
}

struct RowSection {
    DiscShape shape;
    double rest = 0;
    double thick = 0; ///< all discs of the row
};

/// Adjacent rows meet where the gap that the shapes leave is shut. A micrometre is far below what is drawn.
void findTouches(const planner::StackSpec& stack, const std::vector<RowSection>& rows,
                 SectionGeometry& section) {
    constexpr double shut_mm = 0.001;
    const double clamp_radius = stack.valve().clamp_od.millimetres() / 2;
    for (std::size_t lower = 0; lower < rows.size(); ++lower) {
        const auto& radii = rows[lower].shape.radii_mm;
        for (std::size_t upper = lower + 1; upper < rows.size() && !radii.empty(); ++upper) {
            const auto& above = rows[upper].shape.radii_mm;
            if (above.empty()) {
                continue;
            }
            const double radius = std::min(radii.back(), above.back());
            if (radius <= clamp_radius) {
                continue;
            }
            const double top =
                rows[lower].rest + rows[lower].thick + deflectionAt(rows[lower].shape, radius).value_or(0);
            const double underside = rows[upper].rest + deflectionAt(rows[upper].shape, radius).value_or(0);
            const bool hidden = std::any_of(
                rows.begin() + static_cast<std::ptrdiff_t>(lower) + 1,
                rows.begin() + static_cast<std::ptrdiff_t>(upper), [radius](const RowSection& between) {
                    return !between.shape.radii_mm.empty() && between.shape.radii_mm.back() >= radius - 1e-9;
                });
            if (!hidden && underside - top < shut_mm) {
                section.touches.push_back({static_cast<int>(lower), static_cast<int>(upper), {radius, top}});
            }
        }
    }
}

} // namespace

SectionGeometry sectionGeometry(const planner::StackSpec& stack, const std::vector<DiscShape>& shapes) {
    SectionGeometry section;
    section.height_mm = stack.height().millimetres();
    const std::vector<double> rest = restHeights(stack);
    std::vector<RowSection> sections;
    for (std::size_t i = 0; i < stack.rows().size(); ++i) {
        const planner::DiscRow& row = stack.rows()[i];
        const double outer = row.od.millimetres() / 2;
        const double bore = row.ring_id.value_or(stack.valve().shim_id).millimetres() / 2;
        const double thickness = row.thickness.millimetres();
        RowSection part{i < shapes.size() ? shapes[i] : DiscShape{}, rest[i], row.count * thickness};
        if (part.shape.radii_mm.empty()) {
            part.shape = {{bore, outer}, {0.0, 0.0}, rest[i]};
        }
        if (i < shapes.size() && !shapes[i].radii_mm.empty()) {
            part.rest = shapes[i].rest_height_mm;
        }
        for (int disc = 0; disc < row.count; ++disc) {
            section.discs.push_back(
                {static_cast<int>(i),
                 outlineOf(part.shape, bore, outer, part.rest + disc * thickness, thickness)});
            section.top_mm = std::max(section.top_mm, section.discs.back().outline.boundingRect().bottom());
        }
        section.outer_radius_mm = std::max(section.outer_radius_mm, outer);
        sections.push_back(std::move(part));
    }
    findTouches(stack, sections, section);
    return section;
}

int heightFactor(double height_mm, double pixels_per_mm, double available_pixels) {
    constexpr std::array series = {1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30};
    int best = series.front();
    for (const int factor : series) {
        if (height_mm * pixels_per_mm * factor <= available_pixels) {
            best = factor;
        }
    }
    return best;
}

} // namespace shimledger::desk
