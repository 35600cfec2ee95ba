// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/find_words.h"

#include <catch2/catch.hpp>

using namespace shimledger::desk;

namespace {

FindFit fit(const char* typed, const char* text) {
    return FindWords(QString::fromUtf8(typed)).fit(FindKey(QString::fromUtf8(text)));
}

} // namespace

TEST_CASE("A bare number is a whole figure or the beginning of one, never a piece of a code") {
    CHECK(fit("24", "A01 shim 24.0 x 6.0 x 0.10 SH-24.0-6-0.10").whole_figures);
    CHECK(fit("0.1", "A01 shim 24.0 x 6.0 x 0.10").whole_figures);
    CHECK_FALSE(fit("24", "B24 shim 19.0 x 6.0 x 0.10").fits);
    CHECK_FALSE(fit("24", "A01 shim 12.4 x 6.0 x 0.24").fits);
    const FindFit begun = fit("0.1", "A01 shim 24.0 x 6.0 x 0.15");
    CHECK(begun.fits);
    CHECK_FALSE(begun.whole_figures);
    CHECK(fit("12.", "A01 shim 12.4 x 6.0 x 0.10").fits);
    CHECK(fit("1002", "JOB-1002: fork, compression").whole_figures);
    CHECK(fit("24", "24 oil seal").whole_figures); // a drawer whose whole code it is
    CHECK_FALSE(fit("4", "1.2.3, 0.4.").whole_figures);
}

TEST_CASE("Words with letters are found anywhere, whole words before beginnings before middles") {
    CHECK(fit("seal", "oil seal 48.0").rank == 0);
    CHECK(fit("sea", "oil seal 48.0").rank == 1);
    CHECK(fit("eal", "oil seal 48.0").rank == 2);
    CHECK(fit("seal", "sealant seal").rank == 0); // the better of the two places
    CHECK_FALSE(fit("seal oil rubber", "oil seal 48.0").fits);
    CHECK(fit("SHIM a3", "A3 shim").rank == 0);
    CHECK(fit("a3", "A31 shim").rank == 1);
}

TEST_CASE("Sizes are understood as they are typed: with a comma, between crosses, without a nought") {
    for (const char* typed : {"24 0,10", "24x0.1", "24 x 6 x 0.1", "24.0 .10", "0.1 24"}) {
        INFO(typed);
        CHECK(fit(typed, "24.0 x 6.0 x 0.10").whole_figures);
        CHECK_FALSE(fit(typed, "24.0 x 6.0 x 0.15").whole_figures);
    }
}

TEST_CASE("Where anything has the whole figures, what only begins with them is not shown") {
    const FindWords words(QStringLiteral("24 0.1"));
    const auto shown = [&words](std::vector<const char*> texts) {
        std::vector<FindFit> fits;
        for (const char* text : texts) fits.push_back(words.fit(FindKey(QString::fromUtf8(text))));
        return shownOf(fits);
    };
    CHECK(shown({"24.0 x 0.10", "24.0 x 0.15", "22.0 x 0.10"}) == std::vector{true, false, false});
    CHECK(shown({"24.0 x 0.12", "24.0 x 0.15", "22.0 x 0.10"}) == std::vector{true, true, false});
    CHECK(FindWords().isEmpty());
    CHECK(FindWords().fit(FindKey(QStringLiteral("anything"))).fits);
}
