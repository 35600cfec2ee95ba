// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_outlook.h"

#include "inventory/part_kinds.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace shimledger::services {

namespace {

using inventory::CalendarDate;

/// One part that a job lacks.
struct Lack {
    std::int64_t pieces = 0;
    std::string what;
    std::optional<CalendarDate> there; ///< none: it is never there
    std::string from;                  ///< the supplier who brings the last of it; empty: on order already
    std::optional<CalendarDate> soonest;
    std::string soonest_from;
    bool is_shim = false;
};

struct Lacking {
    std::string job;
    std::optional<CalendarDate> due;
    std::vector<Lack> parts;
};

/// Pieces of each part that the plan brings, by day.
struct Arrival {
    CalendarDate day;
    std::int64_t pieces = 0;
    std::string from;
};

class Outlook {
public:
    Outlook(const ReorderInputs& inputs, const std::vector<SupplierOrder>& orders)
        : m_inputs(inputs), m_today(inputs.made.date()) {
        for (const SupplierOrder& order : orders) {
            const CalendarDate day = m_today.plusDays(std::max(0, order.supplier.lead_time_days));
            for (const ReorderLine& line : order.lines) {
                if (line.pieces() > 0)
                    m_coming[line.part].push_back({day, line.pieces(), order.supplier.name});
            }
        }
        for (auto& [part, arrivals] : m_coming) {
            std::stable_sort(arrivals.begin(), arrivals.end(),
                             [](const Arrival& a, const Arrival& b) { return a.day < b.day; });
        }
        for (const auto& supplier : inputs.suppliers) m_suppliers[supplier.name] = &supplier;
    }

    void add(const PartNeed& need, const inventory::Part& part) {
        const auto demand = m_inputs.job_demand.find(part.code);
        if (demand == m_inputs.job_demand.end()) return;
        std::int64_t beyond = -std::max<std::int64_t>(0, need.line.available());
        for (const JobWant& want : demand->second.wants) { // the more urgent take what is there
            const std::int64_t before = beyond;
            beyond += want.pieces;
            if (beyond <= 0) continue;
            Lack lack;
            lack.pieces = beyond - std::max<std::int64_t>(0, before);
            lack.what = need.line.what;
            lack.is_shim = part.kind == inventory::PartKind::shim;
            arrive(lack, need, part.code, beyond);
            for (const auto& offer : need.offers) {
                const CalendarDate day = m_today.plusDays(m_suppliers.at(offer.supplier)->lead_time_days);
                if (lack.soonest && *lack.soonest <= day) continue;
                lack.soonest = day;
                lack.soonest_from = offer.supplier;
            }
            jobOf(want).parts.push_back(std::move(lack));
        }
    }

    std::vector<JobOutlook> finish() {
        std::vector<JobOutlook> outlooks;
        for (const Lacking& job : m_jobs) outlooks.push_back(outlookOf(job));
        std::stable_partition(outlooks.begin(), outlooks.end(), [](const JobOutlook& o) { return o.late; });
        return outlooks;
    }

private:
    void arrive(Lack& lack, const PartNeed& need, const std::string& part, std::int64_t beyond) const {
        if (beyond <= need.line.on_order) {
            const auto by = m_inputs.coming_by.find(part);
            if (by != m_inputs.coming_by.end()) lack.there = std::max(by->second, m_today);
            return;
        }
        std::int64_t pieces = need.line.on_order;
        const auto coming = m_coming.find(part);
        if (coming == m_coming.end()) return;
        for (const Arrival& arrival : coming->second) {
            pieces += arrival.pieces;
            if (pieces < beyond) continue;
            lack.there = arrival.day;
            lack.from = arrival.from;
            return;
        }
    }

    Lacking& jobOf(const JobWant& want) {
        for (Lacking& job : m_jobs) {
            if (job.job == want.job) return job;
        }
        m_jobs.push_back({want.job, want.due, {}});
        return m_jobs.back();
    }

    [[nodiscard]] JobOutlook outlookOf(const Lacking& job) const {
        JobOutlook outlook;
        outlook.job = job.job;
        outlook.due = job.due;
        bool never = false;
        for (const Lack& lack : job.parts) {
            never = never || !lack.there;
            if (lack.there) outlook.there = std::max(outlook.there.value_or(*lack.there), *lack.there);
        }
        if (never) outlook.there.reset();
        outlook.late = never || (job.due && *outlook.there > *job.due);
        std::string text = job.job + (job.due ? " (due " + job.due->text() + ")" : "");
        text += outlook.late ? " cannot be ready in time: it lacks " : " stands still: it lacks ";
        std::vector<std::string> parts, sizes;
        for (const Lack& lack : job.parts) {
            parts.push_back(lackText(lack));
            sizes.push_back(sizeText(lack));
        }
        text += fmt::format("{}", fmt::join(parts, "; "));
        outlook.lacks = fmt::format("{}", fmt::join(sizes, "; "));
        if (outlook.late && outlook.there) {
            const int days = outlook.days_late =
                static_cast<int>((outlook.there->day() - job.due->day()).count());
            text += fmt::format(", {} late", days == 1 ? std::string("a day") : fmt::format("{} days", days));
        }
        if (outlook.late) {
            outlook.advice = fmt::format("{}", fmt::join(whatCouldBeDone(job, outlook), ". "));
            if (!outlook.advice.empty()) text += ". " + outlook.advice;
        }
        outlook.sentence = text;
        return outlook;
    }

    [[nodiscard]] static std::string sizeText(const Lack& lack) {
        return fmt::format("{} x {}", lack.pieces, lack.what);
    }

    [[nodiscard]] static std::string lackText(const Lack& lack) {
        const std::string text = sizeText(lack);
        if (!lack.there) return text + ", which nobody sells";
        if (lack.from.empty()) return text + ", on order, expected by " + lack.there->text();
        return text + ", there by " + lack.there->text() + " from " + lack.from;
    }

    /// One sentence each.
    [[nodiscard]] static std::vector<std::string> whatCouldBeDone(const Lacking& job,
                                                                  const JobOutlook& outlook) {
        std::vector<std::string> advice;
        bool shim = false, all_offered = true;
        std::optional<CalendarDate> soonest;
        for (const Lack& lack : job.parts) {
            shim = shim || lack.is_shim;
            const auto day = lack.soonest && lack.there ? std::min(*lack.soonest, *lack.there)
                             : lack.there               ? *lack.there
                                                        : lack.soonest.value_or(CalendarDate());
            all_offered = all_offered && (lack.there || lack.soonest);
            if (soonest ? day > *soonest : true) soonest = day;
        }
        if (shim) advice.emplace_back("Other discs of the drawers may do: look for substitutes");
        if (all_offered && soonest && outlook.there && *soonest < *outlook.there) {
            std::vector<std::string> froms;
            for (const Lack& lack : job.parts) {
                if (lack.soonest && lack.there && *lack.soonest < *lack.there)
                    froms.push_back(lack.soonest_from);
            }
            std::sort(froms.begin(), froms.end());
            froms.erase(std::unique(froms.begin(), froms.end()), froms.end());
            advice.push_back(
                fmt::format("By {} at the soonest, from {}", soonest->text(), fmt::join(froms, " and ")));
        } else if (outlook.there) {
            advice.emplace_back("Nobody delivers sooner");
        }
        if (job.due) advice.emplace_back("Else a new day must be agreed with the customer");
        return advice;
    }

    const ReorderInputs& m_inputs;
    CalendarDate m_today;
    std::map<std::string, std::vector<Arrival>> m_coming;
    std::map<std::string, const inventory::Supplier*> m_suppliers;
    std::vector<Lacking> m_jobs;
};

} // namespace

std::vector<JobOutlook> jobOutlooks(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                                    const std::vector<SupplierOrder>& orders) {
    Outlook outlook(inputs, orders);
    std::map<std::string, const inventory::Part*> parts;
    for (const auto& part : inputs.parts) parts[part.code] = &part;
    for (const PartNeed& need : needs) outlook.add(need, *parts.at(need.line.part));
    return outlook.finish();
}

} // namespace shimledger::services
