// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/lot_check.h"

#include "app/services/scan.h"
#include "inventory/lot_readings.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/plausible_reading.h"
#include "inventory/thickness_reading.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace shimledger::services {

namespace {

Length size(Length off) {
    return off < Length() ? Length() - off : off;
}

/// Of the same diameters, and at least a micrometre nearer to what was read.
std::string nearerShim(const std::vector<inventory::Part>& shims, const inventory::Part& part, Length mean) {
    std::string nearer;
    Length least = size(mean - *part.thickness);
    for (const inventory::Part& other : shims) {
        if (other.od != part.od || other.id != part.id || !other.thickness || other.code == part.code)
            continue;
        if (const Length off = size(mean - *other.thickness); off < least) {
            least = off;
            nearer = other.code;
        }
    }
    return nearer;
}

std::string sentenceOf(const LotCheck& check) {
    const inventory::MeasuredThickness& measured = check.measured;
    std::string text =
        measured.readings == 1
            ? fmt::format("reads {}", measured.mean.text(3))
            : fmt::format("reads {} ({} readings, {} to {})", measured.mean.text(3), measured.readings,
                          measured.least.text(3), measured.greatest.text(3));
    const Length off = check.off();
    if (off == Length()) {
        text += ", as its drawer says";
    } else {
        text += fmt::format(", {} {} {}", size(off).text(3), off > Length() ? "above" : "below",
                            check.nominal.text(2));
    }
    if (check.tooFar()) text += fmt::format(", beyond {}", check.allowed.text(3));
    if (!check.like.empty()) text += "; it reads more like " + check.like;
    return text;
}

/// Without what it is like and its sentence.
LotCheck checkOf(const inventory::Part& part, const inventory::MeasuredThickness& measured,
                 const AllowedOff& allowed) {
    if (!part.thickness) throw InputError("part '" + part.code + "' has no thickness to measure");
    LotCheck check;
    check.part = part.code;
    check.what = inventory::partText(part);
    check.nominal = *part.thickness;
    check.measured = measured;
    check.allowed = allowed.of(check.nominal);
    return check;
}

void judge(LotCheck& check, const inventory::Part& part, const std::vector<inventory::Part>& shims) {
    if (part.kind == inventory::PartKind::shim) check.like = nearerShim(shims, part, check.measured.mean);
    check.sentence = sentenceOf(check);
}

/// How far it is off in parts of what is allowed.
double share(const LotCheck& check) {
    return size(check.off()).millimetres() / check.allowed.millimetres();
}

} // namespace

bool LotCheck::tooFar() const {
    return size(off()) > allowed;
}

Length AllowedOff::of(Length nominal) const {
    if (own) {
        if (*own <= Length()) throw InputError("what a lot may be off must be above 0");
        return *own;
    }
    const double half_width = planner::toleranceHalfWidth(tolerance, nominal.millimetres());
    constexpr double rounding = 1e-6; // 0.012 mm is 12 micrometres, and not 11
    return Length::fromMicrometres(static_cast<std::int64_t>(std::floor(1000 * half_width + rounding)));
}

LotCheck checkReadings(inventory::ShopFile& shop, std::string_view part, const std::vector<Length>& readings,
                       const AllowedOff& allowed) {
    const inventory::PartCatalogue catalogue(shop);
    const inventory::Part read = catalogue.get(part);
    LotCheck check = checkOf(read, inventory::measuredOf(readings), allowed);
    judge(check, read, catalogue.listKind(inventory::PartKind::shim));
    return check;
}

void mustBePlausible(inventory::ShopFile& shop, std::string_view code, Length reading) {
    const inventory::Part part = inventory::PartCatalogue(shop).get(code);
    if (!part.thickness) throw InputError("part '" + part.code + "' has no thickness to measure");
    inventory::mustBeReadingOf(part.code, *part.thickness, reading);
}

std::vector<LotCheck> checkedLots(inventory::ShopFile& shop, const AllowedOff& allowed, bool too_far) {
    std::vector<LotCheck> checks;
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        std::optional<std::vector<inventory::Part>> shims; // read once somebody asks what a lot is like
        for (const inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) {
            if (!lot.measured || !lot.thickness) continue;
            const inventory::Part part = catalogue.get(lot.part);
            LotCheck check = checkOf(part, *lot.measured, allowed);
            if (too_far && !check.tooFar()) continue;
            if (!shims) shims = catalogue.listKind(inventory::PartKind::shim);
            judge(check, part, *shims);
            check.bin = lot.bin;
            check.condition = lot.condition;
            check.on_hand = lot.on_hand;
            checks.push_back(std::move(check));
        }
    });
    std::stable_sort(checks.begin(), checks.end(),
                     [](const LotCheck& a, const LotCheck& b) { return share(a) > share(b); });
    return checks;
}

LotCheck writeReadings(inventory::ShopFile& shop, std::string_view part, std::string_view bin,
                       inventory::Condition condition, const std::vector<Length>& readings,
                       const AllowedOff& allowed) {
    if (readings.empty()) throw InputError("there is no reading yet");
    LotCheck check;
    shop.atomically([&] {
        const std::string code = binOfScan(shop, bin).code;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            try {
                inventory::addReading(shop, {std::string(part), code, condition, readings[i], shop.now()});
            } catch (const InputError& error) {
                throw InputError(readings.size() == 1 ? std::string(error.what())
                                                      : fmt::format("reading {}: {}", i + 1, error.what()));
            }
        }
        std::vector<Length> all;
        for (const auto& reading : inventory::readingsOfPart(shop, part)) {
            if (reading.bin == code && reading.condition == condition) all.push_back(reading.reading);
        }
        check = checkReadings(shop, part, all, allowed);
        check.bin = code;
        check.condition = condition;
        for (const inventory::StockLot& lot : inventory::stockSnapshotOf(shop, {std::string(part)}).lots) {
            if (lot.bin == code && lot.condition == condition) check.on_hand = lot.on_hand;
        }
    });
    return check;
}

} // namespace shimledger::services
