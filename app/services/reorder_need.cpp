// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_need.h"

#include "app/services/keeping.h"
#include "inventory/part_kinds.h"
#include "planner/reorder/reorder_policy.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace shimledger::services {

namespace {

using planner::DemandForecast;

constexpr double weeks_a_month = 52.0 / 12;
constexpr int weeks_looked_ahead = 26;

int smallInt(std::int64_t value) {
    return static_cast<int>(std::clamp<std::int64_t>(value, -1'000'000'000, 1'000'000'000));
}

std::vector<double> weeksAhead(const DemandForecast& forecast) {
    std::vector<double> weeks;
    for (int week = 0; week < weeks_looked_ahead; ++week) {
        weeks.push_back(forecast.mean() * forecast.season.factor(week));
    }
    return weeks;
}

/// How long so many pieces last.
double weeksLeft(double pieces, const std::vector<double>& weeks, double mean) {
    double gone = 0;
    for (const double asked : weeks) {
        if (asked > 0 && pieces < asked) return gone + std::max(0.0, pieces) / asked;
        pieces -= asked;
        ++gone;
    }
    return mean > 0 ? gone + pieces / mean : 1e9;
}

const inventory::SupplierPart* cheapestOf(const std::vector<inventory::SupplierPart>& offers,
                                          const std::string& supplier) {
    const inventory::SupplierPart* best = nullptr;
    const auto each = [](const auto& o) {
        return static_cast<double>(o.pack_price) / static_cast<double>(o.pack_size);
    };
    for (const auto& offer : offers) {
        if (offer.supplier == supplier && (best == nullptr || each(offer) < each(*best))) best = &offer;
    }
    return best;
}

/// The lot is flat around its optimum: the nearest whole packs of the offer, so that no part is split over
/// suppliers for a few pieces. Never fewer than `least`.
std::int64_t wholePacks(const PartNeed& need, const inventory::SupplierPart* offer, std::int64_t order,
                        std::int64_t least) {
    if (order <= 0 || offer == nullptr) return order;
    const std::int64_t pack = offer->pack_size;
    const std::int64_t rounded = (order + pack / 2) / pack * pack;
    return rounded < least || (need.most && rounded > *need.most) ? order : rounded;
}

std::string weeksText(double weeks) {
    if (weeks < 0.5) return "less than a week";
    const auto whole = std::llround(weeks);
    return "about " + (whole == 1 ? std::string("a week") : std::to_string(whole) + " weeks");
}

std::string howOften(double jobs_a_week) {
    if (jobs_a_week > 1.5) return std::to_string(std::llround(jobs_a_week)) + " times a week";
    if (jobs_a_week > 0.7) return "once a week";
    return "every " + std::to_string(std::llround(1 / std::max(0.001, jobs_a_week))) + " weeks";
}

std::string listed(const std::vector<std::string>& words) {
    if (words.size() < 2) return words.empty() ? std::string() : words.front();
    return fmt::format("{} and {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

} // namespace

PartNeeds::PartNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes)
    : m_inputs(inputs), m_notes(notes), m_book(offerBook(inputs.suppliers, inputs.offers)), m_demand(inputs),
      m_rhythms(orderRhythms(inputs, m_demand, m_book)) {
    for (const ExtraDemand& extra : inputs.extra) addExtra(extra);
}

std::vector<PartNeed> PartNeeds::all() {
    std::vector<PartNeed> needs;
    for (const auto& part : m_inputs.parts) needs.push_back(need(part, {}, m_notes));
    std::sort(needs.begin(), needs.end(),
              [](const PartNeed& a, const PartNeed& b) { return a.line.part < b.line.part; });
    noteNeverOrdered();
    noteRetired();
    return needs;
}

PartNeed PartNeeds::from(const std::string& part, const std::string& supplier) {
    for (const auto& known : m_inputs.parts) {
        if (known.code != part) continue;
        std::vector<std::string> told; // they stand in the notes already
        return need(known, supplier, told);
    }
    throw std::logic_error("a need was asked of a part that the shop has not");
}

PartNeed PartNeeds::need(const inventory::Part& part, const std::string& supplier,
                         std::vector<std::string>& notes) const {
    PartNeed need;
    fillLine(need, part);
    UsableOffers usable = usableOffers(part.code, m_book.of(part.code), m_book.suppliers);
    need.offers = std::move(usable.offers);
    need.currency = usable.currency;
    const inventory::SupplierPart* offer = need.offers.empty() ? nullptr
                                           : !supplier.empty() ? cheapestOf(need.offers, supplier)
                                                               : &usualOffer(need.offers, m_book.suppliers);
    if (offer != nullptr) need.supplier = need.line.supplier = offer->supplier;
    const std::int64_t wanted_by_jobs = jobPieces(need.line);
    std::int64_t for_stock = 0;
    std::string lot_why;
    if (part.reorder_point) {
        try {
            for_stock = stockPieces(need, part, wanted_by_jobs, offer, lot_why);
        } catch (const InputError& error) {
            notes.push_back(part.code + ": " + error.what());
        }
    }
    const std::int64_t for_jobs = std::max<std::int64_t>(0, need.line.short_for_jobs - need.line.on_order);
    need.line.wanted = std::max(for_jobs, for_stock);
    const bool lot_decides = for_stock > 0 && for_stock == need.line.wanted;
    if (!lot_decides) need.asked = need.line.wanted;
    need.why = figures(need) + (lot_decides ? lot_why : std::string());
    if (need.line.wanted > 0 && need.most) need.most = std::max(*need.most, need.line.wanted);
    if (need.line.wanted > 0) notes.insert(notes.end(), usable.notes.begin(), usable.notes.end());
    int lead_days = 0;
    if (offer != nullptr) lead_days = m_book.suppliers.at(offer->supplier).lead_time_days;
    need.line.plain = plainWords(need, lead_days);
    const auto rhythm = m_rhythms.find(need.supplier);
    need.can_wait = for_stock > 0 && for_jobs == 0 && rhythm != m_rhythms.end() && !rhythm->second.today();
    return need;
}

void PartNeeds::addExtra(const ExtraDemand& extra) {
    const bool known = std::any_of(m_inputs.parts.begin(), m_inputs.parts.end(),
                                   [&](const auto& part) { return part.code == extra.part; });
    if (!known || extra.pieces < 1) {
        m_notes.push_back("Extra demand of " + std::to_string(extra.pieces) + " x " + extra.part +
                          " was left out: it must name a part of the shop and 1 piece or more");
        return;
    }
    Extra& sum = m_extra[extra.part];
    (extra.expected ? sum.expected : sum.now) += extra.pieces;
    sum.why.push_back(std::to_string(extra.pieces) + " " + extra.why);
}

void PartNeeds::fillLine(PartNeed& need, const inventory::Part& part) const {
    ReorderLine& line = need.line;
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
    line.weeks_ahead.emplace();
    if (const auto found = m_inputs.job_demand.find(part.code); found != m_inputs.job_demand.end()) {
        line.jobs = found->second.jobs();
    }
}

std::int64_t PartNeeds::jobPieces(ReorderLine& line) const {
    std::int64_t pieces = 0;
    if (const auto found = m_inputs.job_demand.find(line.part); found != m_inputs.job_demand.end()) {
        pieces = found->second.pieces;
    }
    if (const auto extra = m_extra.find(line.part); extra != m_extra.end()) pieces += extra->second.now;
    line.short_for_jobs = std::max<std::int64_t>(0, pieces - line.available());
    return pieces;
}

/// Pieces that bring the part to its order-up-to level, once its position is at the reorder point.
std::int64_t PartNeeds::stockPieces(PartNeed& need, const inventory::Part& part, std::int64_t wanted_by_jobs,
                                    const inventory::SupplierPart* offer, std::string& lot_why) const {
    ReorderLine& line = need.line;
    const inventory::ReorderClass settings = m_inputs.classOf(part.part_class);
    const DemandForecast& forecast = m_demand.of(part.code);
    line.demand = forecast.text("week");
    line.weekly_demand = forecast.mean();
    line.weeks_ahead = weeksAhead(forecast);
    need.jobs_a_week = forecast.jobs;
    const auto extra = m_extra.find(part.code);
    const std::int64_t expected = extra == m_extra.end() ? 0 : extra->second.expected;
    const std::int64_t available = line.on_hand - wanted_by_jobs - expected;
    const std::int64_t position = available - line.reserved + line.on_order;
    line.weeks_left = weeksLeft(static_cast<double>(position), *line.weeks_ahead, forecast.mean());
    const bool never_asked = forecast.method == planner::ForecastMethod::none;
    const bool dead = never_asked && m_demand.weeksKnown(part.code) >= settings.dead_months * weeks_a_month;
    const bool typed_in = !dead && (never_asked || m_demand.unknown(part.code));
    const bool of_kit = m_inputs.kit_points.contains(part.code);
    Keeping keeping;
    if (!of_kit && !dead && !typed_in) {
        const inventory::Supplier someone; // nobody sells it: lead time 0, no price
        const inventory::SupplierPart free{{}, part.code, 1, 1, {}, {}};
        int review = settings.review_days;
        if (const auto rhythm = m_rhythms.find(need.supplier); rhythm != m_rhythms.end()) {
            review = std::max(review, rhythm->second.review_days);
        }
        keeping = keepingOf(forecast, part, settings, offer == nullptr ? free : *offer,
                            offer == nullptr ? someone : m_book.suppliers.at(offer->supplier), review,
                            need.offers.empty() ? 0 : nearestDays(need.offers, m_book.suppliers),
                            m_inputs.waiting_day);
    }
    if (!of_kit && (dead || (!typed_in && !keeping.worth_it))) {
        line.reorder_point = 0;
        line.demand += dead ? ", dead stock" : ", too seldom to keep";
        return expected > 0 ? std::max<std::int64_t>(0, -position) : 0;
    }
    if (of_kit) line.demand += ", kept as the kit plan says";
    if (of_kit || typed_in) { // what a plan weighed, or nothing to learn from yet: the figure typed in
        keeping.policy.reorder_point = smallInt(*part.reorder_point);
        keeping.policy.lot = 1;
    } else {
        line.promised_share = keeping.promised;
        line.served_share = keeping.policy.served_share;
    }
    planner::ReorderQuestion question;
    question.available = smallInt(available);
    question.reserved = smallInt(line.reserved);
    question.on_order = smallInt(line.on_order);
    const double lasts_in_life =
        part.shelf_life_months ? forecast.mean() * weeks_a_month * *part.shelf_life_months : 0;
    if (lasts_in_life > 0) question.usable_in_shelf_life = std::max(1, smallInt(std::llround(lasts_in_life)));
    const planner::ReorderAnswer answer = planner::answerReorder(question, keeping.policy);
    if (!answer.problem.empty()) throw InputError(answer.problem);
    need.kept = true;
    need.low = position - line.on_order <= keeping.policy.reorder_point;
    need.held_back = answer.held_back;
    need.asked = answer.order;
    line.reorder_point = keeping.policy.reorder_point;
    line.order_up_to = keeping.policy.orderUpTo();
    if (lasts_in_life > 0) {
        need.most =
            std::max<std::int64_t>(1, question.usable_in_shelf_life - std::max<std::int64_t>(0, position));
    }
    const auto cover = static_cast<std::int64_t>(forecast.mean() * weeks_a_month * settings.cover_months);
    need.room =
        std::max<std::int64_t>(0, std::min(cover - position, need.most.value_or(cover)) - answer.order);
    if (keeping.policy.lot > 1) {
        lot_why = ", order up to " + std::to_string(line.order_up_to) + " (lot of " +
                  std::to_string(keeping.policy.lot) + ": " + keeping.lot_why + "), " +
                  std::to_string(answer.order) + " wanted";
    }
    return wholePacks(need, offer, answer.order, keeping.policy.reorder_point + 1 - position);
}

/// What stops a job comes first: it is why somebody waits.
std::string PartNeeds::figures(const PartNeed& need) const {
    const ReorderLine& line = need.line;
    const bool is_short = line.short_for_jobs > 0;
    std::string text;
    const std::string jobs = fmt::format("{}", fmt::join(line.jobs, ", "));
    if (is_short) {
        text = std::to_string(line.short_for_jobs) + " short" + (jobs.empty() ? "" : " for " + jobs) + ", ";
    }
    text += "available " + std::to_string(line.available());
    if (line.reserved > 0) text += ", reserved " + std::to_string(line.reserved);
    if (line.on_order > 0) text += ", on order " + std::to_string(line.on_order);
    if (line.reorder_point) text += ", reorder point " + std::to_string(*line.reorder_point);
    if (!is_short && !jobs.empty()) {
        text += ", " + std::to_string(m_inputs.job_demand.at(line.part).pieces) + " wanted by " + jobs;
    }
    if (const auto extra = m_extra.find(line.part); extra != m_extra.end()) {
        for (const std::string& why : extra->second.why) text += ", " + why;
    }
    return text;
}

std::string PartNeeds::plainWords(const PartNeed& need, int lead_days) const {
    const ReorderLine& line = need.line;
    std::string of_extra;
    if (const auto extra = m_extra.find(line.part); extra != m_extra.end()) {
        of_extra = fmt::format("{}", fmt::join(extra->second.why, ", "));
    }
    if (line.short_for_jobs > 0) {
        if (line.jobs.empty()) return of_extra;
        return fmt::format("{} {} {}", listed(line.jobs), line.jobs.size() == 1 ? "lacks" : "lack",
                           line.short_for_jobs);
    }
    if (!need.kept) return of_extra;
    if (!(line.weekly_demand > 0)) return "at the reorder point that was typed in";
    std::string words = line.available() + line.on_order <= 0
                            ? "none left, asked for " + howOften(m_demand.of(line.part).jobs)
                            : "lasts " + weeksText(line.weeks_left);
    if (lead_days > 0) {
        words += lead_days == 1 ? ", comes in a day" : fmt::format(", comes in {} days", lead_days);
    }
    if (!of_extra.empty()) words += "; " + of_extra;
    return words;
}

/// What jobs want of parts that are retired.
void PartNeeds::noteRetired() {
    for (const auto& part : m_inputs.parts) {
        const auto demand = m_inputs.job_demand.find(part.code);
        if (!part.retired || demand == m_inputs.job_demand.end() || demand->second.pieces < 1) continue;
        m_notes.push_back(fmt::format("{} of {} are wanted by {}, but the part is retired and is not ordered",
                                      demand->second.pieces, part.code,
                                      fmt::join(demand->second.jobs(), ", ")));
    }
}

/// Parts that are asked for and gone, and that nobody told the program to order.
void PartNeeds::noteNeverOrdered() {
    constexpr std::size_t most_named = 5;
    constexpr int least_jobs = 3;
    std::vector<std::string> named;
    std::size_t more = 0;
    for (const auto& part : m_inputs.parts) {
        const auto history = m_inputs.demand.find(part.code);
        if (part.reorder_point || part.retired || history == m_inputs.demand.end()) continue;
        const auto jobs = static_cast<int>(history->second.jobs.size());
        const auto balance = m_inputs.balances.find(part.code);
        const bool there = balance != m_inputs.balances.end() && balance->second.on_hand > 0;
        if (there || jobs < least_jobs || m_inputs.on_order.count(part.code) > 0) continue;
        if (m_demand.of(part.code).jobs * weeks_looked_ahead < 1) continue; // was asked for once upon a time
        if (named.size() == most_named) {
            ++more;
            continue;
        }
        named.push_back(
            fmt::format("{} (asked for {} times in {} weeks)", part.code, jobs, history->second.periods));
    }
    if (named.empty()) return;
    m_notes.push_back(fmt::format("None left and never ordered, as the reorder point is empty (type in 0 or "
                                  "more to have them kept): {}{}",
                                  fmt::join(named, ", "),
                                  more > 0 ? fmt::format(" and {} more", more) : std::string()));
}

std::vector<PartNeed> partNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes) {
    return PartNeeds(inputs, notes).all();
}

} // namespace shimledger::services
