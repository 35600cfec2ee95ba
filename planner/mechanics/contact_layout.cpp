// SPDX-License-Identifier: GPL-3.0-or-later
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
/// Of the usual step; a quarter of a millimetre on both of the usual grids.
constexpr double finerStep(double largest_step_mm) {
    return largest_step_mm > 0.5 ? 0.36 : 0.5;
}
// The face presses on what backs it up to a hair inside the port's end and leaves it there, over a length far
// below the usual step. Only the groups nearest to the port feel where: with three of them 360 random stacks
// had at most 0.9 % of lift in error, with two 1.7 %, with evenly spaced nodes alone 14 %.
constexpr int groups_at_port = 3;

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
double stepPart(double radius, double clamp_radius, double finer_step,
                const std::vector<GroupShape>& shapes) {
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
        addEdge(edge_radii, clamp + clamp_zone_mm, finerStep(largest_step_mm) * largest_step_mm);
        std::sort(edge_radii.begin(), edge_radii.end());
    }
    std::vector<double> result;
    for (std::size_t i = 1; i < edge_radii.size(); ++i) {
        const double span = edge_radii[i] - edge_radii[i - 1];
        const double step = largest_step_mm *
                            stepPart(edge_radii[i - 1] + span / 2, clamp, finerStep(largest_step_mm), shapes);
        const int parts = std::max(1, static_cast<int>(std::ceil(span / step - 1e-9)));
        for (int part = 1; part < parts; ++part) result.push_back(edge_radii[i - 1] + span * part / parts);
        result.push_back(edge_radii[i]);
    }
    return result;
}

struct Node {
    double radius_mm = 0;
    bool front_only = false; ///< only the front groups have it
};

/// The way along the radius in steps that are `nearest_mm` long where the port ends and longer by `growth` mm
/// a mm of distance from there: the integral of 1 / step.
struct PortSteps {
    double port_radius_mm, nearest_mm, growth;

    [[nodiscard]] double stepsTo(double radius) const {
        const double away = radius - port_radius_mm;
        return std::copysign(std::log1p(growth * std::abs(away) / nearest_mm) / growth, away);
    }
    [[nodiscard]] double radiusAt(double steps) const {
        return port_radius_mm +
               std::copysign(std::expm1(growth * std::abs(steps)) * nearest_mm / growth, steps);
    }
};

/// Between the nodes of all groups those of the front groups.
std::vector<Node> withPortNodes(const std::vector<double>& common_mm, const ValveGeometry& valve,
                                const GridOptions& grid) {
    const PortSteps steps{valve.port_outer_diameter.millimetres() / 2, grid.port_step_mm, grid.port_growth};
    std::vector<Node> result;
    double before = valve.clamp_od.millimetres() / 2;
    for (const double radius : common_mm) {
        const double from = grid.port_step_mm > 0 ? steps.stepsTo(before) : 0;
        const double to = grid.port_step_mm > 0 ? steps.stepsTo(radius) : 0;
        const auto parts = std::lround(to - from);
        for (long part = 1; part < parts; ++part) {
            const double share = static_cast<double>(part) / static_cast<double>(parts);
            result.push_back({steps.radiusAt(from + share * (to - from)), true});
        }
        result.push_back({radius, false});
        before = radius;
    }
    return result;
}

/// How many groups in front have those: up to the last of the few nearest to the face where the port ends.
int frontGroups(const ValveGeometry& valve, const std::vector<GroupShape>& shapes) {
    const double port_radius = valve.port_outer_diameter.millimetres() / 2;
    int there = 0;
    for (std::size_t g = 0; g < shapes.size(); ++g) {
        if (shapes[g].outer_radius_mm > port_radius - same_edge_mm && ++there == groups_at_port)
            return static_cast<int>(g) + 1;
    }
    return static_cast<int>(shapes.size());
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

std::vector<double> ContactLayout::radiiOfGroup(int group) const {
    std::vector<double> radii;
    for (const int node : group_nodes[static_cast<std::size_t>(group)])
        radii.push_back(node_radii_mm[static_cast<std::size_t>(node)]);
    return radii;
}

ContactLayout makeContactLayout(const ValveGeometry& valve, const std::vector<GroupShape>& shapes,
                                const GridOptions& grid) {
    ContactLayout layout;
    const std::vector<Node> all =
        withPortNodes(nodes(edges(valve, shapes), grid.largest_step_mm, shapes), valve, grid);
    for (const Node& node : all) layout.node_radii_mm.push_back(node.radius_mm);
    const int front = frontGroups(valve, shapes);
    int dof = 0;
    for (std::size_t g = 0; g < shapes.size(); ++g) {
        const GroupShape& shape = shapes[g];
        const int first = shape.ring ? nearest(layout.node_radii_mm, shape.inner_radius_mm) : 0;
        const bool free_part = shape.outer_radius_mm > valve.clamp_od.millimetres() / 2 + same_edge_mm;
        const int end = free_part ? nearest(layout.node_radii_mm, shape.outer_radius_mm) + 1 : 0;
        std::vector<int> own;
        for (int node = first; node < end; ++node) {
            if (static_cast<int>(g) < front || !all[static_cast<std::size_t>(node)].front_only)
                own.push_back(node);
        }
        layout.node_count.push_back(static_cast<int>(own.size()));
        layout.group_nodes.push_back(std::move(own));
        layout.first_dof.push_back(dof);
        dof += layout.node_count.back();
    }
    layout.first_dof.push_back(dof);
    std::vector<int> reached(shapes.size(), 0); // nodes of each group that were met
    for (int node = 0; node < static_cast<int>(layout.node_radii_mm.size()); ++node) {
        layout.chain_start.push_back(static_cast<int>(layout.pairs.size()));
        int below = -1, below_dof = -1;
        for (int g = 0; g < layout.groupCount(); ++g) {
            const auto group = static_cast<std::size_t>(g);
            const auto local = static_cast<std::size_t>(reached[group]);
            const std::vector<int>& own = layout.group_nodes[group];
            if (local >= own.size() || own[local] != node) continue;
            const int own_dof = layout.first_dof[group] + reached[group]++;
            if (below >= 0) layout.pairs.push_back({below, g, below_dof, own_dof, node});
            below = g;
            below_dof = own_dof;
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
