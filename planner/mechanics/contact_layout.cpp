#include "planner/mechanics/contact_layout.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

// Edges closer than this share a node: nodes a few micrometres apart would only add rounding. The plates
// keep their own radii; only the place of contact moves by so little.
constexpr double same_edge_mm = 0.005;
constexpr double same_inner_edge_mm = 0.02; // seats and bores of rings
// A ring pushes discs apart that touch at the clamp, and rolls from one of its edges to the other. Where they
// touch is told by nodes alone, so these lie closer there: on 300 random stacks with rings the largest error
// of a pressure fell from 3.8 to 1.2 %, that in the limit of no lift from 2.3 to 1.4 %.
constexpr double clamp_zone_mm = 1;
constexpr double finer_step = 0.5; // of the usual one

void addEdge(std::vector<double>& radii, double radius, double tolerance) {
    const auto close = [&](double other) { return std::abs(other - radius) < tolerance; };
    if (std::none_of(radii.begin(), radii.end(), close)) radii.push_back(radius);
}

std::vector<double> edges(const ValveGeometry& valve, const std::vector<GroupShape>& shapes) {
    std::vector<double> radii{valve.clamp_od.millimetres() / 2};
    for (const GroupShape& shape : shapes) addEdge(radii, shape.outer_radius_mm, same_edge_mm);
    for (const GroupShape& shape : shapes) {
        if (shape.ring) addEdge(radii, shape.inner_radius_mm, same_inner_edge_mm);
    }
    if (valve.seat_diameter) addEdge(radii, valve.seat_diameter->millimetres() / 2, same_inner_edge_mm);
    std::sort(radii.begin(), radii.end());
    return radii;
}

bool isRing(const GroupShape& shape) {
    return shape.ring;
}

/// How far nodes may lie apart around `radius`, as a part of the largest step.
double stepPart(double radius, double clamp_radius, const std::vector<GroupShape>& shapes) {
    if (std::none_of(shapes.begin(), shapes.end(), isRing)) return 1;
    const bool within = std::any_of(shapes.begin(), shapes.end(), [&](const GroupShape& shape) {
        return shape.ring && radius > shape.inner_radius_mm && radius < shape.outer_radius_mm;
    });
    return within || radius < clamp_radius + clamp_zone_mm ? finer_step : 1;
}

/// The edges with steps between them; the clamp radius itself is no node.
std::vector<double> nodes(std::vector<double> edge_radii, double largest_step_mm,
                          const std::vector<GroupShape>& shapes) {
    const double clamp = edge_radii.front();
    if (std::any_of(shapes.begin(), shapes.end(), isRing) && clamp + clamp_zone_mm < edge_radii.back()) {
        addEdge(edge_radii, clamp + clamp_zone_mm, finer_step * largest_step_mm);
        std::sort(edge_radii.begin(), edge_radii.end());
    }
    std::vector<double> result;
    for (std::size_t i = 1; i < edge_radii.size(); ++i) {
        const double span = edge_radii[i] - edge_radii[i - 1];
        const double step = largest_step_mm * stepPart(edge_radii[i - 1] + span / 2, clamp, shapes);
        const int parts = std::max(1, static_cast<int>(std::ceil(span / step - 1e-9)));
        for (int part = 1; part < parts; ++part) result.push_back(edge_radii[i - 1] + span * part / parts);
        result.push_back(edge_radii[i]);
    }
    return result;
}

int nearest(const std::vector<double>& radii, double radius) {
    const auto closer = [&](double a, double b) { return std::abs(a - radius) < std::abs(b - radius); };
    return static_cast<int>(std::min_element(radii.begin(), radii.end(), closer) - radii.begin());
}

/// A ring lies on the highest of what is below it within its own breadth: not on a spacer inside its bore, or
/// the weak spring that holds a loose ring would pull it from there. Groups below have their heights already.
double heightOfRing(const ContactLayout& layout, int ring, const GroupSums* sums, const double* heights_mm) {
    double height = 0;
    for (const ContactLayout::Pair& pair : layout.pairs) {
        if (pair.upper_group == ring)
            height = std::max(height, heights_mm[pair.lower_group] + sums[pair.lower_group].thickness_mm);
    }
    return height;
}

} // namespace

ContactLayout makeContactLayout(const ValveGeometry& valve, const std::vector<GroupShape>& shapes,
                                double largest_step_mm) {
    ContactLayout layout;
    layout.node_radii_mm = nodes(edges(valve, shapes), largest_step_mm, shapes);
    int dof = 0;
    for (const GroupShape& shape : shapes) {
        const int first = shape.ring ? nearest(layout.node_radii_mm, shape.inner_radius_mm) : 0;
        const bool free_part = shape.outer_radius_mm > valve.clamp_od.millimetres() / 2 + same_edge_mm;
        const int end = free_part ? nearest(layout.node_radii_mm, shape.outer_radius_mm) + 1 : 0;
        layout.first_node.push_back(first);
        layout.node_count.push_back(std::max(0, end - first));
        layout.first_dof.push_back(dof);
        dof += layout.node_count.back();
    }
    layout.first_dof.push_back(dof);
    const int groups = layout.groupCount();
    for (int node = 0; node < static_cast<int>(layout.node_radii_mm.size()); ++node) {
        layout.chain_start.push_back(static_cast<int>(layout.pairs.size()));
        int below = -1;
        for (int g = 0; g < groups; ++g) {
            const auto group = static_cast<std::size_t>(g);
            const int local = node - layout.first_node[group];
            if (local < 0 || local >= layout.node_count[group]) continue;
            if (below >= 0) {
                const auto lower = static_cast<std::size_t>(below);
                layout.pairs.push_back({below, g, layout.first_dof[lower] + node - layout.first_node[lower],
                                        layout.first_dof[group] + local, node});
            }
            below = g;
        }
    }
    layout.chain_start.push_back(static_cast<int>(layout.pairs.size()));
    layout.edge_dof = layout.node_count.front() - 1;
    if (valve.seat_diameter)
        layout.seat_dof = nearest(layout.node_radii_mm, valve.seat_diameter->millimetres() / 2);
    return layout;
}

void restGaps(const ContactLayout& layout, const std::vector<GroupShape>& shapes, const GroupSums* sums,
              double* heights_mm, double* gaps_mm) {
    double clamp_height = 0; // top of the clamped discs so far
    for (std::size_t g = 0; g < shapes.size(); ++g) {
        heights_mm[g] = clamp_height;
        if (shapes[g].ring) {
            heights_mm[g] = heightOfRing(layout, static_cast<int>(g), sums, heights_mm);
        } else {
            clamp_height += sums[g].thickness_mm;
        }
    }
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = layout.pairs[i];
        const auto lower = static_cast<std::size_t>(pair.lower_group);
        // Sums of decimal thicknesses leave dust; a gap below a nanometre is no gap.
        const double gap =
            heights_mm[pair.upper_group] - heights_mm[pair.lower_group] - sums[lower].thickness_mm;
        gaps_mm[i] = std::abs(gap) < 1e-6 ? 0.0 : gap;
    }
}

} // namespace shimledger::planner
