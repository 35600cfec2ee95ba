// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"
#include "tests/services/zip_member.h"

#include "app/services/sheets/reorder_sheet.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

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

TEST_CASE(
    "A part that is called like a formula is the title of its chart as text: no chart holds a formula but "
    "references to the book's own cells") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    ReorderReview review = reorderReview(small.shop, plan);
    REQUIRE(!review.courses.empty());
    const StockCourse course = review.courses.begin()->second;
    const std::vector<std::string> hostile{"=cmd|'/C calc'!A1", "=HYPERLINK(\"http://x\")", "+1+1", "@SUM(1)",
                                           "-2"};
    review.courses.clear();
    for (const std::string& code : hostile) review.courses[code] = course;
    const TemporaryFolder folder;
    writeReorderSheet(plan, folder / "hostile.xlsx", PaperSize::a4, review);
    const std::string bytes = readBytes(folder / "hostile.xlsx");
    REQUIRE(chartsIn(bytes) == static_cast<int>(hostile.size()));
    std::string titles;
    for (std::size_t chart = 1; chart <= hostile.size(); ++chart) {
        const std::string xml = zipMember(bytes, "xl/charts/chart" + std::to_string(chart) + ".xml");
        for (std::size_t at = xml.find("<c:f>"); at != std::string::npos; at = xml.find("<c:f>", at + 1)) {
            const std::string formula = xml.substr(at + 5, xml.find("</c:f>", at) - at - 5);
            INFO(formula);
            CHECK(formula.starts_with("'Chart data'!$"));
        }
        titles += xml.substr(0, xml.find("<c:plotArea>"));
    }
    CHECK_THAT(titles, Contains("=cmd|") && Contains("=HYPERLINK(") && Contains("@SUM(1)"));
    CHECK_THAT(zipMember(bytes, "xl/sharedStrings.xml"), Contains("=cmd|"));
}
