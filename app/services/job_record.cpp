// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_record.h"

#include "app/services/built_job.h"
#include "app/services/cautions.h"
#include "app/services/component_valves.h"
#include "app/services/strip_sheet.h"
#include "app/services/wear_inspection.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/part_kinds.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace shimledger::services {

namespace {

std::string rowText(const inventory::StackRow& row) {
    return fmt::format("{} x {} x {}", row.count, row.od.text(1), row.thickness.text(2));
}

std::string valveWords(const inventory::JobValve& valve) {
    std::string text = fmt::format("{} valve, clamp {} mm, ports {} to {} mm, bore {} mm", valve.name,
                                   valve.clamp_od.text(1), valve.port_inner_diameter.text(1),
                                   valve.port_outer_diameter.text(1), valve.shim_id.text(1));
    if (valve.seat_diameter) text += fmt::format(", seat {} mm", valve.seat_diameter->text(1));
    if (valve.preload) text += fmt::format(", preload {} mm", valve.preload->text(2));
    return text;
}

RecordRow foundRow(const StripLine& line) {
    RecordRow row;
    row.text = fmt::format("{} x {}", line.row.count, line.row.od.text(1));
    if (line.mean) row.text += fmt::format(" x {} (read)", line.mean->text(3));
    if (!line.what.empty()) row.note = line.what;
    if (line.row.scrap > 0) {
        row.note += fmt::format("{}{} not used again: {}", row.note.empty() ? "" : "; ", line.row.scrap,
                                line.row.scrap_reason);
    }
    return row;
}

/// `of_valve` goes before the number of the leg: "Leg ", or of several valves "compression, leg ".
std::vector<RecordStack> foundStacks(inventory::ShopFile& shop, const inventory::Job& job,
                                     const std::string& of_valve) {
    std::vector<RecordStack> stacks;
    for (const StripView& sheet : stripSheets(shop, job.code)) {
        RecordStack stack{of_valve + std::to_string(sheet.leg), {}};
        for (const StripLine& line : sheet.lines) stack.rows.push_back(foundRow(line));
        stacks.push_back(std::move(stack));
    }
    if (!stacks.empty()) return stacks;
    // Files of before strip sheets, and imports, have the stack alone.
    for (const inventory::JobStack& found : inventory::JobBook(shop).stacks(job.code)) {
        if (found.role != inventory::StackRole::asFound) continue;
        RecordStack stack{of_valve + std::to_string(found.leg), {}};
        for (const inventory::StackRow& row : found.rows) stack.rows.push_back({rowText(row), {}});
        stacks.push_back(std::move(stack));
    }
    return stacks;
}

std::string foundText(const inventory::WearFinding& finding) {
    std::string text;
    if (finding.worn_percent) text = fmt::format("{} % worn", *finding.worn_percent);
    const auto state = inventory::wearStateName(finding.state);
    if (!state.empty()) text += (text.empty() ? "" : ", ") + std::string(state);
    return text;
}

const char* decisionText(inventory::WearDecision decision) {
    switch (decision) {
    case inventory::WearDecision::replace:
        return "renewed";
    case inventory::WearDecision::defer:
        return "put off";
    case inventory::WearDecision::keep:
        break;
    }
    return "kept";
}

std::string joined(std::initializer_list<std::string> texts) {
    std::string all;
    for (const std::string& text : texts) {
        if (!text.empty()) all += (all.empty() ? "" : "; ") + text;
    }
    return all;
}

void fillWear(JobRecord& record, const std::vector<InspectionLine>& lines,
              const std::set<std::string>& parts_built_in) {
    const auto isRenewed = [&](const std::string& part) { return parts_built_in.contains(part); };
    for (const InspectionLine& line : lines) {
        const std::string where = line.leg > 0 ? "leg " + std::to_string(line.leg) : std::string();
        std::string what = line.what;
        if (!line.place.empty()) what += (what.empty() ? "" : ", ") + line.place;
        const std::string subject = where.empty() ? what : where + ": " + what;
        if (!line.finding) {
            // A place of an earlier job, or a part that was renewed without a word about the old one.
            if (line.part.empty() || line.leg == 0 || isRenewed(line.part)) continue;
            record.next_time.push_back(subject + " has not been looked at this time");
            continue;
        }
        const inventory::WearFinding& finding = *line.finding;
        record.wear.push_back({where, what, foundText(finding), decisionText(finding.decision),
                               joined({finding.reason, finding.note})});
        const bool renewed = finding.decision == inventory::WearDecision::replace;
        if (finding.decision == inventory::WearDecision::defer) {
            record.next_time.push_back(
                joined({subject + " was put off" +
                            (finding.reason.empty() ? std::string() : " (" + finding.reason + ")"),
                        line.trend}));
        } else if (!renewed && finding.worn_percent.value_or(0) > 0) {
            record.next_time.push_back(joined({subject + " is worn in part", line.trend}));
        }
    }
}

/// The same part pulled from several drawers, or in several goes, is one line.
void addPart(std::vector<RecordPart>& parts, const BuiltLot& lot) {
    const std::string what = inventory::partText(lot.part);
    const bool used = lot.condition == inventory::Condition::used;
    const auto same = std::find_if(parts.begin(), parts.end(), [&](const RecordPart& part) {
        return part.what == what && part.used == used;
    });
    if (same == parts.end()) {
        parts.push_back({what, lot.quantity, std::string(inventory::quantityUnitName(lot.part.unit)), used});
    } else {
        same->quantity += lot.quantity;
    }
}

RecordValve recordValve(const inventory::Job& valve, int component_legs, const BuiltJob& built) {
    RecordValve record{valveText(valve, component_legs), valveWords(valve.valve), {}, {}, {}};
    if (!built.built) return record;
    for (const inventory::StackRow& row : built.rows) {
        const std::size_t replaced = row.replaces ? static_cast<std::size_t>(*row.replaces) : 0;
        const bool stands_in = replaced >= 1 && replaced <= built.target.size();
        record.stack.push_back(
            {rowText(row), stands_in ? "in place of " + rowText(built.target[replaced - 1]) : std::string()});
    }
    record.heights = built.height.text(2) + " mm high";
    if (built.measured_height) record.heights += " (" + built.measured_height->text(3) + " as measured)";
    if (!built.target.empty()) record.heights += ", " + built.target_height.text(2) + " mm were wanted";
    record.curves = built.curve_sentence;
    return record;
}

} // namespace

JobRecord jobRecord(inventory::ShopFile& shop, std::string_view code) {
    JobRecord record;
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        record.job = job.code;
        record.customer = job.customer;
        record.component = job.component;
        record.model = job.model;
        if (const auto model = inventory::ComponentModels(shop).find(job.model);
            model && !model->description.empty())
            record.model = model->description;
        record.opened = job.opened;
        if (job.ended) record.ended = job.ended->date();
        record.state = std::string(inventory::jobStatusName(job.status));
        record.made = shop.now();
        const std::vector<inventory::Job> valves = valvesOf(shop, code);
        record.legs = inventory::componentLegs(valves);
        std::set<std::string> parts_built_in;
        for (const inventory::Job& valve : valves) {
            const std::string of_valve = valves.size() == 1 ? "Leg " : valve.valve.name + ", leg ";
            for (RecordStack& found : foundStacks(shop, valve, of_valve))
                record.found.push_back(std::move(found));
            const BuiltJob built = builtJob(shop, valve.code);
            if (built.built && (!record.built || *record.built < built.built->date()))
                record.built = built.built->date();
            record.valves.push_back(recordValve(valve, record.legs, built));
            for (const BuiltLot& lot : built.lots) {
                parts_built_in.insert(lot.part.code);
                if (lot.part.kind != inventory::PartKind::shim) addPart(record.parts, lot);
            }
        }
        fillWear(record, inspectionSheet(shop, code), parts_built_in);
    });
    record.cautions = workCautions();
    return record;
}

} // namespace shimledger::services
