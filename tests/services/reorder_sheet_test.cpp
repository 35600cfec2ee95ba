#include "tests/services/small_shop.h"

#include "app/services/sheets/reorder_sheet.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;

namespace {

/// Names in a zip directory are not compressed.
int chartsIn(const std::string& bytes) {
    int count = 0;
    while (bytes.find("xl/charts/chart" + std::to_string(count + 1) + ".xml") != std::string::npos) ++count;
    return count;
}

} // namespace

TEST_CASE("With its review the sheet has a chart for each part that is bought, and is the same every time") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    const ReorderReview review = reorderReview(small.shop, plan);
    REQUIRE(review.summary);
    REQUIRE(review.courses.size() == plan.orders.front().lines.size());
    const TemporaryFolder folder;
    writeReorderSheet(plan, folder / "one.xlsx", PaperSize::a4, review);
    writeReorderSheet(plan, folder / "two.xlsx", PaperSize::a4, review);
    writeReorderSheet(plan, folder / "plain.xlsx");
    CHECK(readBytes(folder / "one.xlsx") == readBytes(folder / "two.xlsx"));
    CHECK(chartsIn(readBytes(folder / "one.xlsx")) == static_cast<int>(review.courses.size()));
    CHECK(chartsIn(readBytes(folder / "plain.xlsx")) == 0);
}
