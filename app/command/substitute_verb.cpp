// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/all_jobs_report.h"
#include "app/command/known_names.h"
#include "app/command/stock_csv.h"
#include "app/command/substitute_report.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/component_valves.h"
#include "app/services/plan_all_jobs.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "app/services/warp_check.h"
#include "planner/substitute/search_rules.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <csignal>
#include <ostream>
#include <set>

namespace shimledger::command {

namespace {

// The one thing that a signal handler may write to.
volatile std::sig_atomic_t interrupted = 0;

extern "C" void noteInterrupt(int) {
    interrupted = 1;
}

/// While it lives, Ctrl-C ends the search with the best so far instead of the program.
class InterruptWatch {
public:
    InterruptWatch() : m_before(std::signal(SIGINT, noteInterrupt)) { interrupted = 0; }
    ~InterruptWatch() { std::signal(SIGINT, m_before); }
    InterruptWatch(const InterruptWatch&) = delete;
    InterruptWatch& operator=(const InterruptWatch&) = delete;

private:
    void (*m_before)(int);
};

services::SearchSettings settingsOf(const SubstituteVerb& verb) {
    services::SearchSettings settings;
    for (const planner::SearchRule& rule : planner::searchRules()) {
        std::string text;
        if (verb.rule_flags.contains(rule.name)) {
            text = verb.rule_flags.at(rule.name) ? "yes" : "no";
        } else if (verb.rule_words.contains(rule.name)) {
            for (const std::string& word : verb.rule_words.at(rule.name)) text += word + ",";
        } else {
            text = verb.rule_texts.at(rule.name);
        }
        planner::setRule(rule, text, settings.rules, settings.limits);
    }
    settings.lift_is_asked = verb.lift_is_asked;
    const planner::SubstituteRules& rules = settings.rules;
    if (rules.low_speed_lift_mm == 0 && rules.low_speed_weight != rules.high_speed_weight) {
        throw InputError("--low-speed-weight and --high-speed-weight differ: give --low-speed-lift, the lift "
                         "between them");
    }
    settings.progress = [](const planner::SubstituteProgress&) { return interrupted == 0; };
    return settings;
}

int tell(const SubstituteVerb& verb, const services::SearchSettings& settings,
         const services::CheckedSubstitutes& checked, const services::PurchaseAdvice& purchase,
         const services::WishAdvice& wish, Streams& streams) {
    const planner::SubstituteResult& result = checked.result;
    if (result.status == planner::SubstituteStatus::bad_request && !verb.json) {
        streams.error << result.message << '\n';
    } else if (verb.json) {
        streams.out << substitutesJson(settings, checked, purchase, wish);
    } else {
        tellSubstitutes(settings, checked, purchase, wish, streams.out);
    }
    return exitCodeOf(result.status);
}

services::AllJobsPlan planAll(const SubstituteVerb& verb, inventory::ShopFile& shop) {
    if (verb.all_jobs && verb.all_valves)
        throw InputError("--all-jobs plans every valve of every open job: leave --all-valves out");
    if (verb.all_jobs && !verb.job.empty())
        throw InputError("--all-jobs plans every open job of --db: give --db and no --job");
    mustBeJob(shop, verb.job);
    services::SearchSettings settings = settingsOf(verb);
    settings.rules.bins_left_alone = binCodes(shop, settings.rules.bins_left_alone);
    return services::planAllJobs(
        shop, settings, [](const planner::SharedProgress&) { return interrupted == 0; }, verb.plan_seconds,
        verb.job);
}

void tellReserved(const std::string& job, const services::ReservedPlan& reserved, Streams& streams) {
    streams.out << "Reserved for " << job << ": " << reserved.discs << " discs, "
                << reserved.consumablesText() << ".\n";
    for (const std::string& sentence : reserved.missing) streams.out << "Missing: " << sentence << '\n';
}

void tell(const SubstituteVerb& verb, const services::AllJobsPlan& all,
          const std::vector<services::ReservedJob>& reserved, Streams& streams) {
    if (verb.json) {
        streams.out << allJobsJson(all, reserved);
        return;
    }
    tellAllJobs(all, streams.out);
    for (const services::ReservedJob& job : reserved) tellReserved(job.job, job.reserved, streams);
}

int tell(const SubstituteVerb& verb, const services::SearchSettings& settings, const services::JobPlan& plan,
         const services::WishAdvice& wish, Streams& streams) {
    return tell(verb, settings, {plan.result, plan.range, plan.warp_results, plan.clicks}, plan.purchase,
                wish, streams);
}

/// Whoever stops the search does not wait for advice either.
double nearOf(const SubstituteVerb& verb) {
    return interrupted != 0 ? 0 : verb.near_percent / 100;
}

/// Others at work are nobody's fault. False: nothing could be booked.
bool tell(const services::Overtaken& overtaken, Streams& streams) {
    if (overtaken.why.empty()) return true;
    streams.error << "Note: " << overtaken.why << "; it was planned again.\n";
    if (overtaken.refused.empty()) return true;
    streams.error << "Nothing was reserved, as the second plan could not be booked either: "
                  << overtaken.refused << '\n';
    return false;
}

} // namespace

int runSubstitute(const SubstituteVerb& verb, Streams& streams) {
    const bool from_files = !verb.stack_file.empty() || !verb.stock_file.empty();
    const bool from_shop = !verb.shop_file.empty() || !verb.job.empty() || verb.all_jobs;
    if (from_files == from_shop)
        throw InputError("give either STACK.json with --stock, or --db with --job or --all-jobs");
    if (from_shop && verb.legs)
        throw InputError("--legs goes with STACK.json: a job has its own number of legs");
    services::SearchSettings settings = settingsOf(verb);
    const InterruptWatch watch;
    if (verb.all_valves && verb.job.empty())
        throw InputError("--all-valves plans the valves of one job's component: give --db and --job");
    if (verb.all_jobs || verb.all_valves) {
        if (verb.shop_file.empty()) throw InputError("--all-jobs plans the open jobs of a shop: give --db");
        auto shop = openShop(verb.shop_file, streams);
        const services::AllJobsPlan all = planAll(verb, shop);
        tell(verb, all, {}, streams);
        return exitCodeOf(all);
    }
    if (from_shop) {
        if (verb.shop_file.empty() || verb.job.empty())
            throw InputError("--db and --job belong together: give both");
        auto shop = openShop(verb.shop_file, streams);
        mustBeJob(shop, verb.job);
        settings.rules.bins_left_alone = binCodes(shop, settings.rules.bins_left_alone);
        const services::JobPlan plan = services::planJob(shop, verb.job, settings);
        const services::WishAdvice wish =
            services::wishAdvice(shop, plan.job, plan.request, plan.result, plan.range, nearOf(verb));
        return tell(verb, settings, plan, wish, streams);
    }
    if (verb.stack_file.empty() || verb.stock_file.empty())
        throw InputError("STACK.json and --stock belong together: give both");
    planner::SubstituteRequest request;
    request.target = readStack(verb.stack_file);
    request.legs = verb.legs.value_or(2);
    request.stock = readStockCsv(verb.stock_file);
    std::set<std::string> bins;
    for (const planner::StockItem& item : request.stock) bins.insert(item.bin);
    for (const std::string& bin : settings.rules.bins_left_alone)
        mustBeAmong("bin", bin, {bins.begin(), bins.end()}, "no line of " + verb.stock_file + " lies in it");
    request.rules = settings.rules;
    request.limits = settings.limits;
    request.progress = settings.progress;
    const services::CheckedSubstitutes checked = services::findCheckedSubstitutes(request);
    const services::WishAdvice wish =
        services::wishAdvice(request, checked.result, checked.range, nearOf(verb));
    return tell(verb, settings, checked, {}, wish, streams);
}

int runReserve(const SubstituteVerb& verb, Streams& streams) {
    if (verb.accept < 1) throw InputError("the number of the proposal must be 1 or more");
    if (verb.all_valves && verb.job.empty())
        throw InputError("--all-valves plans the valves of one job's component: give --job");
    if (verb.job.empty() && !verb.all_jobs)
        throw InputError("say what to reserve for: --job JOB, or --all-jobs for the plan of all open jobs");
    auto shop = openShop(verb.shop_file, streams);
    const InterruptWatch watch;
    if (verb.all_jobs || verb.all_valves) {
        if (verb.accept != 1)
            throw InputError(
                "--proposal picks among the proposals for one --job: leave it out with --all-jobs");
        const auto done = services::planAndReserveAll(shop, [&] {
            services::AllJobsPlan all = planAll(verb, shop);
            if (interrupted != 0) throw InputError("the planning was interrupted: nothing was reserved");
            return all;
        });
        if (!tell(done.overtaken, streams)) return exit_limit;
        tell(verb, done.plan, done.reserved, streams);
        return done.reserved.empty() ? exitCodeOf(done.plan) : exit_done;
    }
    mustBeJob(shop, verb.job);
    services::SearchSettings settings = settingsOf(verb);
    settings.rules.bins_left_alone = binCodes(shop, settings.rules.bins_left_alone);
    const auto done = services::planAndReserve(shop, verb.job, settings,
                                               static_cast<std::size_t>(verb.accept) - 1, verb.made_by);
    if (!tell(done.overtaken, streams)) return exit_limit;
    if (!done.reserved) return tell(verb, settings, done.plan, {}, streams);
    tellReserved(verb.job, *done.reserved, streams);
    for (const std::string& other : services::otherValves(shop, verb.job))
        streams.out << "Of the same component: " << other << ".\n";
    return exit_done;
}

} // namespace shimledger::command
