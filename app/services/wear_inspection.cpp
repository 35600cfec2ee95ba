// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/wear_inspection.h"

#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <chrono>

namespace shimledger::services {

namespace {

using inventory::PartKind;
using inventory::WearDecision;
using inventory::WearFinding;

bool sameSubject(const WearFinding& finding, const InspectionLine& line) {
    return finding.leg == line.leg && finding.part == line.part && finding.place == line.place;
}

std::string stateText(const WearFinding& finding) {
    if (finding.worn_percent) return std::to_string(*finding.worn_percent) + " %";
    if (finding.state != inventory::WearState::notSaid)
        return std::string(inventory::wearStateName(finding.state));
    return finding.note.empty() ? std::string(inventory::wearDecisionName(finding.decision)) : finding.note;
}

/// The day on which a bushing that goes on wearing as between its first and last reading meets two thirds.
std::string outlook(const WearFinding& first, const WearFinding& last) {
    const auto days = std::chrono::floor<std::chrono::days>(last.utc.moment() - first.utc.moment()).count();
    const int points = *last.worn_percent - *first.worn_percent;
    if (inventory::wornOut(*last.worn_percent)) return "; two thirds is the limit";
    if (days <= 0 || points <= 0) return {};
    const double rest_days = (200.0 / 3 - *last.worn_percent) * static_cast<double>(days) / points;
    constexpr double far_off_days = 3650;
    if (rest_days > far_off_days) return {};
    return "; at this pace two thirds on about " +
           last.utc.date().plusDays(static_cast<int>(rest_days)).text();
}

std::string trendOf(const InspectionLine& line) {
    if (line.earlier.empty()) return {};
    std::string text;
    const WearFinding* first = nullptr;
    for (auto finding = line.earlier.rbegin(); finding != line.earlier.rend(); ++finding) {
        if (!text.empty()) text += ", ";
        text += stateText(*finding) + " on " + finding->utc.date().text();
        // Renewed parts begin anew, so the pace is taken from the last renewal on.
        if (finding->decision == WearDecision::replace) {
            text += " (renewed)";
            first = nullptr;
        } else if (first == nullptr && finding->worn_percent) {
            first = &*finding;
        }
    }
    if (!line.finding) return text;
    text += ", " + stateText(*line.finding) + " now";
    if (first != nullptr && line.finding->worn_percent) text += outlook(*first, *line.finding);
    return text;
}

/// Fluids are drained and washers crushed whatever the inspection says.
bool alwaysRenewed(PartKind kind) {
    return kind == PartKind::fluid || kind == PartKind::washer;
}

inventory::ComponentModel modelOf(inventory::ShopFile& shop, const inventory::Job& job) {
    if (auto model = inventory::ComponentModels(shop).find(job.model)) return *model;
    throw InputError("job '" + job.code + "' has no component model any more");
}

void add(std::vector<KitLine>& lines, const inventory::Part& part, std::int64_t quantity,
         const std::string& reason) {
    const auto same =
        std::find_if(lines.begin(), lines.end(), [&](const KitLine& line) { return line.part == part.code; });
    if (same == lines.end()) {
        lines.push_back({part.code, inventory::partText(part), quantity, reason,
                         std::string(inventory::quantityUnitName(part.unit))});
        return;
    }
    same->quantity += quantity;
    if (same->reason.find(reason) == std::string::npos) same->reason += ", " + reason;
}

} // namespace

std::vector<InspectionLine> inspectionSheet(inventory::ShopFile& shop, std::string_view code) {
    std::vector<InspectionLine> lines;
    shop.consistently([&] {
        const std::vector<inventory::Job> valves = inventory::componentValves(shop, code);
        const inventory::Job& job = valves.front();
        const inventory::PartCatalogue catalogue(shop);
        const inventory::WearBook book(shop);
        for (int leg = 1; leg <= inventory::componentLegs(valves); ++leg) {
            for (const auto& consumable : modelOf(shop, job).consumables) {
                const inventory::Part part = catalogue.get(consumable.part);
                if (alwaysRenewed(part.kind)) continue;
                InspectionLine line;
                line.leg = leg;
                line.part = part.code;
                line.what = inventory::partText(part);
                line.quantity = consumable.quantity_per_leg;
                line.takes_percent = part.kind == PartKind::bushing;
                lines.push_back(std::move(line));
            }
        }
        const auto lineOf = [&](const WearFinding& finding) -> InspectionLine& {
            for (InspectionLine& line : lines) {
                if (sameSubject(finding, line)) return line;
            }
            InspectionLine line;
            line.leg = finding.leg;
            line.part = finding.part;
            line.place = finding.place;
            if (!finding.part.empty()) {
                const inventory::Part part = catalogue.get(finding.part);
                line.what = inventory::partText(part);
                line.takes_percent = part.kind == PartKind::bushing;
            }
            lines.push_back(std::move(line));
            return lines.back();
        };
        for (const WearFinding& finding : book.earlier(job.code)) lineOf(finding).earlier.push_back(finding);
        for (const WearFinding& finding : book.ofJob(job.code)) lineOf(finding).finding = finding;
        for (InspectionLine& line : lines) line.trend = trendOf(line);
    });
    return lines;
}

JobKit jobKit(inventory::ShopFile& shop, std::string_view code) {
    JobKit kit;
    shop.consistently([&] {
        const std::vector<inventory::Job> valves = inventory::componentValves(shop, code);
        const int legs = inventory::componentLegs(valves);
        const inventory::PartCatalogue catalogue(shop);
        for (const auto& consumable : modelOf(shop, valves.front()).consumables) {
            const inventory::Part part = catalogue.get(consumable.part);
            if (!alwaysRenewed(part.kind)) continue;
            add(kit.wanted, part, consumable.quantity_per_leg * legs,
                part.kind == PartKind::fluid ? "fresh fill" : "new each time");
        }
        for (const InspectionLine& line : inspectionSheet(shop, code)) {
            if (!line.finding) {
                const bool listed = line.quantity > 0 && !line.part.empty() && line.place.empty();
                if (listed && line.leg > 0) {
                    kit.open.push_back("leg " + std::to_string(line.leg) + ": " + line.what + " (" +
                                       line.part + ") has not been looked at");
                }
                continue;
            }
            if (line.part.empty() || line.finding->decision == WearDecision::keep) continue;
            const bool now = line.finding->decision == WearDecision::replace;
            add(now ? kit.wanted : kit.deferred, catalogue.get(line.part), line.finding->quantity,
                line.finding->reason);
        }
    });
    return kit;
}

JobKit applyKit(inventory::ShopFile& shop, std::string_view code) {
    JobKit kit;
    shop.atomically([&] {
        kit = jobKit(shop, code);
        if (!kit.open.empty()) {
            throw InputError(
                "the inspection of job '" + std::string(code.substr(0, 60)) +
                "' is not done: " + kit.open.front() +
                (kit.open.size() > 1 ? ", and " + std::to_string(kit.open.size() - 1) + " more" : ""));
        }
        std::vector<inventory::JobConsumable> consumables;
        for (const KitLine& line : kit.wanted) consumables.push_back({line.part, line.quantity, line.reason});
        inventory::JobBook(shop).setConsumables(inventory::componentValves(shop, code).front().code,
                                                consumables);
    });
    return kit;
}

} // namespace shimledger::services
