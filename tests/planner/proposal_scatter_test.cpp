// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/stack_text.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

Length mm(const char* text) {
    return Length::parseMillimetres(text);
}

StockItem lot(const char* bin, const char* od, const char* thickness, std::int64_t available) {
    StockItem item;
    item.bin = bin;
    item.od = mm(od);
    item.id = mm("6");
    item.thickness = mm(thickness);
    item.available = available;
    return item;
}

/// Two legs of 4 x 24 x 0.15 on two smaller discs, all of it in the drawers.
SubstituteRequest request() {
    SubstituteRequest request;
    const ValveGeometry valve{mm("10"), mm("13"), mm("20"), mm("6"), {}, {}};
    request.target = StackSpec(valve, parseStackText("4 x 24 x 0.15, 20 x 0.15, 16 x 0.20"));
    request.stock = {lot("A1", "24", "0.15", 8), lot("A2", "20", "0.15", 2), lot("A3", "16", "0.20", 2)};
    return request;
}

SubstituteProposal best(const SubstituteRequest& request) {
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE_FALSE(result.proposals.empty());
    return result.proposals.front();
}

} // namespace

TEST_CASE("The spread of a lot's readings widens the band of the stack that is built from it", "[scatter]") {
    SubstituteRequest asked = request();
    const double by_tolerance = best(asked).own_scatter;
    CHECK(by_tolerance > 0.02);
    for (StockItem& item : asked.stock) {
        item.measured = item.thickness;
        item.reading_spread_mm = 0.0005;
    }
    const double even = best(asked).own_scatter;
    CHECK(even < by_tolerance);
    for (StockItem& item : asked.stock) item.reading_spread_mm = 0.006;
    const SubstituteProposal uneven = best(asked);
    CHECK(uneven.own_scatter > 2 * even);
    CHECK(uneven.pulls.front().reading_spread_mm == 0.006);
}

TEST_CASE("Readings that spread as the tolerance does between discs leave that part of the band as it was",
          "[scatter]") {
    SubstituteRequest asked = request();
    const auto without = proposalScatter(asked, best(asked));
    for (StockItem& item : asked.stock) {
        item.measured = item.thickness;
        item.reading_spread_mm =
            toleranceHalfWidth(asked.rules.tolerance, item.thickness.millimetres()) / 3 / std::sqrt(2.0);
    }
    const auto with = proposalScatter(asked, best(asked));
    REQUIRE(without);
    REQUIRE(with);
    for (std::size_t i = 0; i < with->lifts_mm.size(); ++i) {
        CHECK(with->disc_to_disc[i] == Approx(without->disc_to_disc[i]).epsilon(1e-6));
        CHECK(with->lot_to_lot[i] < without->lot_to_lot[i]); // the mean is known now
    }
}

TEST_CASE("A row from two lots has their common mean, and what parts the means is spread", "[scatter]") {
    SubstituteProposal proposal;
    proposal.rows = {{parseStackText("4 x 24 x 0.15").front(), 0, false}};
    Pull thin{"A1", "", mm("24"), mm("0.15"), mm("0.148"), false, 6, 0, {3, 3}, 0.001};
    Pull thick{"A2", "", mm("24"), mm("0.15"), mm("0.152"), false, 2, 0, {1, 1}, 0.002};
    proposal.pulls = {thin, thick};
    RowThickness row = rowThicknesses(proposal).front();
    REQUIRE(row.measured_mm);
    CHECK(*row.measured_mm == Approx(0.149));
    // (6 (0.001^2 + 0.001^2) + 2 (0.002^2 + 0.003^2)) / 8
    CHECK(row.reading_spread_mm == Approx(std::sqrt(38e-6 / 8)));
    proposal.pulls[1].measured.reset(); // one of them was never read: the tolerance stands
    proposal.pulls[1].reading_spread_mm = 0;
    row = rowThicknesses(proposal).front();
    CHECK_FALSE(row.measured_mm);
    CHECK(row.reading_spread_mm == 0);
}
