// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/pick_list.h"
#include "app/services/plan_job.h"
#include "app/services/reorder.h"
#include "app/services/reorder_words.h"
#include "app/services/sheets/pick_list_sheet.h"
#include "app/services/sheets/reorder_sheet.h"
#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

int runPick(const SheetVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::ComponentPick pick = services::componentPickSheet(shop, verb.job);
    services::writePickListSheet(pick, {verb.out_file, verb.force}, paper);
    for (const services::ComponentPick::Stop& stop : pick.walk()) {
        const services::PickLine& line = *stop.line;
        const std::string purpose = pick.purposeOf(stop);
        streams.out << fmt::format("{:<6} {:>3} {:<6} {}{}{}{}\n", line.bin, line.quantity, line.unit,
                                   line.what, line.used ? " (used)" : "",
                                   line.replaces.empty() ? "" : "   instead of " + line.replaces,
                                   purpose.empty() ? "" : "   for " + purpose);
    }
    for (const services::PickList& valve : pick.valves)
        for (const std::string& sentence : valve.missing) streams.out << "Missing: " << sentence << '\n';
    for (const std::string& caution : pick.valves.front().cautions)
        streams.out << "Caution: " << caution << '\n';
    streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

namespace {

/// What the cheapest purchase for an impossible job is made of.
std::vector<services::ExtraDemand> piecesFor(inventory::ShopFile& shop, const std::string& job) {
    const services::JobPlan plan = services::planJob(shop, job);
    if (plan.result.status != planner::SubstituteStatus::nothing_possible)
        throw InputError(job + " needs no purchase to be possible: " + plan.result.message);
    if (plan.purchase.pieces.empty()) throw InputError(job + ": " + plan.purchase.sentence);
    // What the open jobs lack of their targets is bought anyway.
    const services::ReorderInputs inputs = services::readReorderInputs(shop);
    std::vector<services::ExtraDemand> pieces = plan.purchase.pieces;
    for (services::ExtraDemand& extra : pieces) {
        const auto wanted = inputs.job_demand.find(extra.part);
        if (wanted != inputs.job_demand.end()) extra.pieces -= wanted->second.pieces;
    }
    std::erase_if(pieces, [](const services::ExtraDemand& extra) { return extra.pieces <= 0; });
    return pieces;
}

} // namespace

int runReorder(const SheetVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    services::ReorderOptions options;
    if (!verb.job.empty()) options.extra = piecesFor(shop, verb.job);
    if (!verb.waiting_day.empty()) options.waiting_day = inventory::parseMoney(verb.waiting_day);
    const services::ReorderPlan plan = services::reorderPlan(shop, options);
    services::writeReorderSheet(plan, {verb.out_file, verb.force}, paper,
                                services::reorderReview(shop, plan));
    if (verb.json) {
        nlohmann::json root = {{"orders", nlohmann::json::array()},
                               {"unoffered", nlohmann::json::array()},
                               {"notes", plan.notes}};
        for (const services::SupplierOrder& order : plan.orders) {
            nlohmann::json lines = nlohmann::json::array();
            for (const services::ReorderLine& line : order.lines) {
                lines.push_back({{"part", line.part},
                                 {"packs", line.packs},
                                 {"pack_size", line.pack_size},
                                 {"pack_price", inventory::moneyText(line.price())},
                                 {"total", inventory::moneyText(line.total())},
                                 {"reorder_point", line.reorder_point.value_or(0)},
                                 {"order_up_to", line.order_up_to},
                                 {"demand", line.demand},
                                 {"promised_share", line.promised_share},
                                 {"served_share", line.served_share},
                                 {"plain", line.plain},
                                 {"reason", line.reason}});
            }
            root["orders"].push_back({{"supplier", order.supplier.name},
                                      {"currency", order.supplier.currency},
                                      {"total", inventory::moneyText(order.total())},
                                      {"lines", lines}});
        }
        root["jobs"] = nlohmann::json::array();
        for (const services::JobOutlook& job : plan.jobs) {
            root["jobs"].push_back({{"job", job.job},
                                    {"due", job.due ? nlohmann::json(job.due->text()) : nullptr},
                                    {"there", job.there ? nlohmann::json(job.there->text()) : nullptr},
                                    {"late", job.late},
                                    {"how", job.sentence}});
        }
        root["waiting_day"] = inventory::moneyText(plan.waiting_day);
        root["rhythm"] = nlohmann::json::array();
        for (const services::OrderRhythm& rhythm : plan.rhythms) {
            root["rhythm"].push_back(
                {{"supplier", rhythm.supplier},
                 {"review_days", rhythm.review_days},
                 {"orders_a_year", rhythm.orders_a_year},
                 {"orders_a_year_at_usual_review", rhythm.usual_orders_a_year},
                 {"yearly_saving", static_cast<double>(rhythm.saving()) / 100},
                 {"next_order", rhythm.next_order ? nlohmann::json(rhythm.next_order->text()) : nullptr}});
        }
        root["quality"] = nlohmann::json::array();
        for (const services::PlanQuality& quality : plan.quality) {
            root["quality"].push_back({{"currency", quality.currency},
                                       {"cost", inventory::moneyText(quality.cost)},
                                       {"waiting", inventory::moneyText(quality.waiting)},
                                       {"gap", quality.gap},
                                       {"proved", quality.gap == 0},
                                       {"how", quality.sentence}});
        }
        for (const services::ReorderLine& line : plan.unoffered)
            root["unoffered"].push_back(
                {{"part", line.part}, {"wanted", line.wanted}, {"reason", line.reason}});
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    const services::PageOne page = services::pageOne(plan);
    const auto tell = [&](const char* head, const std::vector<std::string>& sentences) {
        if (!sentences.empty()) streams.out << head << '\n';
        for (const std::string& sentence : sentences) streams.out << "  " << sentence << '\n';
    };
    tell("What stops jobs:", page.stops);
    tell("What to order today:", page.today);
    tell("What it costs:", page.cost);
    tell("If nothing is ordered:", page.if_not);
    tell("Later:", page.later);
    for (const services::ReorderLine& line : plan.unoffered)
        streams.out << "Nobody sells " << line.part << ": " << line.reason << '\n';
    for (const std::string& note : plan.notes) streams.out << "Note: " << note << '\n';
    streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

} // namespace shimledger::command
