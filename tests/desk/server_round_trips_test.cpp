// SPDX-License-Identifier: GPL-3.0-or-later
// How often the window asks a server until its pages are there: as often for many parts and drawers as for
// few; a job more still costs some questions. Counted on the line between them, by
// tests/server/server_proxy.h.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/shop_session.h"
#include "inventory/bin.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_ledger.h"
#include "tests/server/server_proxy.h"

#include <QElapsedTimer>
#include <QTest>

#include <cstdio>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

struct PageVisit {
    std::string page;
    std::int64_t round_trips = 0;
    std::int64_t milliseconds = 0;
};

/// Opens the shop through that line and looks at every page.
std::vector<PageVisit> visitPages(const ServerProxy& line, const DemoShopCopy& shop) {
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    std::vector<PageVisit> visits;
    const auto visit = [&](const std::string& page, const auto& step) {
        const std::int64_t before = line.roundTrips();
        QElapsedTimer timer;
        timer.start();
        step();
        REQUIRE(settle([&] { return !test.window.busy(); }));
        visits.push_back({page, line.roundTrips() - before, timer.elapsed()});
    };
    const auto trigger = [&](ActionId id) { return [&test, id] { test.window.actions()[id]->trigger(); }; };
    visit("open, jobs",
          [&] { test.window.openShop(QString::fromStdString(line.through(shop.path().toStdString()))); });
    visit("a job", [&] { test.window.jobs().pickJob("JOB-1004"); });
    visit("strip", trigger(ActionId::go_strip));
    visit("inspect", trigger(ActionId::go_inspect));
    visit("pull", trigger(ActionId::go_pull));
    visit("build", trigger(ActionId::go_build));
    visit("drawers", trigger(ActionId::go_drawers));
    visit("history", trigger(ActionId::go_history));
    visit("reorder", trigger(ActionId::go_reorder));
    visit("own data", trigger(ActionId::own_data));
    visit("all read again", [&] { test.window.session().announceChange(); });
    return visits;
}

constexpr int more_parts = 300, more_jobs = 20;

void addParts(const DemoShopCopy& shop) {
    auto file = inventory::ShopFile::open(shop.path().toStdString());
    file.atomically([&] {
        inventory::PartCatalogue parts(file);
        inventory::BinList bins(file);
        const inventory::Part like = parts.get("SH-24.0-6-0.10");
        std::vector<inventory::MovementLine> lines;
        for (int i = 0; i < more_parts; ++i) {
            inventory::Part part = like;
            part.code = "MORE-" + std::to_string(i);
            part.od = Length::fromMicrometres(40000 + 50 * i);
            parts.add(part);
            bins.add({"MORE" + std::to_string(i), "MORE", 9000 + i, ""});
            inventory::MovementLine line;
            line.kind = inventory::MovementKind::receipt;
            line.part = part.code;
            line.bin = "MORE" + std::to_string(i);
            line.quantity = 3 + i;
            lines.push_back(line);
        }
        inventory::StockLedger(file).post(lines);
    });
}

void addJobs(const DemoShopCopy& shop) {
    auto file = inventory::ShopFile::open(shop.path().toStdString());
    file.atomically([&] {
        inventory::JobBook jobs(file);
        for (int i = 0; i < more_jobs; ++i) {
            inventory::Job job = jobs.get("JOB-1004");
            job.code = "JOB-M" + std::to_string(100 + i);
            jobs.add(job);
            for (const auto& stack : jobs.stacks("JOB-1004")) {
                if (stack.role == inventory::StackRole::target) jobs.setStack(job.code, stack);
            }
        }
    });
}

std::int64_t questionsOf(const std::vector<PageVisit>& visits) {
    std::int64_t all = 0;
    for (const PageVisit& visit : visits) all += visit.round_trips;
    return all;
}

} // namespace

TEST_CASE("All pages of a server's shop are had for so many questions, and more parts cost no more of them",
          "[server]") {
    if (!TestServer().wanted()) {
        WARN("no server: run it by tests/server/suites desk");
        return;
    }
    const DemoShopCopy demo, with_parts, with_jobs;
    addParts(with_parts);
    addJobs(with_jobs);
    const ServerProxy line;
    const std::int64_t few = questionsOf(visitPages(line, demo));
    const std::int64_t parts = questionsOf(visitPages(line, with_parts));
    const std::int64_t jobs = questionsOf(visitPages(line, with_jobs));
    INFO("the demo shop " << few << ", with more parts " << parts << ", with more jobs " << jobs);
    constexpr std::int64_t most = 1900, by_chance = 200,
                           most_of_a_job = 70; // more where a change is seen in between and read
    CHECK(few <= most);
    CHECK(parts <= few + by_chance); // what the watch sees in between is read once more
    CHECK(jobs <= few + by_chance + more_jobs * most_of_a_job);
    std::printf("questions of all pages: %lld, with %d more parts %lld, with %d more jobs %lld\n",
                static_cast<long long>(few), more_parts, static_cast<long long>(parts), more_jobs,
                static_cast<long long>(jobs));
}

TEST_CASE("Pages of a server 5 ms away, and the same beside it", "[.far]") {
    REQUIRE(TestServer().wanted());
    const DemoShopCopy shop;
    ServerProxy line;
    static_cast<void>(visitPages(line, shop)); // fonts and caches
    const std::vector<PageVisit> near_by = visitPages(line, shop);
    line.setDelay(std::chrono::microseconds(2500));
    const std::vector<PageVisit> far_off = visitPages(line, shop);
    std::printf("%-16s %10s %12s %12s\n", "page", "questions", "here, ms", "5 ms off, ms");
    for (std::size_t i = 0; i < near_by.size(); ++i) {
        std::printf("%-16s %10lld %12lld %12lld\n", near_by[i].page.c_str(),
                    static_cast<long long>(near_by[i].round_trips),
                    static_cast<long long>(near_by[i].milliseconds),
                    static_cast<long long>(far_off[i].milliseconds));
    }
}
