#include "planner/mechanics/contact_layout.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

// Edges closer than this share a node: nodes a few micrometres apart would only add rounding. The plates
// keep their own radii; only the place of contact moves by so little.
constexpr double same_edge_mm = 0.005;
constexpr double same_inner_edge_mm = 0.02; // seats and bores of rings

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

/// The edges with steps between them; the clamp radius itself is no node.
std::vector<double> nodes(const std::vector<double>& edge_radii, double largest_step_mm) {
    std::vector<double> result;
    for (std::size_t i = 1; i < edge_radii.size(); ++i) {
        const double span = edge_radii[i] - edge_radii[i - 1];
        const int parts = std::max(1, static_cast<int>(std::ceil(span / largest_step_mm - 1e-9)));
        for (int part = 1; part < parts; ++part) result.push_back(edge_radii[i - 1] + span * part / parts);
        result.push_back(edge_radii[i]);
    }
    return result;
}

int nearest(const std::vector<double>& radii, double radius) {
    const auto closer = [&](double a, double b) { return std::abs(a - radius) < std::abs(b - radius); };
    return static_cast<int>(std::min_element(radii.begin(), radii.end(), closer) - radii.begin());
}

} // namespace

ContactLayout makeContactLayout(const ValveGeometry& valve, const std::vector<GroupShape>& shapes,
                                double largest_step_mm) {
    ContactLayout layout;
    layout.node_radii_mm = nodes(edges(valve, shapes), largest_step_mm);
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
    double top = 0;          // top of the last group, ring or not
    for (std::size_t g = 0; g < shapes.size(); ++g) {
        if (shapes[g].ring) {
            heights_mm[g] = top;
            top += sums[g].thickness_mm;
        } else {
            heights_mm[g] = clamp_height;
            clamp_height += sums[g].thickness_mm;
            top = clamp_height;
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
