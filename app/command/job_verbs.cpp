// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/job_verbs.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"

#include "app/services/built_job.h"
#include "app/services/component_valves.h"
#include "app/services/job_intake.h"
#include "app/services/job_list.h"
#include "app/services/plan_job.h"
#include "app/services/short_jobs.h"
#include "app/services/stack_view.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <ostream>
#include <string>
#include <vector>

namespace shimledger::command {

namespace {

std::string shortText(inventory::ShopFile& shop, const inventory::Job& job) {
    if (job.status != inventory::JobStatus::open) return std::string(inventory::jobStatusName(job.status));
    try {
        const services::JobShortages check = services::jobShortages(shop, job.code);
        if (check.shortages.empty() && check.consumables_short.empty()) return "can be built";
        std::vector<std::string> parts;
        if (const auto discs = check.shortages.size())
            parts.push_back(fmt::format("{} disc size{}", discs, discs == 1 ? "" : "s"));
        if (const auto others = check.consumables_short.size())
            parts.push_back(fmt::format("{} consumable{}", others, others == 1 ? "" : "s"));
        return fmt::format("short of {}", fmt::join(parts, " and "));
    } catch (const InputError& error) {
        return error.what();
    }
}

/// "reserved, short since the count of ...": where a job stands, in words.
std::string situationOf(inventory::ShopFile& shop, const inventory::Job& job,
                        const std::map<std::string, std::string>& left_short) {
    if (hasEnded(job.status)) return std::string(inventory::jobStatusName(job.status));
    const auto found = left_short.find(job.code);
    return shortText(shop, job) + (found == left_short.end() ? std::string() : ", " + found->second);
}

nlohmann::json jobJson(const inventory::Job& job, int days_late) {
    return {{"job", job.code},
            {"customer", job.customer},
            {"component", job.component},
            {"model", job.model},
            {"valve", job.valve.name},
            {"legs", job.legs},
            {"opened", job.opened.text()},
            {"due", job.due ? nlohmann::json(job.due->text()) : nullptr},
            {"days_late", days_late},
            {"priority", job.priority},
            {"status", inventory::jobStatusName(job.status)},
            {"ended_utc", job.ended ? nlohmann::json(job.ended->text()) : nullptr},
            {"note", job.note}};
}

std::string rowText(const inventory::StackRow& row) {
    return fmt::format("{} x {} x {}", row.count, row.od.text(), row.thickness.text(2));
}

nlohmann::json rowsJson(const std::vector<inventory::StackRow>& rows) {
    nlohmann::json list = nlohmann::json::array();
    for (const inventory::StackRow& row : rows) {
        list.push_back({{"count", row.count},
                        {"od_mm", row.od.millimetres()},
                        {"thickness_mm", row.thickness.millimetres()},
                        {"replaces_row", row.replaces ? nlohmann::json(*row.replaces) : nullptr}});
    }
    return list;
}

nlohmann::json builtJson(const services::BuiltJob& built) {
    nlohmann::json pieces = nlohmann::json::array();
    for (const services::BuiltLot& lot : built.lots) {
        pieces.push_back(
            {{"part", lot.part.code},
             {"what", inventory::partText(lot.part)},
             {"bin", lot.bin},
             {"condition", inventory::conditionName(lot.condition)},
             {"quantity", lot.quantity},
             {"in_place_of", lot.wanted_part},
             {"pulled", lot.pulled.text()},
             {"measured_mm", lot.measured ? nlohmann::json(lot.measured->mean.millimetres()) : nullptr}});
    }
    nlohmann::json root = {{"built", built.built ? nlohmann::json(built.built->text()) : nullptr},
                           {"accepted_stack", built.accepted},
                           {"discs", rowsJson(built.rows)},
                           {"pieces", std::move(pieces)},
                           {"height_mm", built.height.millimetres()},
                           {"measured_height_mm", built.measured_height
                                                      ? nlohmann::json(built.measured_height->millimetres())
                                                      : nullptr},
                           {"target_height_mm", built.target_height.millimetres()},
                           {"compared_with_target", built.curve_sentence},
                           {"notes", built.notes}};
    if (built.curves) {
        root["working_lift_mm"] = built.working_lift_mm;
        root["deviation"] = built.curves->signed_deviation;
        root["at_lift_mm"] = built.curves->at_lift_mm;
        root["small_lift_ratio"] = built.curves->small_lift_ratio;
        root["full_lift_ratio"] = built.curves->full_lift_ratio;
    }
    return root;
}

void tellBuilt(const services::BuiltJob& built, std::ostream& out) {
    if (!built.built) {
        out << "Nothing went into it.\n";
        return;
    }
    out << fmt::format("\nbuilt {} (piston face first{})\n", built.built->date().text(),
                       built.accepted ? ", as accepted" : "");
    for (const inventory::StackRow& row : built.rows) {
        out << rowText(row);
        const std::size_t replaced = row.replaces ? static_cast<std::size_t>(*row.replaces) : 0;
        if (replaced >= 1 && replaced <= built.target.size())
            out << "   in place of " << rowText(built.target[replaced - 1]);
        out << '\n';
    }
    out << fmt::format("height {} mm{}, target {} mm; {}\n", built.height.text(2),
                       built.measured_height
                           ? fmt::format(" ({} as measured)", built.measured_height->text(3))
                           : std::string(),
                       built.target_height.text(2), built.curve_sentence);
    for (const std::string& note : built.notes) out << "Note: " << note << '\n';
    out << "\nwent in\n";
    for (const services::BuiltLot& lot : built.lots) {
        out << fmt::format(
            "{:>4} {:<6} {}{}{}, from {}{}\n", lot.quantity, inventory::quantityUnitName(lot.part.unit),
            inventory::partText(lot.part), lot.condition == inventory::Condition::used ? ", used" : "",
            lot.measured ? fmt::format(", read {}", lot.measured->mean.text(3)) : std::string(), lot.bin,
            lot.wanted_part.empty() ? std::string() : ", in place of " + lot.wanted_part);
    }
}

} // namespace

int runJobList(const JobListVerb& verb, Streams& streams) {
    if (verb.all && verb.ended) throw InputError("--all lists the ended jobs too: leave --ended away");
    services::JobFilter filter;
    if (verb.all) filter.which = services::JobFilter::Which::all;
    if (verb.ended) filter.which = services::JobFilter::Which::ended;
    filter.words = verb.words;
    filter.customer = verb.customer;
    if (!verb.due_until.empty()) filter.due_until = inventory::CalendarDate::parse(verb.due_until);
    filter.least_priority = verb.priority;
    filter.late = verb.late;
    auto shop = openShop(verb.shop_file, streams);
    const auto left_short = services::shortJobs(shop);
    const auto today = shop.now().date();
    nlohmann::json root = nlohmann::json::array();
    const std::vector<inventory::Job> jobs = services::listedJobs(shop, filter);
    std::map<std::string, int> last_legs; // of each component
    for (const inventory::Job& job : jobs) {
        int& last = last_legs[job.valve_of.empty() ? job.code : job.valve_of];
        last = std::max(last, lastLeg(job));
    }
    for (const inventory::Job& job : jobs) {
        const int days_late = services::daysLate(job, today);
        const std::string situation = situationOf(shop, job, left_short);
        if (verb.json) {
            root.push_back(jobJson(job, days_late));
            root.back()["situation"] = situation;
            continue;
        }
        std::string when = job.due ? "due " + job.due->text() : std::string();
        if (days_late > 0) when += ", " + services::lateText(days_late);
        streams.out << fmt::format(
            "{:<10} {:<14} {:<12} {} leg{}  {:<28} priority {}  {}{}\n", job.code, job.model,
            services::valveText(job, last_legs.at(job.valve_of.empty() ? job.code : job.valve_of)), job.legs,
            job.legs == 1 ? " " : "s", when, job.priority, situation,
            job.customer.empty() ? std::string() : "; for " + job.customer);
    }
    if (verb.json)
        streams.out << root.dump(2) << '\n';
    else if (jobs.empty())
        streams.out << "No job is like that.\n";
    return exit_done;
}

int runJobReopen(const JobReopenVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const inventory::ReopenedJob reopened = inventory::reopenJob(shop, verb.job);
    if (verb.json) {
        const nlohmann::json root = {{"job", verb.job},
                                     {"was", inventory::jobStatusName(reopened.was)},
                                     {"status", inventory::jobStatusName(reopened.now)}};
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    streams.out << verb.job << " was " << inventory::jobStatusName(reopened.was) << " and is "
                << inventory::jobStatusName(reopened.now)
                << " again: what was pulled for it stays pulled, and nothing is reserved for it.\n";
    return exit_done;
}

int runJobShow(const SheetVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const inventory::Job job = inventory::JobBook(shop).get(verb.job);
    const bool ended = hasEnded(job.status);
    if (verb.json) {
        nlohmann::json root = jobJson(job, services::daysLate(job, shop.now().date()));
        root["situation"] = situationOf(shop, job, services::shortJobs(shop, verb.job));
        root["target"] = rowsJson(services::targetRows(shop, verb.job));
        if (ended) root["built"] = builtJson(services::builtJob(shop, verb.job));
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    streams.out << fmt::format("{}: {}, {} valve, {} legs, {}{}\n", job.code, job.model, job.valve.name,
                               job.legs, inventory::jobStatusName(job.status),
                               job.ended ? " on " + job.ended->date().text() : "");
    if (ended) {
        tellBuilt(services::builtJob(shop, verb.job), streams.out);
        return exit_done;
    }
    const auto left_short = services::shortJobs(shop, verb.job);
    if (const auto found = left_short.find(verb.job); found != left_short.end())
        streams.out << verb.job << " is " << found->second << ".\n";
    for (const auto role : {inventory::StackRole::target, inventory::StackRole::build}) {
        const auto rows = services::stackView(shop, verb.job, role);
        if (rows.empty()) continue;
        streams.out << fmt::format("\n{} (piston face first)\n{:<20} {:>7} {:>8} {:>9} {:>8}  bins\n",
                                   inventory::stackRoleName(role), "row", "needed", "on hand", "reserved",
                                   "missing");
        for (const services::StackRowView& row : rows) {
            streams.out << fmt::format("{:<20} {:>7} {:>8} {:>9} {:>8}  {}\n", rowText(row.row), row.needed,
                                       row.on_hand, row.reserved, row.missing, row.binText());
        }
    }
    if (services::targetRows(shop, verb.job).empty()) {
        streams.out << "It has no target yet: 'job target' sets one.\n";
        return exit_done;
    }
    for (const services::ConsumableShortage& shortage :
         services::jobShortages(shop, verb.job).consumables_short)
        streams.out << "Short: " << shortage.sentence << '\n';
    return exit_done;
}

} // namespace shimledger::command
