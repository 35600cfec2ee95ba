// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_wishes.h"

#include "app/services/built_job.h"
#include "app/services/curve_difference.h"
#include "app/services/job_intake.h"
#include "app/services/job_target.h"
#include "app/services/proposal_text.h"
#include "app/services/stock_to_request.h"
#include "app/services/working_lift.h"
#include "inventory/job_book.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace shimledger::services {

namespace {

using inventory::Job;
using inventory::StackRow;
using inventory::StackTries;
using inventory::StackTry;
using inventory::TryUse;

std::vector<StackRow> sizesOf(std::vector<StackRow> rows) {
    for (StackRow& row : rows) row.replaces.reset();
    return rows;
}

inventory::JobStack stackOf(const StackTry& tried) {
    return {inventory::StackRole::target, 0, tried.rows, tried.clamp_od};
}

/// What a try was held against: another one, or else the job's target as it is now.
inventory::JobStack baseOf(inventory::ShopFile& shop, const StackTry& tried) {
    if (!tried.base.empty()) {
        if (const auto base = StackTries(shop).find(tried.job, tried.base)) return stackOf(*base);
    }
    return {inventory::StackRole::target, 0, targetRows(shop, tried.job), {}};
}

/// A wish that was kept in an older form, or typed into a file, may be none that can be read.
std::optional<planner::WantedFactor> wishOf(const StackTry& tried) {
    if (tried.wanted.empty()) return std::nullopt;
    try {
        return planner::WantedFactor::read(tried.wanted);
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// Where a wish bends, and the end of the working lift.
std::vector<double> toldLifts(const planner::WantedFactor& wish, double working_lift_mm) {
    std::vector<double> lifts;
    for (const planner::WantedPoint& point : wish.points()) {
        if (point.lift_mm > 0 && point.lift_mm < working_lift_mm) lifts.push_back(point.lift_mm);
    }
    lifts.push_back(working_lift_mm);
    return lifts;
}

std::string givenText(inventory::ShopFile& shop, const Job& job, const StackTry& tried,
                      const std::vector<planner::Pull>& pulls, const planner::WantedFactor& wish,
                      double working_lift_mm) {
    const std::vector<double> lifts = toldLifts(wish, working_lift_mm);
    const CurveDifference given =
        curveDifference(job, baseOf(shop, tried), stackOf(tried), pulls, working_lift_mm, lifts);
    if (given.changes.empty()) return given.sentence;
    std::string text;
    for (std::size_t i = 0; i < lifts.size(); ++i)
        text += fmt::format("{}{} at {}", text.empty() ? "" : ", ", percentText(given.changes[i]),
                            planner::liftText(lifts[i]));
    return text;
}

std::string wishSentence(inventory::ShopFile& shop, const Job& job, const StackTry& tried,
                         const std::vector<planner::Pull>& pulls, double working_lift_mm) {
    const auto wish = wishOf(tried);
    const std::string who = tried.made_by.empty() ? "" : tried.made_by + ", ";
    const bool target = tried.kept_as == TryUse::target;
    return fmt::format(
        "Wished ({}{}): {}, against {}. {} gives {}.", who, tried.made.date().text(),
        wish ? wish->words() : tried.wanted, target ? "the target that was" : "the target",
        target ? "The new target" : "The build",
        givenText(shop, job, tried, pulls, wish.value_or(planner::WantedFactor()), working_lift_mm));
}

/// The latest that has this use and these discs.
const StackTry* latest(const std::vector<StackTry>& tries, TryUse use, const std::vector<StackRow>& rows) {
    const auto found = std::find_if(tries.rbegin(), tries.rend(), [&](const StackTry& tried) {
        return tried.kept_as == use && tried.rows == rows && !tried.wanted.empty();
    });
    return found == tries.rend() ? nullptr : &*found;
}

std::vector<std::string> wishesOf(inventory::ShopFile& shop, const Job& job, double working_lift_mm,
                                  std::vector<planner::Pull> pulls = {}) {
    std::vector<std::string> sentences;
    const std::vector<StackTry> tries = StackTries(shop).ofJob(job.code);
    if (tries.empty()) return sentences; // as of most jobs
    const double lift_mm = workingLift(shop, job).value_or(working_lift_mm);
    const inventory::JobBook book(shop);
    if (pulls.empty() &&
        (job.status == inventory::JobStatus::pulled || job.status == inventory::JobStatus::closed))
        pulls = builtPulls(builtJob(shop, job.code, lift_mm));
    for (const auto& [role, use] : {std::pair(inventory::StackRole::target, TryUse::target),
                                    std::pair(inventory::StackRole::build, TryUse::build)}) {
        // A plan that was released again stays in the book, but it is no longer what will be built.
        if (use == TryUse::build && job.status == inventory::JobStatus::open) continue;
        const auto stack = book.stack(job.code, role);
        if (!stack) continue;
        if (const StackTry* tried = latest(tries, use, sizesOf(stack->rows)))
            sentences.push_back(wishSentence(
                shop, job, *tried, use == TryUse::build ? pulls : std::vector<planner::Pull>(), lift_mm));
    }
    return sentences;
}

/// On the job's valve, or on that with another clamp.
void mustFit(const Job& job, const planner::StackSpec& stack) {
    const inventory::JobStack on_its_clamp{inventory::StackRole::target, 0, bookRows(stack.rows()),
                                           stack.valve().clamp_od};
    if (plannerStack(job, on_its_clamp) != stack)
        throw InputError("the stack is for another valve than job '" + job.code + "' has");
}

std::string wishText(const planner::WantedFactor& wanted) {
    return wanted.changesNothing() ? std::string() : wanted.text();
}

} // namespace

StackTry keepTry(inventory::ShopFile& shop, std::string_view job, std::string_view name,
                 const planner::StackSpec& stack, const planner::WantedFactor& wanted,
                 std::string_view made_by) {
    StackTry tried;
    shop.atomically([&] {
        StackTries tries(shop);
        tried.job = job;
        tried.name = name.empty() ? tries.freeName(job) : std::string(name);
        tried.wanted = wishText(wanted);
        tried.made_by = made_by;
        tried.made = shop.now();
        tried.rows = bookRows(stack.rows());
        const Job of = inventory::JobBook(shop).get(job);
        mustFit(of, stack);
        if (stack.valve().clamp_od != of.valve.clamp_od) tried.clamp_od = stack.valve().clamp_od;
        tries.add(tried);
    });
    return tried;
}

StackTry keepAsTarget(inventory::ShopFile& shop, std::string_view job, const planner::StackSpec& stack,
                      const planner::WantedFactor& wanted, std::string_view made_by) {
    StackTry tried;
    shop.atomically([&] {
        StackTries tries(shop);
        const std::vector<StackRow> before = targetRows(shop, job);
        const Job of = inventory::JobBook(shop).get(job);
        mustFit(of, stack);
        const Length clamp_before = of.valve.clamp_od;
        const SavedTarget saved = saveTarget(shop, job, stack, true);
        if (!saved.changed)
            throw InputError("that stack is the target of job '" + std::string(job) + "' already");
        StackTry base;
        base.job = tried.job = job;
        base.made_by = tried.made_by = made_by;
        base.made = tried.made = shop.now();
        if (!before.empty()) {
            base.name = tries.freeName(job, "Target");
            base.kept_as = TryUse::base;
            base.rows = before;
            if (clamp_before != stack.valve().clamp_od) base.clamp_od = clamp_before;
            tries.add(base);
        }
        tried.name = tries.freeName(job, "New target");
        tried.wanted = wishText(wanted);
        tried.kept_as = TryUse::target;
        tried.base = base.name;
        tried.rows = saved.rows;
        tries.add(tried);
    });
    return tried;
}

planner::StackSpec triedStack(inventory::ShopFile& shop, const StackTry& tried) {
    return plannerStack(inventory::JobBook(shop).get(tried.job), stackOf(tried));
}

std::vector<std::string> jobWishes(inventory::ShopFile& shop, std::string_view job, double working_lift_mm,
                                   const std::vector<planner::Pull>& pulls) {
    std::vector<std::string> sentences;
    shop.consistently(
        [&] { sentences = wishesOf(shop, inventory::JobBook(shop).get(job), working_lift_mm, pulls); });
    return sentences;
}

std::vector<std::string> earlierWishes(inventory::ShopFile& shop, std::string_view code,
                                       double working_lift_mm) {
    std::vector<std::string> sentences;
    shop.consistently([&] {
        const Job job = inventory::JobBook(shop).get(code);
        if (job.component.empty()) return;
        std::vector<Job> earlier;
        for (Job& other : inventory::JobBook(shop).list()) {
            if (other.code != job.code && other.component == job.component && other.model == job.model &&
                other.valve.name == job.valve.name && other.opened <= job.opened &&
                other.status != inventory::JobStatus::cancelled)
                earlier.push_back(std::move(other));
        }
        std::sort(earlier.begin(), earlier.end(), [](const Job& a, const Job& b) {
            return std::pair(b.opened, b.code) < std::pair(a.opened, a.code);
        });
        for (const Job& other : earlier) {
            for (const std::string& sentence : wishesOf(shop, other, working_lift_mm))
                sentences.push_back(other.code + ": " + sentence);
            if (!sentences.empty()) return;
        }
    });
    return sentences;
}

std::vector<TryTold> jobTries(inventory::ShopFile& shop, std::string_view code, double working_lift_mm) {
    std::vector<TryTold> told;
    shop.consistently([&] {
        const Job job = inventory::JobBook(shop).get(code);
        const double lift_mm = workingLift(shop, job).value_or(working_lift_mm);
        for (StackTry& tried : StackTries(shop).ofJob(code)) {
            const CurveDifference given =
                curveDifference(job, baseOf(shop, tried), stackOf(tried), {}, lift_mm);
            const auto wish = wishOf(tried);
            TryTold one{{},
                        wish ? wish->words() : tried.wanted,
                        given.sentence,
                        planner::stackText(plannerRows(tried.rows), "; ")};
            if (given.deviation)
                one.given = fmt::format("{} at {:.2f} mm", percentText(given.deviation->signed_deviation),
                                        given.deviation->at_lift_mm);
            one.tried = std::move(tried);
            told.push_back(std::move(one));
        }
    });
    return told;
}

} // namespace shimledger::services
