// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/bench_html.h"
#include "app/services/strip_form.h"

#include <QString>

#include <catch2/catch.hpp>

using namespace shimledger;

TEST_CASE("The printed strip form says what goes before the first nut above the table of each leg") {
    services::StripForm form;
    form.job = "JOB-1";
    form.component = "Invented fork";
    form.stacks.resize(2);
    form.stacks[0].found.leg = 1;
    form.stacks[1].found.leg = 2;
    form.cautions = {"Release the gas charge first.", "Wear eye protection.", "Renew the locking compound."};
    const QString html = desk::stripFormHtml(form);
    const auto gas = QStringLiteral("Release the gas charge first."),
               eyes = QStringLiteral("Wear eye protection.");
    qsizetype from = 0;
    for (int leg = 1; leg <= 2; ++leg) {
        const qsizetype title = html.indexOf(QStringLiteral("leg %1").arg(leg), from);
        const qsizetype first = html.indexOf(gas, title), second = html.indexOf(eyes, title);
        const qsizetype table = html.indexOf(QStringLiteral("<table"), title);
        REQUIRE(title >= 0);
        REQUIRE(table > title);
        CHECK((first > title && first < table));
        CHECK((second > first && second < table));
        from = table;
    }
    // All of them stand at the end as well.
    CHECK(html.indexOf(QStringLiteral("Renew the locking compound."), from) > from);
    CHECK(html.count(gas) == 3);
}
