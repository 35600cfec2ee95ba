// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/pick_list.h"

#include "app/services/cautions.h"
#include "app/services/click_advice.h"
#include "app/services/component_valves.h"
#include "app/services/curve_difference.h"
#include "app/services/job_needs.h"
#include "app/services/job_wishes.h"
#include "app/services/known_flow.h"
#include "app/services/leg_deal.h"
#include "app/services/short_jobs.h"
#include "app/services/stock_to_request.h"
#include "app/services/warp_check.h"
#include "app/services/working_lift.h"
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace shimledger::services {

namespace {

using inventory::PartKind;
using inventory::Reservation;

std::string rowText(const inventory::StackRow& row) {
    return std::to_string(row.count) + " x " + row.od.text(1) + " x " + row.thickness.text(2);
}

std::vector<BuildRow> buildRows(const std::vector<inventory::StackRow>& rows,
                                const std::vector<inventory::StackRow>& target) {
    std::vector<BuildRow> result;
    for (const inventory::StackRow& row : rows) {
        BuildRow line{row, rowText(row), {}};
        if (row.replaces && *row.replaces >= 1 && static_cast<std::size_t>(*row.replaces) <= target.size()) {
            line.replaces = rowText(target[static_cast<std::size_t>(*row.replaces) - 1]);
        }
        result.push_back(std::move(line));
    }
    return result;
}

Length heightOf(const std::vector<BuildRow>& rows) {
    Length height;
    for (const BuildRow& row : rows) height += row.row.count * row.row.thickness;
    return height;
}

/// The accepted stack with the discs that are reserved for each leg of it.
std::string clickSentence(inventory::ShopFile& shop, const inventory::Job& job, const PickList& list) {
    const inventory::JobBook book(shop);
    const auto target = book.stack(job.code, inventory::StackRole::target);
    const auto build = book.stack(job.code, inventory::StackRole::build);
    if (!target || !build) return {};
    try {
        const planner::StackSpec wanted = plannerStack(job, target->rows);
        const KnownFlow known = knownFlow(shop, job, wanted);
        return clickAdvice(wanted, known.flow, asProposal(plannerStack(job, *build), shimPulls(shop, list)))
            .sentence;
    } catch (const InputError&) {
        return {}; // rows that are no stack have no force
    }
}

PickLine pickLine(const Reservation& reservation, const inventory::PartCatalogue& catalogue,
                  const inventory::BinList& bins, const std::vector<inventory::StockLot>& lots) {
    const inventory::Part part = catalogue.get(reservation.part);
    PickLine line;
    line.bin = reservation.bin;
    line.walking_order = bins.get(reservation.bin).walking_order;
    line.part = reservation.part;
    line.what = inventory::partText(part);
    line.used = reservation.condition == inventory::Condition::used;
    line.unit = std::string(inventory::quantityUnitName(part.unit));
    line.quantity = reservation.quantity;
    line.shim = part.kind == PartKind::shim;
    if (!reservation.wanted_part.empty() && reservation.wanted_part != reservation.part) {
        line.wanted_part = reservation.wanted_part;
        line.replaces = inventory::partText(catalogue.get(reservation.wanted_part));
    }
    for (const auto& lot : lots) {
        if (lot.part == reservation.part && lot.bin == reservation.bin &&
            lot.condition == reservation.condition && lot.measured) {
            line.measured = lot.measured->mean;
        }
    }
    return line;
}

void fillJob(PickList& list, const inventory::Job& job, inventory::ShopFile& shop) {
    list.job = job.code;
    list.model = job.model;
    if (const auto model = inventory::ComponentModels(shop).find(job.model))
        list.model_text = model->description;
    list.valve = job.valve.name;
    list.legs = job.legs;
    list.first_leg = job.first_leg;
    list.due = job.due;
    list.note = job.note;
}

void fillStacks(PickList& list, const inventory::JobBook& book) {
    const auto target = book.stack(list.job, inventory::StackRole::target);
    const auto build = book.stack(list.job, inventory::StackRole::build);
    const std::vector<inventory::StackRow> target_rows =
        target ? target->rows : std::vector<inventory::StackRow>();
    list.target = buildRows(target_rows, target_rows);
    list.build = buildRows(build ? build->rows : target_rows, target_rows);
    list.target_height = heightOf(list.target);
    list.build_height = heightOf(list.build);
}

std::vector<std::string> curveSentences(inventory::ShopFile& shop, const inventory::Job& job,
                                        const PickList& list) {
    constexpr double usual_lift_mm = 0.30;
    const std::vector<planner::Pull> pulls = shimPulls(shop, list);
    std::vector<std::string> sentences = jobWishes(shop, job.code, usual_lift_mm, pulls);
    const inventory::JobBook book(shop);
    const auto target = book.stack(job.code, inventory::StackRole::target);
    const auto build = book.stack(job.code, inventory::StackRole::build);
    if (!target || !build) return sentences;
    const CurveDifference difference =
        curveDifference(job, *target, *build, pulls, workingLift(shop, job).value_or(usual_lift_mm));
    if (!difference.deviation) return sentences;
    std::string sentence = "The build: " + difference.sentence + ".";
    sentences.insert(sentences.begin(), std::move(sentence));
    if (build->clamp_od)
        sentences.insert(sentences.begin(),
                         fmt::format("The build stands on a clamp of {} mm, the target on one of {} mm.",
                                     build->clamp_od->text(), job.valve.clamp_od.text()));
    return sentences;
}

ComponentPick ofValves(inventory::ShopFile& shop, std::string_view code,
                       PickList (*list_of)(inventory::ShopFile&, std::string_view)) {
    ComponentPick pick;
    shop.consistently([&] {
        const inventory::StockLedger ledger(shop);
        for (const inventory::Job& valve : valvesOf(shop, code)) {
            if (!ledger.reservationsOf(valve.code).empty()) pick.valves.push_back(list_of(shop, valve.code));
        }
        if (pick.valves.empty()) pick.valves.push_back(list_of(shop, code)); // says that there is nothing
    });
    return pick;
}

} // namespace

std::int64_t PickList::pieces() const {
    std::int64_t sum = 0;
    for (const PickLine& line : lines) sum += line.shim ? line.quantity : 0;
    return sum;
}

std::vector<ComponentPick::Stop> ComponentPick::walk() const {
    std::vector<Stop> stops;
    for (const PickList& valve : valves)
        for (const PickLine& line : valve.lines) stops.push_back({&valve, &line});
    std::stable_sort(stops.begin(), stops.end(), [](const Stop& one, const Stop& other) {
        return std::tie(one.line->walking_order, one.line->bin) <
               std::tie(other.line->walking_order, other.line->bin);
    });
    return stops;
}

int ComponentPick::legs() const {
    int legs = 1;
    for (const PickList& valve : valves) legs = std::max(legs, valve.first_leg + valve.legs - 1);
    return legs;
}

std::int64_t ComponentPick::pieces() const {
    std::int64_t sum = 0;
    for (const PickList& valve : valves) sum += valve.pieces();
    return sum;
}

std::string ComponentPick::valveText(const PickList& valve) const {
    return services::valveText(valve.valve, valve.first_leg, valve.legs, legs());
}

std::string ComponentPick::purposeOf(const Stop& stop) const {
    return valves.size() == 1 || !stop.line->shim ? std::string() : valveText(*stop.valve);
}

std::string ComponentPick::valveNames() const {
    std::vector<std::string> names;
    for (const PickList& valve : valves)
        if (std::find(names.begin(), names.end(), valve.valve) == names.end()) names.push_back(valve.valve);
    return fmt::format("{}", fmt::join(names, " and "));
}

std::vector<std::optional<std::int64_t>> ComponentPick::byLeg(const Stop& stop) const {
    std::vector<std::optional<std::int64_t>> quantities(static_cast<std::size_t>(legs()));
    for (std::size_t leg = 0; leg < stop.line->per_leg.size(); ++leg)
        quantities.at(static_cast<std::size_t>(stop.valve->first_leg) - 1 + leg) = stop.line->per_leg[leg];
    return quantities;
}

std::vector<planner::Pull> shimPulls(inventory::ShopFile& shop, const PickList& list) {
    std::vector<planner::Pull> pulls;
    const inventory::PartCatalogue catalogue(shop);
    for (const PickLine& line : list.lines) {
        const inventory::Part part = catalogue.get(line.part);
        if (!line.shim || !part.od || !part.thickness) continue;
        planner::Pull pull;
        pull.bin = line.bin;
        pull.part = line.part;
        pull.od = *part.od;
        pull.thickness = *part.thickness;
        pull.measured = line.measured;
        pull.used = line.used;
        pull.quantity = line.quantity;
        pull.walking_order = line.walking_order;
        pull.per_leg = line.per_leg;
        pulls.push_back(std::move(pull));
    }
    return pulls;
}

PickList pickList(inventory::ShopFile& shop, std::string_view code) {
    PickList list;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::Job job = book.get(code);
        const auto reservations = inventory::StockLedger(shop).reservationsOf(code);
        if (reservations.empty()) {
            throw InputError("nothing is reserved for " + job.code + ": accept a stack and reserve it first");
        }
        fillJob(list, job, shop);
        fillStacks(list, book);
        const inventory::PartCatalogue catalogue(shop);
        const inventory::BinList bins(shop);
        const auto snapshot = inventory::stockSnapshot(shop);
        list.made = shop.now();
        list.revision = snapshot.revision;
        for (const Reservation& reservation : reservations) {
            list.lines.push_back(pickLine(reservation, catalogue, bins, snapshot.lots));
        }
        dealToLegs(shop, job.code, job.legs, list.lines);
        for (const auto& [of_job, text] : shortJobs(shop, code))
            list.missing.push_back(of_job + " is " + text);
        for (const ConsumableNeed& need : consumableNeeds(shop, code)) {
            if (need.open() > 0) list.missing.push_back(quantityText(need.open(), need.part) + " is missing");
        }
    });
    list.cautions = workCautions();
    return list;
}

PickList pickSheet(inventory::ShopFile& shop, std::string_view code) {
    PickList list;
    shop.consistently([&] {
        list = pickList(shop, code);
        const inventory::Job job = inventory::JobBook(shop).get(code);
        list.clicks = clickSentence(shop, job, list);
        list.curves = curveSentences(shop, job, list);
    });
    return list;
}

ComponentPick componentPickSheet(inventory::ShopFile& shop, std::string_view code) {
    return ofValves(shop, code, pickSheet);
}

ComponentPick componentPick(inventory::ShopFile& shop, std::string_view code) {
    return ofValves(shop, code, pickList);
}

} // namespace shimledger::services
