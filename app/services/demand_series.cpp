// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/demand_series.h"

#include "app/services/job_needs.h"
#include "inventory/job_book.h"
#include "inventory/stock_history.h"

#include <algorithm>
#include <set>
#include <utility>

namespace shimledger::services {

namespace {

using inventory::CalendarDate;
using Histories = std::map<std::string, planner::DemandHistory>;

/// The weeks before today, the last ending yesterday.
class WeekTable {
public:
    WeekTable(CalendarDate today, int most_weeks)
        : m_from(today.plusDays(-7 * most_weeks)), m_weeks(most_weeks) {}

    [[nodiscard]] CalendarDate from() const { return m_from; }

    void begin(const std::string& part, CalendarDate first) {
        const int week = std::max(0, weekOf(first));
        if (week >= m_weeks) return; // only in days that are not a whole week yet
        m_parts[part].first_week = week;
    }
    void add(const std::string& part, CalendarDate day, double pieces) {
        const auto found = m_parts.find(part);
        const int week = weekOf(day);
        if (found == m_parts.end() || week < found->second.first_week || week >= m_weeks) return;
        found->second.days[day] += pieces;
    }
    [[nodiscard]] Histories finish() {
        Histories histories;
        for (auto& [part, known] : m_parts) {
            takeBack(known.days);
            planner::DemandHistory& history = histories[part];
            history.periods = m_weeks - known.first_week;
            for (const auto& [day, pieces] : known.days) {
                if (pieces > 0) history.jobs.push_back({weekOf(day) - known.first_week, pieces});
            }
        }
        return histories;
    }

private:
    struct Part {
        int first_week = 0;
        std::map<CalendarDate, double> days;
    };
    /// What came back on another day than it went was taken by a job before, the latest first.
    static void takeBack(std::map<CalendarDate, double>& days) {
        double back = 0;
        for (auto day = days.rbegin(); day != days.rend(); ++day) {
            day->second -= back;
            back = std::max(0.0, -day->second);
            day->second = std::max(0.0, day->second);
        }
    }
    [[nodiscard]] int weekOf(CalendarDate day) const {
        const auto days = (day.day() - m_from.day()).count();
        return static_cast<int>(days < 0 ? -1 : days / 7);
    }

    CalendarDate m_from;
    int m_weeks;
    std::map<std::string, Part> m_parts;
};

/// Pieces of `wanted` that the target asks for and that were not issued themselves; 0 where that is not
/// known.
std::int64_t missedPieces(inventory::ShopFile& shop, const std::vector<inventory::Part>& shims,
                          const std::string& job_code, const std::string& wanted) {
    const inventory::JobBook book(shop);
    const auto job = book.find(job_code);
    const auto target = job ? book.stack(job_code, inventory::StackRole::target) : std::nullopt;
    if (!target) return 0;
    std::int64_t pieces = 0;
    for (const auto& row : target->rows) {
        const auto codes = shimParts(shims, row.od, job->valve.shim_id, row.thickness);
        if (std::find(codes.begin(), codes.end(), wanted) != codes.end()) pieces += row.count * job->legs;
    }
    for (const auto& entry : inventory::StockHistory(shop).ofJob(job_code)) {
        if (entry.kind != inventory::MovementKind::issue || entry.reversed_by) continue;
        if (entry.part == wanted && entry.wanted_part.empty()) pieces -= entry.quantity;
    }
    return std::max<std::int64_t>(0, pieces);
}

void addSubstitutions(inventory::ShopFile& shop, WeekTable& table, CalendarDate today) {
    const auto shims =
        inventory::PartCatalogue(shop).listKind(inventory::PartKind::shim, inventory::Retired::included);
    std::map<std::pair<std::string, std::string>, std::int64_t> missed; // of job and wanted part
    for (const auto& stand_in : inventory::StockHistory(shop).substitutions(table.from(), today)) {
        table.add(stand_in.used, stand_in.day, -static_cast<double>(stand_in.quantity));
        if (stand_in.job.empty()) {
            table.add(stand_in.wanted, stand_in.day, static_cast<double>(stand_in.quantity));
            continue;
        }
        const auto key = std::pair(stand_in.job, stand_in.wanted);
        const auto [entry, is_new] = missed.try_emplace(key, 0);
        if (is_new) entry->second = missedPieces(shop, shims, stand_in.job, stand_in.wanted);
        // Known from the target: once, on the day of the first stand-in.
        if (entry->second > 0 && !is_new) continue;
        const std::int64_t pieces = entry->second > 0 ? entry->second : stand_in.quantity;
        table.add(stand_in.wanted, stand_in.day, static_cast<double>(pieces));
    }
}

} // namespace

Histories demandHistories(inventory::ShopFile& shop, CalendarDate today, int most_weeks) {
    WeekTable table(today, most_weeks);
    const inventory::StockHistory history(shop);
    for (const auto& first : history.firstMovements()) table.begin(first.part, first.day);
    for (const auto& day : history.demand(table.from(), today, inventory::DemandBasis::used)) {
        table.add(day.part, day.day, static_cast<double>(day.quantity));
    }
    for (const auto& day : history.freshReturns(table.from(), today)) {
        table.add(day.part, day.day, -static_cast<double>(day.quantity));
    }
    addSubstitutions(shop, table, today);
    return table.finish();
}

} // namespace shimledger::services
