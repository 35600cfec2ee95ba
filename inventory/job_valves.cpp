// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/job_valves.h"

#include "inventory/issued_pieces.h"
#include "inventory/job_book.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

/// "J-104/rebound"; where that is taken, "J-104/rebound 2".
std::string freeCode(ShopConnection& connection, const std::string& component_job,
                     const std::string& valve_name) {
    const std::string wanted = component_job + "/" + valve_name;
    std::string code = wanted;
    for (int number = 2; findJobId(connection, code); ++number) code = wanted + " " + std::to_string(number);
    return code;
}

bool nothingBooked(const ShopFile& shop, std::int64_t job_id, std::string_view code) {
    return !Query(shop.connection(), "SELECT 1 FROM reservations WHERE job_id = ?1", job_id).next() &&
           issuedPieces(shop, code).empty();
}

} // namespace

std::vector<Job> componentValves(const ShopFile& shop, std::string_view job) {
    ShopConnection& connection = shop.connection();
    static const std::string sql =
        jobColumns() + "WHERE coalesce(j.valve_of_id, j.job_id) = (SELECT coalesce(valve_of_id, job_id) FROM "
                       "jobs WHERE job_id = ?1) ORDER BY j.valve_of_id IS NOT NULL, j.code";
    std::vector<Job> valves;
    Query query(connection, sql, jobId(connection, job));
    while (query.next()) valves.push_back(readJob(query));
    return valves;
}

std::vector<Job> valvesWithin(const ShopFile& shop, std::string_view job) {
    std::vector<Job> valves = componentValves(shop, job);
    std::erase_if(valves, [&](const Job& valve) { return valve.code != job && valve.valve_of != job; });
    return valves;
}

std::string legsText(int first_leg, int legs) {
    return legs == 1 ? "leg " + std::to_string(first_leg)
                     : "legs " + std::to_string(first_leg) + " to " + std::to_string(first_leg + legs - 1);
}

int componentLegs(const std::vector<Job>& valves) {
    int legs = 0;
    for (const Job& valve : valves) legs = std::max(legs, lastLeg(valve));
    return legs;
}

std::string addJobValve(ShopFile& shop, std::string_view job, const JobValve& valve, int first_leg,
                        int legs) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    Job added = componentValves(shop, job).front();
    static_cast<void>(livingJobId(connection, added.code));
    added.valve_of = added.code;
    added.valve = valve;
    checkValve("the valve", valve);
    added.code = freeCode(connection, added.valve_of, valve.name);
    added.first_leg = first_leg;
    added.legs = legs;
    added.note.clear();
    insertJob(connection, added);
    transaction.commit();
    return added.code;
}

std::string splitJobLegs(ShopFile& shop, std::string_view job, int from_leg) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job);
    const JobBook book(shop);
    Job kept = book.get(job);
    const std::string who = "job " + inQuotes(job);
    if (from_leg <= kept.first_leg || from_leg > lastLeg(kept)) {
        throw FieldError(
            "leg", who + " lies in " + legsText(kept.first_leg, kept.legs) + ": " +
                       (kept.legs == 1
                            ? std::string("there is nothing to part")
                            : "give the first of the later legs, " + std::to_string(kept.first_leg + 1) +
                                  (kept.legs == 2 ? std::string() : " to " + std::to_string(lastLeg(kept)))));
    }
    if (!nothingBooked(shop, id, job)) {
        throw FieldError("job", who + " has discs reserved or pulled, which belong to all its legs: release "
                                      "them or put them back first");
    }
    Job parted = kept;
    parted.valve_of = kept.valve_of.empty() ? kept.code : kept.valve_of;
    parted.first_leg = from_leg;
    parted.legs = lastLeg(kept) - from_leg + 1;
    parted.code = freeCode(connection, parted.valve_of,
                           kept.valve.name + " " + legsText(parted.first_leg, parted.legs));
    parted.note.clear();
    Query(connection, "UPDATE jobs SET legs = ?2 WHERE job_id = ?1", id, from_leg - kept.first_leg).run();
    insertJob(connection, parted);
    JobBook writing(shop);
    if (const auto target = book.stack(job, StackRole::target)) writing.setStack(parted.code, *target);
    writing.setStack(job, {StackRole::build, 0, {}}); // it was accepted for all legs
    transaction.commit();
    return parted.code;
}

void joinJob(ShopFile& shop, std::string_view job, std::string_view component_job) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job);
    const std::int64_t component_id = livingJobId(connection, component_job);
    const JobBook book(shop);
    const Job joined = book.get(job);
    const Job component = book.get(component_job);
    const std::string who = "job " + inQuotes(job);
    if (id == component_id) throw FieldError("job", who + " cannot be a valve of itself");
    if (componentValves(shop, job).size() > 1) {
        throw FieldError("job", who + (joined.valve_of.empty()
                                           ? " has valves of its own: join those one by one, or the other way"
                                           : " is a valve of job " + inQuotes(joined.valve_of) + " already"));
    }
    if (!component.valve_of.empty()) {
        throw FieldError("valve_of", "job " + inQuotes(component_job) + " is itself a valve of job " +
                                         inQuotes(component.valve_of) + ": join " + inQuotes(job) +
                                         " to that one");
    }
    if (joined.model != component.model) {
        throw FieldError("model", who + " is about model " + inQuotes(joined.model) + ", job " +
                                      inQuotes(component_job) + " about " + inQuotes(component.model) +
                                      ": they are not one component");
    }
    if (Query(connection,
              "SELECT 1 FROM reservations r JOIN parts p ON p.part_id = r.part_id WHERE r.job_id = ?1 AND "
              "p.kind <> 'shim'",
              id)
            .next()) {
        throw FieldError("job",
                         who + " has wear parts reserved: release it first, as they then belong to job " +
                             inQuotes(component_job));
    }
    Job as_valve = component;
    as_valve.code = joined.code;
    as_valve.valve_of = component.code;
    as_valve.valve = joined.valve;
    as_valve.legs = joined.legs;
    as_valve.first_leg = joined.first_leg;
    checkValvePlace(connection, as_valve, component_id, id);
    Query(
        connection,
        "UPDATE jobs SET valve_of_id = ?2, customer = ?3, component = ?4, opened = ?5, due = ?6, priority = "
        "?7 WHERE job_id = ?1",
        id, component_id, component.customer, component.component, component.opened, component.due,
        component.priority)
        .run();
    // Of a wear part or a finding that both have, the component's stays: a seal is in the fork once.
    Query(connection,
          "UPDATE job_consumables SET job_id = ?2, position = position + 1000 WHERE job_id = ?1 AND part_id "
          "NOT IN "
          "(SELECT part_id FROM job_consumables WHERE job_id = ?2)",
          id, component_id)
        .run();
    Query(connection, "DELETE FROM job_consumables WHERE job_id = ?1", id).run();
    Query(connection,
          "UPDATE wear_findings SET job_id = ?2 WHERE job_id = ?1 AND NOT EXISTS (SELECT 1 FROM "
          "wear_findings o "
          "WHERE o.job_id = ?2 AND o.leg = wear_findings.leg AND coalesce(o.part_id, 0) = "
          "coalesce(wear_findings.part_id, 0) AND o.place = wear_findings.place)",
          id, component_id)
        .run();
    Query(connection, "DELETE FROM wear_findings WHERE job_id = ?1", id).run();
    transaction.commit();
}

void separateJob(ShopFile& shop, std::string_view job) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job);
    if (JobBook(shop).get(job).valve_of.empty()) {
        throw FieldError("job",
                         "job " + inQuotes(job) + " is no valve of another job: there is nothing to part");
    }
    Query(connection, "UPDATE jobs SET valve_of_id = NULL WHERE job_id = ?1", id).run();
    transaction.commit();
}

} // namespace shimledger::inventory
