#include "app/command/known_names.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/plan_job.h"
#include "app/services/short_jobs.h"
#include "app/services/stack_view.h"
#include "inventory/job_book.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <ostream>
#include <string>
#include <vector>

namespace shimledger::command {

namespace {

bool ended(inventory::JobStatus status) {
    return status == inventory::JobStatus::closed || status == inventory::JobStatus::cancelled;
}

std::string shortText(inventory::ShopFile& shop, const inventory::Job& job) {
    if (job.status != inventory::JobStatus::open) return std::string(inventory::jobStatusName(job.status));
    try {
        const services::JobCheck check = services::checkJob(shop, job.code);
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

} // namespace

int runJobList(const SheetVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto left_short = services::shortJobs(shop);
    for (const inventory::Job& job : inventory::JobBook(shop).list()) {
        const auto found = left_short.find(job.code);
        const std::string mark = found == left_short.end() ? std::string() : ", " + found->second;
        streams.out << fmt::format("{:<10} {:<14} {:<12} {} leg{}  {}\n", job.code, job.model, job.valve.name,
                                   job.legs, job.legs == 1 ? " " : "s",
                                   ended(job.status) ? std::string(inventory::jobStatusName(job.status))
                                                     : shortText(shop, job) + mark);
    }
    return exit_done;
}

int runJobShow(const SheetVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const inventory::Job job = inventory::JobBook(shop).get(verb.job);
    streams.out << fmt::format("{}: {}, {} valve, {} legs, {}\n", job.code, job.model, job.valve.name,
                               job.legs, inventory::jobStatusName(job.status));
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
            streams.out << fmt::format(
                "{:<20} {:>7} {:>8} {:>9} {:>8}  {}\n",
                fmt::format("{} x {} x {}", row.row.count, row.row.od.text(), row.row.thickness.text(2)),
                row.needed, row.on_hand, row.reserved, row.missing, row.binText());
        }
    }
    if (!ended(job.status)) {
        for (const services::ConsumableShortage& shortage :
             services::checkJob(shop, verb.job).consumables_short)
            streams.out << "Short: " << shortage.sentence << '\n';
    }
    return exit_done;
}

} // namespace shimledger::command
