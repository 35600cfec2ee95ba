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
using Series = std::map<std::string, std::vector<double>>;

/// The weeks before today, the last ending yesterday.
class WeekTable {
public:
    WeekTable(CalendarDate today, int most_weeks)
        : m_from(today.plusDays(-7 * most_weeks)), m_weeks(most_weeks) {}

    [[nodiscard]] CalendarDate from() const { return m_from; }

    void begin(const std::string& part, CalendarDate first) {
        const int week = std::max(0, weekOf(first));
        if (week >= m_weeks) return; // only in days that are not a whole week yet
        m_series[part].assign(static_cast<std::size_t>(m_weeks - week), 0.0);
    }
    void add(const std::string& part, CalendarDate day, double pieces) {
        const auto found = m_series.find(part);
        const int week = weekOf(day);
        if (found == m_series.end() || week < 0 || week >= m_weeks) return;
        std::vector<double>& series = found->second;
        const std::size_t missing = static_cast<std::size_t>(m_weeks) - series.size();
        if (static_cast<std::size_t>(week) < missing) return;
        series[static_cast<std::size_t>(week) - missing] += pieces;
    }
    /// What came back in another week than it went is no negative demand.
    [[nodiscard]] Series finish() {
        for (auto& [part, series] : m_series) {
            for (double& pieces : series) pieces = std::max(0.0, pieces);
        }
        return std::move(m_series);
    }

private:
    [[nodiscard]] int weekOf(CalendarDate day) const {
        const auto days = (day.day() - m_from.day()).count();
        return static_cast<int>(days < 0 ? -1 : days / 7);
    }

    CalendarDate m_from;
    int m_weeks;
    Series m_series;
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
    const auto shims = inventory::PartCatalogue(shop).listKind(inventory::PartKind::shim);
    std::map<std::pair<std::string, std::string>, std::int64_t> missed; // of job and wanted part
    for (const auto& stand_in : inventory::StockHistory(shop).substitutions(table.from(), today)) {
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

Series demandByWeek(inventory::ShopFile& shop, CalendarDate today, int most_weeks) {
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
