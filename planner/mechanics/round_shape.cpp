// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/round_shape.h"

#include <cstddef>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

int finePerPlace(const PlateTables& tables, bool ring) {
    const int intervals = tables.node_count - (ring ? 1 : 0);
    return (static_cast<int>(tables.fine_radii_mm.size()) - 1) / intervals;
}

void RoundShape::take(const PlateTables& tables, bool ring, const double* nodal_deflection,
                      double membrane_n_per_mm) {
    const int nodes = tables.node_count;
    const int clamp = ring ? 0 : 1;
    const int step = finePerPlace(tables, ring);
    deflection_mm.assign(at(nodes + clamp), 0.0);
    slope.assign(at(nodes + clamp), 0.0);
    for (int place = clamp; place < nodes + clamp; ++place) {
        deflection_mm[at(place)] = nodal_deflection[place - clamp];
        const double* of_nodes = tables.slope.data() + place * step * nodes;
        double sum = 0;
        for (int j = 0; j < nodes; ++j) sum += of_nodes[j] * nodal_deflection[j];
        slope[at(place)] = sum;
    }
    radial_force.clear();
    if (membrane_n_per_mm <= 0) return;
    const std::vector<double> amplitudes = tables.membraneAmplitudes(nodal_deflection);
    for (int half = 0; half <= 2 * (nodes + clamp - 1); ++half)
        radial_force.push_back(membrane_n_per_mm * tables.radialForce(amplitudes, at(half * step / 2)));
}

} // namespace shimledger::planner
