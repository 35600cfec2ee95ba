// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/proposal_scatter.h"

#include <cmath>
#include <cstddef>

namespace shimledger::planner {

namespace {

/// The lots that a row's discs come from; rows of one size share theirs.
struct RowLots {
    double pieces = 0;
    double mean_mm = 0;
    double variance_mm2 = 0; ///< between discs, within and across the lots
    bool all_measured = true;
    bool all_spread = true;
};

RowLots lotsOf(const SubstituteProposal& proposal, const DiscRow& row) {
    RowLots lots;
    const auto forEach = [&](auto use) {
        for (const Pull& pull : proposal.pulls) {
            if (pull.od != row.od || pull.thickness != row.thickness || pull.quantity <= 0) continue;
            use(pull, static_cast<double>(pull.quantity),
                pull.measured.value_or(pull.thickness).millimetres());
        }
    };
    forEach([&](const Pull& pull, double pieces, double mean_mm) {
        lots.pieces += pieces;
        lots.mean_mm += pieces * mean_mm;
        lots.all_measured = lots.all_measured && pull.measured.has_value();
        lots.all_spread = lots.all_spread && pull.reading_spread_mm > 0;
    });
    if (lots.pieces <= 0) return {0, row.thickness.millimetres(), 0, false, false};
    lots.mean_mm /= lots.pieces;
    forEach([&](const Pull& pull, double pieces, double mean_mm) {
        const double off = mean_mm - lots.mean_mm;
        lots.variance_mm2 +=
            pieces * (pull.reading_spread_mm * pull.reading_spread_mm + off * off) / lots.pieces;
    });
    return lots;
}

} // namespace

std::vector<RowThickness> rowThicknesses(const SubstituteProposal& proposal) {
    std::vector<RowThickness> thicknesses;
    for (const ProposalRow& row : proposal.rows) {
        const RowLots lots = lotsOf(proposal, row.row);
        RowThickness thickness;
        thickness.nominal_mm = row.row.thickness.millimetres();
        if (lots.all_measured) thickness.measured_mm = lots.mean_mm;
        if (lots.all_spread) thickness.reading_spread_mm = std::sqrt(lots.variance_mm2);
        thicknesses.push_back(thickness);
    }
    return thicknesses;
}

std::optional<ScatterBand> proposalScatter(const SubstituteRequest& request,
                                           const SubstituteProposal& proposal) {
    std::vector<DiscRow> rows;
    for (const ProposalRow& row : proposal.rows) {
        rows.push_back(row.row);
        // Where only some lots were read the curve follows their mean, the band the tolerance.
        rows.back().thickness =
            Length::fromMicrometres(std::llround(1000 * lotsOf(proposal, row.row).mean_mm));
    }
    const StackSpec built(request.target->valve(), std::move(rows));
    return scatterBand(built, rowThicknesses(proposal), proposal.lifts_mm, request.rules.tolerance,
                       request.rules.regime);
}

void judgeScatter(const SubstituteRequest& request, std::vector<SubstituteProposal>& proposals) {
    if (proposals.empty()) return;
    const std::vector<double>& lifts_mm = proposals.front().lifts_mm;
    const std::optional<ScatterBand> band =
        scatterBand(request.curve_of ? *request.curve_of : *request.target, {}, lifts_mm,
                    request.rules.tolerance, request.rules.regime);
    if (!band) return;
    for (SubstituteProposal& proposal : proposals) {
        if (const auto own = proposalScatter(request, proposal)) proposal.own_scatter = own->widest();
        proposal.within_scatter = true;
        for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
            // By ratios: what is compared may be wished otherwise, or be the pressure with friction.
            const double ratio = proposal.pressures_mpa[i] / proposal.target_pressures_mpa[i];
            const double own_mpa = band->pressures_mpa[i];
            if (ratio < band->low_mpa[i] / own_mpa || ratio > band->high_mpa[i] / own_mpa)
                proposal.within_scatter = false;
        }
    }
}

} // namespace shimledger::planner
