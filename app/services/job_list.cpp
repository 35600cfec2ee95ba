// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_list.h"

#include "app/services/folded_text.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <string_view>

namespace shimledger::services {

namespace {

bool holdsAll(const std::string& text, std::string_view typed) {
    const std::string in = folded(text);
    const auto words = foldedWords(typed);
    return std::all_of(words.begin(), words.end(),
                       [&](const std::string& word) { return in.find(word) != std::string::npos; });
}

/// Line ends between what is apart, so that no word is found across.
std::string allText(const inventory::Job& job, int days_late) {
    std::string text;
    for (const std::string& part :
         {job.code, job.customer, job.component, job.model, job.valve.name, job.note,
          job.due ? job.due->text() : std::string(), std::string(inventory::jobStatusName(job.status)),
          lateText(days_late), "priority" + std::to_string(job.priority)})
        text += part + '\n';
    return text;
}

} // namespace

int daysLate(const inventory::Job& job, inventory::CalendarDate today) {
    if (!job.due || hasEnded(job.status) || *job.due >= today) return 0;
    return static_cast<int>((today.day() - job.due->day()).count());
}

std::string lateText(int days_late) {
    if (days_late <= 0) return {};
    return std::to_string(days_late) + (days_late == 1 ? " day late" : " days late");
}

bool isListed(const inventory::Job& job, const JobFilter& filter, inventory::CalendarDate today) {
    if (filter.which != JobFilter::Which::all &&
        hasEnded(job.status) != (filter.which == JobFilter::Which::ended))
        return false;
    const int late = daysLate(job, today);
    if (filter.late && late == 0) return false;
    if (filter.due_until && (!job.due || *job.due > *filter.due_until)) return false;
    if (filter.least_priority && job.priority < *filter.least_priority) return false;
    return holdsAll(job.customer, filter.customer) && holdsAll(allText(job, late), filter.words);
}

std::vector<inventory::Job> listedJobs(inventory::ShopFile& shop, const JobFilter& filter) {
    if (filter.late && filter.which == JobFilter::Which::ended)
        throw InputError("a job that has ended is not late: ask for the late ones or for the ended ones");
    if (filter.least_priority && (*filter.least_priority < 0 || *filter.least_priority > 9)) {
        throw InputError("the least priority is 0 to 9, not " + std::to_string(*filter.least_priority));
    }
    std::vector<inventory::Job> jobs = inventory::JobBook(shop).list();
    const inventory::CalendarDate today = shop.now().date();
    std::erase_if(jobs, [&](const inventory::Job& job) { return !isListed(job, filter, today); });
    return jobs;
}

} // namespace shimledger::services
