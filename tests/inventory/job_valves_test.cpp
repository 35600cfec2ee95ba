// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/job_valves.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/job_end.h"
#include "inventory/stack_try.h"
#include "inventory/stock_verify.h"
#include "inventory/strip_record.h"
#include "inventory/wear_finding.h"
#include "rich_shop.h"
#include "support.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

JobValve rebound() {
    JobValve valve = plainJob("J1").valve;
    valve.name = "rebound";
    valve.port_outer_diameter = Length::parseMillimetres("22");
    return valve;
}

JobStack targetOf(std::int64_t count) {
    return {
        StackRole::target, 0, {{count, Length::parseMillimetres("24"), Length::parseMillimetres("0.1"), {}}}};
}

std::vector<std::string> codes(const std::vector<Job>& jobs) {
    std::vector<std::string> names;
    for (const Job& job : jobs) names.push_back(job.code);
    return names;
}

std::vector<std::string> codesOf(const ShopFile& shop, const std::string& job) {
    return codes(componentValves(shop, job));
}

} // namespace

TEST_CASE(
    "a component's valves are jobs with geometry, legs and stacks of their own, and say the same of it") {
    SmallShop small;
    JobBook jobs(small.shop);
    Job first = jobs.get("J1");
    first.due = CalendarDate::parse("2026-04-02");
    first.priority = 4;
    first.component = "SN-1";
    jobs.update(first);
    CHECK(addJobValve(small.shop, "J1", rebound(), 2, 1) == "J1/rebound");
    const Job valve = jobs.get("J1/rebound");
    CHECK(valve.valve == rebound());
    CHECK(valve.first_leg == 2);
    CHECK(valve.legs == 1);
    CHECK(valve.valve_of == "J1");
    CHECK(valve.customer == "Private Person");
    CHECK(valve.component == "SN-1");
    CHECK(valve.due == first.due);
    CHECK(codesOf(small.shop, "J1") == std::vector<std::string>{"J1", "J1/rebound"});
    CHECK(codesOf(small.shop, "J1/rebound") == std::vector<std::string>{"J1", "J1/rebound"});
    CHECK(componentLegs(componentValves(small.shop, "J1")) == 2);
    jobs.setStack("J1/rebound", targetOf(3));
    CHECK_FALSE(jobs.stack("J1", StackRole::target));
    // A change of the component is one of all its valves, and only its job takes it.
    first.customer = "Another Person";
    first.due = CalendarDate::parse("2026-05-01");
    first.priority = 9;
    jobs.update(first);
    CHECK(jobs.get("J1/rebound").customer == "Another Person");
    CHECK(jobs.get("J1/rebound").due == first.due);
    CHECK(codes(jobs.list()) == std::vector<std::string>{"J1", "J1/rebound", "J2"});
    Job wrong = jobs.get("J1/rebound");
    wrong.priority = 1;
    CHECK_THAT(refusalOf([&] { jobs.update(wrong); }), Contains("changed there, for all its valves"));
    CHECK(jobs.get("J1/rebound").priority == 9);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a valve that a leg has already is refused, and so are legs that no component has") {
    SmallShop small;
    const auto refused = [&](const JobValve& valve, int first_leg, int legs) {
        return refusalOf([&] { addJobValve(small.shop, "J1", valve, first_leg, legs); });
    };
    JobValve compression = rebound();
    compression.name = "Compression";
    CHECK_THAT(refused(compression, 2, 1), Contains("is the Compression valve of leg 2 already"));
    CHECK(refused(compression, 3, 1).empty()); // no leg of J1's has that
    CHECK_THAT(refused(rebound(), 4, 2), Contains("legs 1 to 4"));
    CHECK_THAT(refused(rebound(), 0, 2), Contains("legs 1 to 4"));
    CHECK_THAT(refused(rebound(), 1, 0), Contains("give 1 to 4"));
    CHECK_THAT(refused(JobValve(), 1, 1), Contains("does not say which valve"));
    JobBook(small.shop).close("J2");
    CHECK_THAT(refusalOf([&] { addJobValve(small.shop, "J2", rebound(), 1, 2); }), Contains("is closed"));
    CHECK_THAT(refusalOf([&] { addJobValve(small.shop, "J9", rebound(), 1, 2); }), Contains("no job 'J9'"));
    // A cancelled one is in nobody's way.
    addJobValve(small.shop, "J1", rebound(), 1, 2);
    CHECK_THAT(refused(rebound(), 1, 1), Contains("'J1/rebound' is the rebound valve of leg 1 already"));
    JobBook(small.shop).cancel("J1/rebound");
    CHECK(addJobValve(small.shop, "J1", rebound(), 1, 1) == "J1/rebound 2");
}

TEST_CASE("wear parts and findings are of the component, and a valve says where they belong") {
    SmallShop small;
    addJobValve(small.shop, "J1", rebound(), 1, 4);
    JobBook jobs(small.shop);
    CHECK_THAT(refusalOf([&] {
                   jobs.setConsumables("J1/rebound", {{"SEAL", 2, ""}});
               }),
               Contains("is a valve of job 'J1'"));
    WearFinding finding;
    finding.job = "J1/rebound";
    finding.leg = 3;
    finding.part = "SEAL";
    CHECK_THAT(refusalOf([&] { WearBook(small.shop).record(finding); }), Contains("give them there"));
    finding.job = "J1"; // whose own valve has two legs; the component has four
    WearBook(small.shop).record(finding);
    finding.leg = 5;
    CHECK_THAT(refusalOf([&] { WearBook(small.shop).record(finding); }), Contains("give 1 to 4"));
}

TEST_CASE("legs get a stack of their own with the target that was, and what the strip found stays") {
    SmallShop small;
    JobBook jobs(small.shop);
    jobs.setStack("J1", targetOf(4));
    findInLeg(small.shop, "J1", "0.10", 4);
    StripRecords(small.shop)
        .set({"J1", 2, test_time, {{4, Length::parseMillimetres("24"), {}, "S24-10", 0, "", ""}}});
    CHECK_THAT(refusalOf([&] { splitJobLegs(small.shop, "J1", 1); }), Contains("lies in legs 1 to 2"));
    CHECK_THAT(refusalOf([&] { splitJobLegs(small.shop, "J1", 3); }), Contains("lies in legs 1 to 2"));
    CHECK(splitJobLegs(small.shop, "J1", 2) == "J1/compression leg 2");
    CHECK(jobs.get("J1").legs == 1);
    CHECK(jobs.get("J1/compression leg 2").first_leg == 2);
    CHECK(jobs.stack("J1/compression leg 2", StackRole::target)->rows == targetOf(4).rows);
    jobs.setStack("J1/compression leg 2", targetOf(5));
    CHECK(jobs.stack("J1", StackRole::target)->rows == targetOf(4).rows);
    CHECK(StripRecords(small.shop).find("J1", 2));
    CHECK(jobs.stack("J1", StackRole::asFound, 2));
    // The valve was stripped as one: both legs may still be written down with it, a third may not.
    StripRecords(small.shop)
        .set({"J1", 2, test_time, {{5, Length::parseMillimetres("24"), {}, "S24-10", 0, "", ""}}});
    CHECK_THAT(
        refusalOf([&] {
            StripRecords(small.shop)
                .set({"J1", 3, test_time, {{5, Length::parseMillimetres("24"), {}, "S24-10", 0, "", ""}}});
        }),
        Contains("it has legs 1 to 2"));
    CHECK_THAT(refusalOf([&] { splitJobLegs(small.shop, "J1", 2); }), Contains("nothing to part"));
}

TEST_CASE("discs that are reserved or pulled belong to all legs, so these are not parted then") {
    SmallShop small;
    JobBook(small.shop).setStack("J1", targetOf(2));
    small.receive("S24-10", "A1", 10);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    CHECK_THAT(refusalOf([&] { splitJobLegs(small.shop, "J1", 2); }), Contains("reserved or pulled"));
    small.ledger.pullAll("J1");
    CHECK_THAT(refusalOf([&] { splitJobLegs(small.shop, "J1", 2); }), Contains("reserved or pulled"));
    small.ledger.post({movement(MovementKind::returned, "S24-10", "A1", 4, "J1")});
    CHECK(splitJobLegs(small.shop, "J1", 2) == "J1/compression leg 2");
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("two jobs of one component become one, each with its discs, and can be parted again") {
    SmallShop small;
    JobBook jobs(small.shop);
    Job other = jobs.get("J2");
    other.valve = rebound();
    jobs.update(other);
    Job first = jobs.get("J1");
    first.due = CalendarDate::parse("2026-04-02");
    jobs.update(first);
    jobs.setConsumables("J1", {{"SEAL", 2, "worn"}});
    jobs.setConsumables("J2", {{"SEAL", 1, "worn too"}, {"S24-15", 3, "for the check valve"}});
    jobs.setStack("J2", targetOf(3));
    small.receive("S24-10", "A1", 10);
    small.receive("SEAL", "B1", 4);
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 6}, {"SEAL", "B1", Condition::fresh, 1}});
    CHECK_THAT(refusalOf([&] { joinJob(small.shop, "J2", "J1"); }), Contains("has wear parts reserved"));
    small.ledger.post({movement(MovementKind::release, "SEAL", "B1", 1, "J2")});
    joinJob(small.shop, "J2", "J1");
    CHECK(codesOf(small.shop, "J2") == std::vector<std::string>{"J1", "J2"});
    CHECK(jobs.get("J2").due == first.due);
    CHECK(small.ledger.reservationsOf("J2").size() == 1);
    CHECK(jobs.consumables("J1") ==
          std::vector<JobConsumable>{{"SEAL", 2, "worn"}, {"S24-15", 3, "for the check valve"}});
    CHECK(jobs.consumables("J2").empty());
    CHECK(verifyStock(small.shop).good());
    separateJob(small.shop, "J2");
    CHECK(codesOf(small.shop, "J2") == std::vector<std::string>{"J2"});
    CHECK(jobs.get("J2").customer == first.customer);
    CHECK_THAT(refusalOf([&] { separateJob(small.shop, "J2"); }), Contains("nothing to part"));
}

TEST_CASE("jobs that are no component together are not joined, and nothing is changed") {
    SmallShop small;
    JobBook jobs(small.shop);
    ComponentModel shock;
    shock.code = "SHOCK";
    shock.kind = ComponentKind::shock;
    shock.legs = 1;
    ComponentModels(small.shop).add(shock);
    Job of_shock = plainJob("J3");
    of_shock.model = "SHOCK";
    jobs.add(of_shock);
    addJobValve(small.shop, "J2", rebound(), 1, 2);
    const auto refused = [&](const char* job, const char* to) {
        return refusalOf([&] { joinJob(small.shop, job, to); });
    };
    CHECK_THAT(refused("J1", "J1"), Contains("of itself"));
    CHECK_THAT(refused("J3", "J1"), Contains("they are not one component"));
    CHECK_THAT(refused("J1", "J2"), Contains("compression valve of leg 1 already"));
    CHECK_THAT(refused("J2", "J1"), Contains("has valves of its own"));
    CHECK_THAT(refused("J2/rebound", "J1"), Contains("is a valve of job 'J2' already"));
    CHECK_THAT(refused("J9", "J1"), Contains("no job 'J9'"));
    Job base = plainJob("J4");
    base.valve.name = "base";
    jobs.add(base);
    CHECK_THAT(refused("J4", "J2/rebound"), Contains("itself a valve of job 'J2'"));
    CHECK(jobs.get("J4").valve_of.empty());
    CHECK(jobs.get("J1") == plainJob("J1"));
}

TEST_CASE("a component is closed and opened again as a whole, and a valve can be given up alone") {
    SmallShop small;
    JobBook jobs(small.shop);
    addJobValve(small.shop, "J1", rebound(), 1, 2);
    JobValve mid = rebound();
    mid.name = "mid";
    addJobValve(small.shop, "J1", mid, 1, 2);
    small.receive("S24-10", "A1", 10);
    small.ledger.reserve("J1/rebound", {{"S24-10", "A1", Condition::fresh, 4}});
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 2}});
    CHECK_THAT(refusalOf([&] { jobs.close("J1/rebound"); }), Contains("closed as a whole"));
    CHECK(jobs.cancel("J1/mid") == 0);
    CHECK(jobs.get("J1").status == JobStatus::reserved);
    CHECK(jobs.close("J1") == 6);
    CHECK(jobs.get("J1").status == JobStatus::closed);
    CHECK(jobs.get("J1/rebound").status == JobStatus::closed);
    CHECK(jobs.get("J1/mid").status == JobStatus::cancelled);
    CHECK(small.lot("S24-10", "A1").available() == 10);
    CHECK_THAT(refusalOf([&] { reopenJob(small.shop, "J1/rebound"); }), Contains("open that one again"));
    reopenJob(small.shop, "J1");
    CHECK(jobs.get("J1/rebound").status == JobStatus::open);
    CHECK(jobs.get("J1/mid").status == JobStatus::cancelled); // it was given up before
    reopenJob(small.shop, "J1/mid");
    CHECK(jobs.get("J1/mid").status == JobStatus::open);
    CHECK(jobs.cancel("J1") == 0);
    CHECK(jobs.get("J1/mid").status == JobStatus::cancelled);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("components with their valves go out as CSV and come in again, whatever became of them") {
    SmallShop small;
    JobBook jobs(small.shop);
    small.receive("S24-10", "A1", 40);
    jobs.setStack("J1", targetOf(4));
    findInLeg(small.shop, "J1", "0.10", 4);
    splitJobLegs(small.shop, "J1", 2);
    addJobValve(small.shop, "J1", rebound(), 1, 2);
    small.ledger.reserve("J1/rebound", {{"S24-10", "A1", Condition::fresh, 6}});
    small.ledger.pullAll("J1/rebound");
    jobs.cancel("J1/compression leg 2");
    jobs.setStack("J1/rebound", {StackRole::asFound, 2, targetOf(1).rows});
    jobs.close("J1");
    // The other way round: the job that was opened later is the component's.
    Job later = plainJob("J0");
    later.valve = rebound();
    jobs.add(later);
    joinJob(small.shop, "J2", "J0");
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy = ShopFile::create(small.folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, small.folder / "out");
    CHECK(verifyStock(copy).good());
    CHECK(JobBook(copy).list() == jobs.list());
    exportShopFolder(copy, small.folder / "again");
    for (const char* file : {"jobs.csv", "job_stacks.csv", "movements.csv"})
        CHECK(readBytes(small.folder / (std::string("out/") + file)) ==
              readBytes(small.folder / (std::string("again/") + file)));
}

TEST_CASE("a line of a valve that says something else of its component is pinned on the column") {
    SmallShop small;
    const std::string head =
        "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,port_outer_"
        "diameter_mm,shim_id_mm,priority,valve_of,first_leg\n";
    const std::string component = "K1,C,FORK,base,2,2026-03-01,10,13,20,6,3,,\n";
    const auto problems = [&](const std::string& line) {
        std::filesystem::create_directory(small.folder / "in");
        writeBytes(small.folder / "in/jobs.csv", head + component + line);
        ShopFile fresh = ShopFile::create(
            small.folder.shop("t" + std::to_string(line.size()) + line.substr(0, 2)), fixedClock(test_time));
        ComponentModel model;
        model.code = "FORK";
        ComponentModels(fresh).add(model);
        const ImportReport report = previewShopFolder(fresh, small.folder / "in");
        return report.problems.empty() ? std::string()
                                       : report.problems[0].column_name + ": " + report.problems[0].reason;
    };
    CHECK(problems("K2,C,FORK,mid,1,2026-03-01,10,13,20,6,3,K1,2\n").empty());
    CHECK_THAT(problems("K3,D,FORK,mid,1,2026-03-01,10,13,20,6,3,K1,2\n"),
               Contains("customer: ") && !Contains("'D'"));
    CHECK_THAT(problems("K44,C,FORK,mid,1,2026-03-01,10,13,20,6,4,K1,2\n"), Contains("priority: "));
    CHECK_THAT(problems("K555,C,FORK,mid,1,2026-03-01,10,13,20,6,3,K9,2\n"), Contains("valve_of: "));
    CHECK_THAT(problems("K6666,C,FORK,base,1,2026-03-01,10,13,20,6,3,K1,2\n"), Contains("valve: "));
    CHECK_THAT(problems("K77777,C,FORK,mid,2,2026-03-01,10,13,20,6,3,K1,4\n"), Contains("first_leg: "));
}

TEST_CASE("a stranger's change that tears a component apart is told", "[file]") {
    SmallShop small;
    addJobValve(small.shop, "J1", rebound(), 1, 2);
    CHECK(verifyStock(small.shop).good());
    RawDatabase(small.shop.path()).run("UPDATE jobs SET priority = 7 WHERE code = 'J1/rebound'");
    REQUIRE_FALSE(verifyStock(small.shop).good());
    CHECK_THAT(verifyStock(small.shop).faults.front(),
               Contains("'J1/rebound' is a valve of job 'J1'") && Contains("do not say the same"));
}
