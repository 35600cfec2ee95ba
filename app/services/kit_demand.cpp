// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kit_demand.h"

#include "app/services/stock_to_request.h"
#include "inventory/job_book.h"
#include "planner/reorder/season.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace shimledger::services {

namespace {

constexpr int days_a_week = 7, weeks_known_at_most = 156, weeks_a_year = 52;
constexpr double least_years = 0.25;

int daysBetween(inventory::CalendarDate from, inventory::CalendarDate to) {
    return static_cast<int>((to.day() - from.day()).count());
}

/// A job that counts, with its target.
struct AskedJob {
    inventory::Job job;
    std::size_t stack = 0;
};

/// Jobs week by week, oldest first, the last week ending with today.
std::vector<double> weekByWeek(const std::vector<AskedJob>& jobs, inventory::CalendarDate today, int weeks) {
    std::vector<double> counts(static_cast<std::size_t>(weeks), 0);
    for (const AskedJob& one : jobs) {
        const int back = daysBetween(one.job.opened, today) / days_a_week;
        if (back >= 0 && back < weeks) counts[static_cast<std::size_t>(weeks - 1 - back)] += 1;
    }
    return counts;
}

double clumpingOf(const std::vector<double>& weeks) {
    if (weeks.size() < 13) return 1;
    double sum = 0, squares = 0;
    for (const double week : weeks) sum += week;
    const double mean = sum / static_cast<double>(weeks.size());
    for (const double week : weeks) squares += (week - mean) * (week - mean);
    constexpr double most = 4;
    return mean > 0 ? std::clamp(squares / static_cast<double>(weeks.size() - 1) / mean, 1.0, most) : 1;
}

double unseenShare(const std::vector<AskedJob>& in_time) {
    constexpr std::size_t few = 12;
    constexpr double usual = 0.2;
    if (in_time.size() < few) return usual;
    std::vector<std::size_t> seen;
    int later = 0, fresh = 0;
    for (std::size_t i = 0; i < in_time.size(); ++i) {
        const bool known = std::find(seen.begin(), seen.end(), in_time[i].stack) != seen.end();
        if (!known) seen.push_back(in_time[i].stack);
        if (i < in_time.size() / 2) continue;
        ++later;
        fresh += known ? 0 : 1;
    }
    return std::clamp(static_cast<double>(fresh) / later, 0.05, 0.5);
}

} // namespace

KitSeason parseKitSeason(const std::string& text) {
    const std::size_t dots = text.find("..");
    if (dots == std::string::npos)
        throw InputError("'" + text.substr(0, 40) +
                         "' is no season: write its first and last day, such as 2026-03-01..2026-08-31");
    const KitSeason season{inventory::CalendarDate::parse(text.substr(0, dots)),
                           inventory::CalendarDate::parse(text.substr(dots + 2))};
    constexpr int most_days = 731;
    const int days = daysBetween(season.from, season.until);
    if (days < 0) throw InputError("the season ends before it begins: write the earlier day first");
    if (days > most_days) throw InputError("the season is longer than two years: plan a shorter one");
    return season;
}

KitDemandBook kitDemandOf(inventory::ShopFile& shop, const KitSeason& season, double window_days) {
    KitDemandBook book;
    const inventory::CalendarDate today = shop.now().date();
    const inventory::JobBook jobs(shop);
    std::vector<AskedJob> asked;
    int without = 0, wrong = 0;
    for (const inventory::Job& job : jobs.list()) {
        if (job.status == inventory::JobStatus::cancelled) continue;
        if (daysBetween(job.opened, today) >= weeks_known_at_most * days_a_week) continue;
        const auto target = jobs.stack(job.code, inventory::StackRole::target);
        if (!target || target->rows.empty()) {
            ++without;
            continue;
        }
        try {
            const planner::StackSpec stack = plannerStack(job, target->rows);
            const auto known = std::find_if(book.wanted.begin(), book.wanted.end(), [&](const auto& one) {
                return one.legs == job.legs && one.stack == stack;
            });
            asked.push_back({job, static_cast<std::size_t>(known - book.wanted.begin())});
            if (known == book.wanted.end())
                book.wanted.push_back({"as in " + job.code, stack, job.legs, 0, 0});
        } catch (const InputError&) {
            ++wrong; // it is told where the job is worked on
        }
    }
    std::stable_sort(asked.begin(), asked.end(), [](const AskedJob& a, const AskedJob& b) {
        return std::pair(a.job.opened, a.job.code) < std::pair(b.job.opened, b.job.code);
    });
    book.jobs = static_cast<int>(asked.size());
    const int days = asked.empty() ? 0 : std::max(0, daysBetween(asked.front().job.opened, today)) + 1;
    book.years = std::max(least_years, days / 365.25);
    for (const AskedJob& one : asked) {
        planner::WantedStack& wanted = book.wanted[one.stack];
        wanted.jobs_a_year += 1 / book.years;
        if (one.job.status == inventory::JobStatus::open) ++wanted.waiting;
    }
    const int weeks = std::clamp(days / days_a_week, 0, weeks_known_at_most);
    const std::vector<double> by_week = weekByWeek(asked, today, weeks);
    book.clumping = clumpingOf(by_week);
    book.unseen_share = unseenShare(asked);
    const planner::Season found = planner::findSeason(by_week, weeks_a_year);
    const int windows =
        std::max(1, static_cast<int>(std::ceil((daysBetween(season.from, season.until) + 1) / window_days)));
    for (int w = 0; w < windows; ++w) {
        double sum = 0;
        int looks = 0;
        for (double day = w * window_days; day < (w + 1) * window_days; day += days_a_week, ++looks)
            sum += found.factor((daysBetween(today, season.from) + static_cast<int>(day)) / days_a_week);
        book.season.push_back(looks > 0 ? sum / looks : 1);
    }
    if (book.jobs > 0 && days < 91)
        book.notes.push_back(
            fmt::format("the jobs reach back {} days only: their numbers a year are rough", days));
    if (without > 0)
        book.notes.push_back(fmt::format("{} {} no target stack and {} not counted", without,
                                         without == 1 ? "job has" : "jobs have",
                                         without == 1 ? "is" : "are"));
    if (wrong > 0)
        book.notes.push_back(
            fmt::format("the target of {} {} is no stack that can exist in its valve and is not counted",
                        wrong, wrong == 1 ? "job" : "jobs"));
    return book;
}

} // namespace shimledger::services
