#include "app/services/reorder_need.h"

#include "app/services/usable_offers.h"
#include "inventory/part_kinds.h"
#include "planner/reorder/demand_forecast.h"
#include "planner/reorder/economic_order.h"
#include "planner/reorder/lead_time_demand.h"
#include "planner/reorder/reorder_policy.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace shimledger::services {

namespace {

using planner::DemandForecast;
using planner::ForecastMethod;

constexpr double weeks_a_year = 52;
constexpr double weeks_a_month = weeks_a_year / 12;
/// A part that is asked for less than once a year is bought when a job wants it, not to lie there.
constexpr double least_yearly = 1;

struct ExtraSum {
    std::int64_t now = 0, expected = 0;
    std::vector<std::string> why;
};

int smallInt(std::int64_t value) {
    return static_cast<int>(std::clamp<std::int64_t>(value, -1'000'000'000, 1'000'000'000));
}

class Needs {
public:
    Needs(const ReorderInputs& inputs, std::vector<std::string>& notes)
        : m_inputs(inputs), m_notes(notes), m_book(offerBook(inputs.suppliers, inputs.offers)) {
        for (const ExtraDemand& extra : inputs.extra) addExtra(extra);
        learnClasses();
    }

    PartNeed of(const inventory::Part& part) {
        PartNeed need;
        fillLine(need.line, part);
        UsableOffers usable = usableOffers(part.code, m_book.offers[part.code], m_book.suppliers);
        need.offers = std::move(usable.offers);
        need.currency = usable.currency;
        const std::int64_t wanted_by_jobs = jobPieces(need.line);
        std::int64_t for_stock = 0;
        if (part.reorder_point) {
            try {
                for_stock = stockPieces(need, part, wanted_by_jobs);
            } catch (const InputError& error) {
                m_notes.push_back(part.code + ": " + error.what());
            }
        }
        need.line.wanted =
            std::max({std::int64_t{0}, need.line.short_for_jobs - need.line.on_order, for_stock});
        const bool lot_decides = for_stock > 0 && for_stock == need.line.wanted;
        need.why = whyText(need) + (lot_decides ? m_lot_why : std::string());
        if (need.line.wanted > 0 && need.most) need.most = std::max(*need.most, need.line.wanted);
        if (need.line.wanted > 0) m_notes.insert(m_notes.end(), usable.notes.begin(), usable.notes.end());
        return need;
    }

private:
    void addExtra(const ExtraDemand& extra) {
        const bool known = std::any_of(m_inputs.parts.begin(), m_inputs.parts.end(),
                                       [&](const auto& part) { return part.code == extra.part; });
        if (!known || extra.pieces < 1) {
            m_notes.push_back("Extra demand of " + std::to_string(extra.pieces) + " x " + extra.part +
                              " was left out: it must name a part of the shop and 1 piece or more");
            return;
        }
        ExtraSum& sum = m_extra[extra.part];
        (extra.expected ? sum.expected : sum.now) += extra.pieces;
        sum.why.push_back(std::to_string(extra.pieces) + " " + extra.why);
    }

    /// What the established parts of each class ask for on average.
    void learnClasses() {
        struct Sum {
            double mean = 0, dispersion = 0;
            int parts = 0;
        };
        std::map<std::string, Sum> sums;
        for (const auto& part : m_inputs.parts) {
            const DemandForecast forecast = forecastOf(part, std::nullopt);
            if (forecast.method == ForecastMethod::none || part.unit != inventory::QuantityUnit::piece ||
                static_cast<int>(weeksOf(part).size()) < planner::ForecastRules{}.least_periods) {
                continue;
            }
            Sum& sum = sums[part.part_class];
            sum.mean += forecast.mean;
            sum.dispersion += forecast.dispersion;
            ++sum.parts;
        }
        for (const auto& [part_class, sum] : sums) {
            m_classes[part_class] = {sum.mean / sum.parts, sum.dispersion / sum.parts};
        }
    }

    [[nodiscard]] std::vector<double> weeksOf(const inventory::Part& part) const {
        const auto found = m_inputs.weeks.find(part.code);
        return found == m_inputs.weeks.end() ? std::vector<double>() : found->second;
    }

    [[nodiscard]] DemandForecast forecastOf(const inventory::Part& part,
                                            const std::optional<planner::ClassDemand>& of_class) const {
        return planner::forecastDemand(weeksOf(part), of_class);
    }

    void fillLine(ReorderLine& line, const inventory::Part& part) const {
        line.part = part.code;
        line.what = inventory::partText(part);
        line.unit = std::string(inventory::quantityUnitName(part.unit));
        if (const auto balance = m_inputs.balances.find(part.code); balance != m_inputs.balances.end()) {
            line.on_hand = balance->second.on_hand;
            line.reserved = balance->second.reserved;
        }
        if (const auto coming = m_inputs.on_order.find(part.code); coming != m_inputs.on_order.end()) {
            line.on_order = coming->second;
        }
        line.shelf_life_months = part.shelf_life_months;
    }

    std::int64_t jobPieces(ReorderLine& line) const {
        std::int64_t pieces = 0;
        if (const auto found = m_inputs.job_demand.find(line.part); found != m_inputs.job_demand.end()) {
            pieces = found->second.pieces;
        }
        if (const auto extra = m_extra.find(line.part); extra != m_extra.end()) pieces += extra->second.now;
        line.short_for_jobs = std::max<std::int64_t>(0, pieces - line.available());
        return pieces;
    }

    /// How many are bought at a time once the part is bought, and why so many; "" where the lot is one piece.
    struct Lot {
        int pieces = 1;
        std::string why;
    };

    /// Pieces that bring the part to its order-up-to level, once its position is at the reorder point.
    std::int64_t stockPieces(PartNeed& need, const inventory::Part& part, std::int64_t wanted_by_jobs) {
        m_lot_why.clear();
        ReorderLine& line = need.line;
        const inventory::ReorderClass settings = m_inputs.classOf(part.part_class);
        const auto of_class = m_classes.find(part.part_class);
        // An average of pieces says nothing of a fluid.
        const bool fits = of_class != m_classes.end() && part.unit == inventory::QuantityUnit::piece;
        const DemandForecast forecast =
            forecastOf(part, fits ? std::optional(of_class->second) : std::nullopt);
        line.demand = forecast.text("week");
        const bool catalogue_rules = forecast.method == ForecastMethod::none || isYoung(part, forecast);
        const bool dead = forecast.method == ForecastMethod::none && !weeksOf(part).empty() &&
                          static_cast<int>(weeksOf(part).size()) >= settings.dead_months * weeks_a_month;
        double lead_days = 0, spread_days = 0;
        if (!need.offers.empty()) {
            const auto& usual = m_book.suppliers.at(usualOffer(need.offers, m_book.suppliers).supplier);
            lead_days = usual.lead_time_days;
            spread_days = usual.lead_time_spread_days.value_or(0);
        }
        const planner::LeadTimeDays days{lead_days, spread_days, static_cast<double>(settings.review_days)};
        const double season = forecast.season.meanAhead((lead_days + settings.review_days) / 7);
        const planner::LeadTimeDemand demand(forecast.mean * season, forecast.variance * season,
                                             planner::leadTimeChances(days, 7));
        line.weekly_demand = forecast.mean;
        const double yearly = forecast.mean * weeks_a_year;
        planner::ReorderQuestion question;
        const auto extra = m_extra.find(part.code);
        const std::int64_t expected = extra == m_extra.end() ? 0 : extra->second.expected;
        question.available = smallInt(line.on_hand - wanted_by_jobs - expected);
        question.reserved = smallInt(line.reserved);
        question.on_order = smallInt(line.on_order);
        question.service = settings.service_per_mille / 1000.0;
        const Lot lot = lotOf(need, settings, yearly);
        question.lot = lot.pieces;
        if (part.shelf_life_months) {
            question.usable_in_shelf_life =
                std::max(1, static_cast<int>(forecast.mean * weeks_a_month * *part.shelf_life_months));
        }
        const std::int64_t position = question.available - question.reserved + line.on_order;
        need.weeks_covered = forecast.mean > 0 ? static_cast<double>(position) / forecast.mean : 1e9;
        if (dead || (!catalogue_rules && yearly < least_yearly)) {
            line.reorder_point = 0;
            line.demand += yearly > 0 ? ", too seldom to keep" : ", dead stock";
            return expected > 0 ? std::max<std::int64_t>(0, -position) : 0;
        }
        planner::ReorderAnswer answer = planner::answerReorder(question, demand);
        if (!answer.problem.empty()) throw InputError(answer.problem);
        if (catalogue_rules) { // nothing to learn from yet: the figure somebody typed in
            answer.reorder_point = smallInt(*part.reorder_point);
            answer.order_up_to = answer.reorder_point + question.lot;
            answer.order = position <= answer.reorder_point ? answer.order_up_to - smallInt(position) : 0;
        }
        need.kept = true;
        need.low = position - line.on_order <= answer.reorder_point;
        line.reorder_point = answer.reorder_point;
        line.order_up_to = answer.order_up_to;
        m_lot_why = lot.why.empty()
                        ? std::string()
                        : ", order up to " + std::to_string(answer.order_up_to) + " (" + lot.why + ")";
        if (question.usable_in_shelf_life > 0 && forecast.mean > 0) {
            need.most = std::max<std::int64_t>(1, question.usable_in_shelf_life -
                                                      std::max<std::int64_t>(0, position));
        }
        const auto cover = static_cast<std::int64_t>(forecast.mean * weeks_a_month * settings.cover_months);
        need.room =
            std::max<std::int64_t>(0, std::min(cover - position, need.most.value_or(cover)) - answer.order);
        const std::int64_t pieces = wholePacks(need, answer.order, answer.reorder_point + 1 - position);
        if (!m_lot_why.empty() && answer.order > 0) {
            m_lot_why += ", " + std::to_string(answer.order) + " wanted";
            if (pieces != answer.order) {
                m_lot_why += ", " + std::to_string(pieces) + " in the nearest whole packs";
            }
        }
        return pieces;
    }

    /// The lot is flat around its optimum: the nearest whole packs of the usual offer, so that no part is
    /// split over suppliers for a few pieces. Never fewer than `least`.
    [[nodiscard]] std::int64_t wholePacks(const PartNeed& need, std::int64_t order,
                                          std::int64_t least) const {
        if (order <= 0 || need.offers.empty()) return order;
        const std::int64_t pack = usualOffer(need.offers, m_book.suppliers).pack_size;
        const std::int64_t rounded = (order + pack / 2) / pack * pack;
        return rounded < least || (need.most && rounded > *need.most) ? order : rounded;
    }

    [[nodiscard]] bool isYoung(const inventory::Part& part, const DemandForecast& forecast) const {
        const planner::ForecastRules rules;
        return static_cast<int>(weeksOf(part).size()) < rules.least_periods ||
               (forecast.pattern.demands > 0 && forecast.pattern.demands < rules.least_demands);
    }

    /// The economic order under the usual supplier's prices, not longer than the class is ordered for.
    [[nodiscard]] Lot lotOf(const PartNeed& need, const inventory::ReorderClass& settings,
                            double yearly) const {
        if (need.offers.empty() || !(yearly > 0)) return {};
        const auto& offer = usualOffer(need.offers, m_book.suppliers);
        const auto pack = static_cast<double>(offer.pack_size);
        std::vector<planner::PriceBreak> prices{{0, static_cast<double>(offer.pack_price) / pack}};
        for (const auto& step : offer.breaks) {
            prices.push_back(
                {static_cast<double>(step.from_packs) * pack, static_cast<double>(step.pack_price) / pack});
        }
        const planner::YearlyNeed need_of_year{yearly, static_cast<double>(settings.line_cost),
                                               settings.holding_percent / 100.0};
        const double economic = planner::cheapestOrder(need_of_year, prices).quantity;
        const double longest = yearly / 12 * settings.cover_months;
        Lot lot;
        lot.pieces = std::max(1, smallInt(std::llround(std::min(economic, longest))));
        if (lot.pieces == 1) return lot;
        lot.why = "lot of " + std::to_string(lot.pieces);
        if (longest < economic) {
            lot.why += ": demand of " + std::to_string(settings.cover_months) + " months, the longest cover";
        } else {
            const bool at_break = std::any_of(prices.begin() + 1, prices.end(), [&](const auto& price) {
                return std::abs(price.from - economic) < 0.5;
            });
            lot.why += at_break ? ": the economic order, at a price break" : ": the economic order";
        }
        return lot;
    }

    /// What stops a job comes first: it is why somebody waits.
    [[nodiscard]] std::string whyText(const PartNeed& need) const {
        const ReorderLine& line = need.line;
        const bool is_short = line.short_for_jobs > 0;
        std::string text;
        const auto found = m_inputs.job_demand.find(line.part);
        const std::string jobs = found != m_inputs.job_demand.end()
                                     ? fmt::format("{}", fmt::join(found->second.jobs, ", "))
                                     : std::string();
        if (is_short) {
            text =
                std::to_string(line.short_for_jobs) + " short" + (jobs.empty() ? "" : " for " + jobs) + ", ";
        }
        text += "available " + std::to_string(line.available());
        if (line.reserved > 0) text += ", reserved " + std::to_string(line.reserved);
        if (line.on_order > 0) text += ", on order " + std::to_string(line.on_order);
        if (line.reorder_point) text += ", reorder point " + std::to_string(*line.reorder_point);
        if (!is_short && !jobs.empty()) {
            text += ", " + std::to_string(found->second.pieces) + " wanted by " + jobs;
        }
        if (const auto extra = m_extra.find(line.part); extra != m_extra.end()) {
            for (const std::string& why : extra->second.why) text += ", " + why;
        }
        return text;
    }

    const ReorderInputs& m_inputs;
    std::vector<std::string>& m_notes;
    OfferBook m_book;
    std::map<std::string, ExtraSum> m_extra;
    std::map<std::string, planner::ClassDemand> m_classes;
    std::string m_lot_why; ///< of the part in work
};

} // namespace

std::vector<PartNeed> partNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes) {
    Needs needs(inputs, notes);
    std::vector<PartNeed> result;
    for (const auto& part : inputs.parts) result.push_back(needs.of(part));
    std::sort(result.begin(), result.end(),
              [](const PartNeed& a, const PartNeed& b) { return a.line.part < b.line.part; });
    return result;
}

} // namespace shimledger::services
