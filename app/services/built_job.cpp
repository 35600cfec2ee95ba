// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/built_job.h"

#include "app/services/curve_difference.h"
#include "inventory/bin.h"
#include "inventory/issued_pieces.h"
#include "inventory/job_book.h"
#include "inventory/lot_readings.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"
#include "inventory/thickness_reading.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::services {

namespace {

using inventory::LedgerEntry;
using inventory::StackRow;
using Size = std::pair<Length, Length>; // outer diameter, thickness

std::optional<inventory::MeasuredThickness> measuredBy(const inventory::ShopFile& shop,
                                                       const LedgerEntry& issue) {
    std::vector<Length> readings;
    for (const auto& reading : inventory::readingsOfPart(shop, issue.part)) {
        if (reading.bin == issue.bin && reading.condition == issue.condition && reading.utc <= issue.utc)
            readings.push_back(reading.reading);
    }
    if (readings.empty()) return std::nullopt;
    return inventory::measuredOf(readings);
}

/// Issues of one lot for one purpose are one line, as long as they knew the same readings.
void addLot(std::vector<BuiltLot>& lots, BuiltLot lot) {
    const auto same = std::find_if(lots.begin(), lots.end(), [&](const BuiltLot& other) {
        return other.part.code == lot.part.code && other.bin == lot.bin && other.condition == lot.condition &&
               other.wanted_part == lot.wanted_part && other.measured == lot.measured;
    });
    if (same == lots.end()) {
        lots.push_back(std::move(lot));
    } else {
        same->quantity += lot.quantity;
        same->pulled = std::max(same->pulled, lot.pulled);
    }
}

std::map<Size, std::int64_t> sizesOf(const std::vector<StackRow>& rows, int legs) {
    std::map<Size, std::int64_t> sizes;
    for (const StackRow& row : rows) sizes[{row.od, row.thickness}] += row.count * legs;
    return sizes;
}

std::map<Size, std::int64_t> sizesOf(const std::vector<BuiltLot>& lots) {
    std::map<Size, std::int64_t> sizes;
    for (const BuiltLot& lot : lots) {
        if (lot.part.kind == inventory::PartKind::shim && lot.part.od && lot.part.thickness)
            sizes[{*lot.part.od, *lot.part.thickness}] += lot.quantity;
    }
    return sizes;
}

Length heightOf(const std::vector<StackRow>& rows) {
    Length height;
    for (const StackRow& row : rows) height += row.count * row.thickness;
    return height;
}

/// The stack that the discs pulled are those of; else what was accepted, with notes on what differs.
void chooseRows(BuiltJob& built, const std::optional<inventory::JobStack>& accepted, int legs) {
    const auto pulled = sizesOf(built.lots);
    built.accepted = accepted.has_value();
    built.rows = accepted ? accepted->rows : built.target;
    built.clamp_od = accepted ? accepted->clamp_od : std::nullopt;
    if (pulled.empty() || sizesOf(built.rows, legs) == pulled) return;
    if (accepted && sizesOf(built.target, legs) == pulled) { // the plan was given up, and the target built
        built.rows = built.target;
        built.clamp_od.reset();
        built.accepted = false;
        return;
    }
    std::map<Size, std::int64_t> gap = pulled;
    for (const auto& [size, count] : sizesOf(built.rows, legs)) gap[size] -= count;
    for (const auto& [size, more] : gap) {
        if (more == 0) continue;
        built.notes.push_back(fmt::format("{} of {} x {} {} pulled than the stack has",
                                          more < 0 ? -more : more, size.first.text(1), size.second.text(2),
                                          more < 0 ? "fewer" : "more"));
    }
}

std::optional<Length> measuredHeight(const std::vector<StackRow>& rows,
                                     const std::vector<planner::Pull>& pulls) {
    double height_um = 0;
    for (const StackRow& row : rows) {
        double pieces = 0, sum_um = 0;
        for (const planner::Pull& pull : pulls) {
            if (pull.od != row.od || pull.thickness != row.thickness) continue;
            if (!pull.measured) return std::nullopt;
            pieces += static_cast<double>(pull.quantity);
            sum_um += static_cast<double>(pull.quantity * pull.measured->micrometres());
        }
        if (pieces == 0) return std::nullopt;
        height_um += static_cast<double>(row.count) * sum_um / pieces;
    }
    if (rows.empty()) return std::nullopt;
    return Length::fromMicrometres(static_cast<std::int64_t>(height_um + 0.5));
}

} // namespace

std::vector<LedgerEntry> usedEntries(inventory::ShopFile& shop, std::string_view job) {
    using Key = std::tuple<std::string, inventory::Condition, std::string>;
    std::map<Key, std::int64_t> out;
    for (const auto& pieces : inventory::issuedPieces(shop, job))
        out[{pieces.part, pieces.condition, pieces.wanted_part}] = pieces.quantity;
    std::vector<LedgerEntry> used;
    for (LedgerEntry& entry : inventory::StockHistory(shop).ofJob(job)) {
        if (entry.reversed_by) continue;
        if (entry.kind == inventory::MovementKind::issue) {
            if (entry.wanted_part == entry.part) entry.wanted_part.clear();
            std::int64_t& rest = out[{entry.part, entry.condition, entry.wanted_part}];
            entry.quantity = std::min(entry.quantity, rest);
            rest -= entry.quantity;
        } else if (entry.kind != inventory::MovementKind::scrap) {
            continue;
        }
        if (entry.quantity > 0) used.push_back(std::move(entry));
    }
    return used;
}

std::int64_t BuiltJob::discs() const {
    std::int64_t sum = 0;
    for (const BuiltLot& lot : lots) sum += lot.part.kind == inventory::PartKind::shim ? lot.quantity : 0;
    return sum;
}

inventory::JobStack builtStack(const BuiltJob& built) {
    return {inventory::StackRole::build, 0, built.rows, built.clamp_od};
}

std::vector<planner::Pull> builtPulls(const BuiltJob& built) {
    std::vector<planner::Pull> pulls;
    for (const BuiltLot& lot : built.lots) {
        if (lot.part.kind != inventory::PartKind::shim || !lot.part.od || !lot.part.thickness) continue;
        planner::Pull pull;
        pull.bin = lot.bin;
        pull.part = lot.part.code;
        pull.od = *lot.part.od;
        pull.thickness = *lot.part.thickness;
        pull.used = lot.condition == inventory::Condition::used;
        pull.quantity = lot.quantity;
        pull.walking_order = lot.walking_order;
        if (lot.measured) {
            pull.measured = lot.measured->mean;
            pull.reading_spread_mm = lot.measured->deviation_mm;
        }
        pulls.push_back(std::move(pull));
    }
    std::stable_sort(pulls.begin(), pulls.end(), [](const planner::Pull& a, const planner::Pull& b) {
        return std::tie(a.walking_order, a.bin) < std::tie(b.walking_order, b.bin);
    });
    return pulls;
}

BuiltJob builtJob(inventory::ShopFile& shop, std::string_view code, double working_lift_mm) {
    if (!(working_lift_mm > 0) || working_lift_mm > 5)
        throw InputError("the working lift must be above 0, up to 5 mm");
    BuiltJob built;
    inventory::Job job;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        job = book.get(code);
        const inventory::PartCatalogue catalogue(shop);
        const inventory::BinList bins(shop);
        for (const LedgerEntry& issue : usedEntries(shop, code)) {
            if (issue.kind != inventory::MovementKind::issue) continue;
            if (!built.built || *built.built < issue.utc) built.built = issue.utc;
            addLot(built.lots,
                   {issue.utc, catalogue.get(issue.part), issue.bin, bins.get(issue.bin).walking_order,
                    issue.condition, issue.wanted_part, issue.quantity, measuredBy(shop, issue)});
        }
        if (const auto target = book.stack(code, inventory::StackRole::target)) built.target = target->rows;
        chooseRows(built, book.stack(code, inventory::StackRole::build), job.legs);
    });
    built.target_height = heightOf(built.target);
    built.height = heightOf(built.rows);
    built.working_lift_mm = working_lift_mm;
    const auto pulls = builtPulls(built);
    if (pulls.empty()) {
        built.curve_sentence = "no shim was pulled for it";
        return built;
    }
    built.measured_height = measuredHeight(built.rows, pulls);
    CurveDifference difference = curveDifference(job, {inventory::StackRole::target, 0, built.target},
                                                 builtStack(built), pulls, working_lift_mm);
    built.curves = difference.deviation;
    built.curve_sentence = std::move(difference.sentence);
    return built;
}

} // namespace shimledger::services
