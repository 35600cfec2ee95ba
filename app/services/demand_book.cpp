// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/demand_book.h"

#include <algorithm>
#include <set>
#include <utility>
#include <vector>

namespace shimledger::services {

namespace {

constexpr int weeks_of_its_own = 52;

using Forecasts = std::map<std::string, planner::DemandForecast>;

/// The mean of some parts: jobs a week, and sizes as often as their jobs have them.
std::optional<planner::LikeDemand> together(const std::vector<std::string>& parts, const Forecasts& known) {
    planner::LikeDemand like;
    int count = 0;
    for (const std::string& part : parts) {
        const auto found = known.find(part);
        if (found == known.end()) continue;
        ++count;
        const planner::DemandForecast& forecast = found->second;
        if (!(forecast.jobs > 0)) continue;
        like.jobs += forecast.jobs;
        like.sizes = planner::mixed(like.sizes, forecast.sizes, forecast.jobs / like.jobs);
    }
    if (!(like.jobs > 0)) return std::nullopt;
    like.jobs /= count;
    return like;
}

/// Who may stand for whom, of parts that are known for a year.
class Likes {
public:
    Likes(const ReorderInputs& inputs, const Forecasts& known) : m_known(known) {
        for (const auto& part : inputs.parts) {
            if (known.count(part.code) == 0 || part.unit != inventory::QuantityUnit::piece) continue;
            if (known.at(part.code).jobs > 0) m_classes[part.part_class].push_back(part.code);
            if (part.kind == inventory::PartKind::shim && part.od && part.id && part.thickness) {
                m_shims[{*part.od, *part.id}].insert({*part.thickness, part.code});
            }
        }
        for (const auto& model : inputs.models) {
            for (const std::string& part : model) {
                auto& beside = m_models[part];
                for (const std::string& other : model) {
                    if (other != part) beside.push_back(other);
                }
            }
        }
    }

    [[nodiscard]] std::optional<planner::LikeDemand> of(const inventory::Part& part) const {
        if (part.unit != inventory::QuantityUnit::piece) return std::nullopt;
        if (auto like = together(besides(part), m_known)) return like;
        const auto of_class = m_classes.find(part.part_class);
        return of_class == m_classes.end() ? std::nullopt : together(of_class->second, m_known);
    }

private:
    [[nodiscard]] std::vector<std::string> besides(const inventory::Part& part) const {
        if (part.kind == inventory::PartKind::shim && part.od && part.id && part.thickness) {
            const auto found = m_shims.find({*part.od, *part.id});
            if (found == m_shims.end()) return {};
            std::vector<std::string> next;
            const auto after = found->second.upper_bound({*part.thickness, part.code});
            if (after != found->second.end()) next.push_back(after->second);
            const auto here = found->second.lower_bound({*part.thickness, part.code});
            if (here != found->second.begin()) next.push_back(std::prev(here)->second);
            return next;
        }
        const auto found = m_models.find(part.code);
        return found == m_models.end() ? std::vector<std::string>() : found->second;
    }

    const Forecasts& m_known;
    std::map<std::pair<Length, Length>, std::set<std::pair<Length, std::string>>> m_shims; ///< by OD and ID
    std::map<std::string, std::vector<std::string>> m_models, m_classes;
};

} // namespace

DemandBook::DemandBook(const ReorderInputs& inputs) {
    Forecasts established;
    for (const auto& [part, history] : inputs.demand) {
        m_weeks[part] = history.periods;
        if (history.periods < weeks_of_its_own) continue;
        established[part] = planner::forecastDemand(history);
    }
    const Likes likes(inputs, established);
    for (const auto& part : inputs.parts) {
        Entry& entry = m_parts[part.code];
        if (const auto found = established.find(part.code); found != established.end()) {
            entry.forecast = found->second;
            continue;
        }
        const auto history = inputs.demand.find(part.code);
        const auto like = likes.of(part);
        entry.leans = like.has_value();
        entry.forecast = planner::forecastDemand(
            history == inputs.demand.end() ? planner::DemandHistory{} : history->second, like);
    }
}

const planner::DemandForecast& DemandBook::of(const std::string& part) const {
    return m_parts.at(part).forecast;
}

bool DemandBook::unknown(const std::string& part) const {
    return !m_parts.at(part).leans && weeksKnown(part) < planner::ForecastRules{}.least_periods;
}

int DemandBook::weeksKnown(const std::string& part) const {
    const auto found = m_weeks.find(part);
    return found == m_weeks.end() ? 0 : found->second;
}

} // namespace shimledger::services
