// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/job_verbs.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"

#include "app/services/job_intake.h"
#include "app/services/job_wishes.h"
#include "app/services/stock_to_request.h"
#include "inventory/job_book.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

planner::WantedFactor wantedOf(const JobTriesVerb& verb) {
    return verb.wanted.empty() ? planner::WantedFactor() : planner::WantedFactor::read(verb.wanted);
}

/// One thing at a time: what is kept, taken or dropped.
void mustBeOne(const JobTriesVerb& verb) {
    const int asked = static_cast<int>(!verb.keep.empty()) + static_cast<int>(!verb.take.empty()) +
                      static_cast<int>(!verb.drop.empty());
    if (asked > 1) throw InputError("give one of --keep, --take and --drop");
    if (verb.keep.empty() && (!verb.name.empty() || !verb.wanted.empty()))
        throw InputError("--name and --wanted go with --keep");
    if (verb.keep.empty() && verb.take.empty() && !verb.made_by.empty())
        throw InputError("--by goes with --keep or --take");
}

std::string triesJson(const std::vector<services::TryTold>& tries) {
    nlohmann::json root = nlohmann::json::array();
    for (const services::TryTold& told : tries) {
        nlohmann::json rows = nlohmann::json::array();
        for (const inventory::StackRow& row : told.tried.rows) {
            rows.push_back({{"count", row.count},
                            {"od_mm", row.od.millimetres()},
                            {"thickness_mm", row.thickness.millimetres()}});
        }
        root.push_back(
            {{"name", told.tried.name},
             {"wanted", told.tried.wanted},
             {"wish", told.wish},
             {"gives", told.given},
             {"kept_as", inventory::tryUseName(told.tried.kept_as)},
             {"base", told.tried.base},
             {"made_by", told.tried.made_by},
             {"made_utc", told.tried.made.text()},
             {"clamp_od_mm",
              told.tried.clamp_od ? nlohmann::json(told.tried.clamp_od->millimetres()) : nlohmann::json()},
             {"discs", std::move(rows)}});
    }
    return root.dump(2) + "\n";
}

void tell(const std::vector<services::TryTold>& tries, std::ostream& out) {
    if (tries.empty()) out << "Nothing was tried for this job yet.\n";
    for (const services::TryTold& told : tries) {
        const inventory::StackTry& tried = told.tried;
        out << fmt::format("{}: {}\n", tried.name, told.stack);
        if (!told.wish.empty()) out << "  wished: " << told.wish << '\n';
        out << "  gives at most " << told.given << '\n';
        const std::string kept(inventory::tryUseName(tried.kept_as));
        out << fmt::format("  made:   {}{}{}\n", tried.made.date().text(),
                           tried.made_by.empty() ? "" : ", " + tried.made_by,
                           kept.empty() ? "" : "; kept as " + kept);
    }
}

} // namespace

int runJobTries(const JobTriesVerb& verb, Streams& streams) {
    mustBeOne(verb);
    const planner::WantedFactor wanted = wantedOf(verb);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    if (!verb.keep.empty()) {
        const planner::StackSpec stack =
            services::plannerStack(inventory::JobBook(shop).get(verb.job), services::bookRows(verb.keep));
        const auto kept = services::keepTry(shop, verb.job, verb.name, stack, wanted, verb.made_by);
        if (!verb.json) streams.out << "Kept with " << verb.job << " as " << kept.name << ".\n";
    } else if (!verb.take.empty()) {
        const auto tried = inventory::StackTries(shop).find(verb.job, verb.take);
        if (!tried)
            throw InputError(
                fmt::format("job '{}' has no try '{}': job tries lists them", verb.job, verb.take));
        services::keepAsTarget(shop, verb.job, services::triedStack(shop, *tried),
                               tried->wanted.empty() ? planner::WantedFactor()
                                                     : planner::WantedFactor::read(tried->wanted),
                               verb.made_by);
        if (!verb.json)
            streams.out << verb.take << " is the target of " << verb.job << "; the one before is kept.\n";
    } else if (!verb.drop.empty()) {
        inventory::StackTries(shop).remove(verb.job, verb.drop);
        if (!verb.json) streams.out << verb.drop << " is thrown away.\n";
    }
    const bool changed = !verb.keep.empty() || !verb.take.empty() || !verb.drop.empty();
    if (verb.json)
        streams.out << triesJson(services::jobTries(shop, verb.job));
    else if (!changed)
        tell(services::jobTries(shop, verb.job), streams.out);
    return exit_done;
}

} // namespace shimledger::command
