// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/parts_finder.h"

#include "app/services/standard_o_rings.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_snapshot.h"
#include "planner/mechanics/scatter_band.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

using inventory::Part;
using inventory::PartKind;

constexpr double caliper_mm = 0.15; // a caliper on an edge or a bore (common practice, no source)
constexpr double height_mm = 0.30;  // of seals and bushings, which have lips and chamfers
constexpr double rubber_mm = 0.10;  // a caliper on rubber, beside the standard's tolerance
constexpr double micrometer_mm = 0.002;
// Two sizes that a reading is equally far from, to within this, cannot be told apart by it.
constexpr std::int64_t told_apart_thickness_um = 3;
constexpr std::int64_t told_apart_um = 50;

Length absolute(Length length) {
    return length < Length() ? Length() - length : length;
}

double toleranceOf(const Part& part, std::string_view column, Length nominal, const StandardORing* ring) {
    if (part.kind == PartKind::shim && column == "thickness_mm") {
        return planner::toleranceHalfWidth(planner::ToleranceClass::normal, nominal.millimetres()) +
               micrometer_mm;
    }
    if (part.kind == PartKind::oRing) {
        // Without a standard's tolerance: that of its commonest sections, and 1 % of the diameter.
        if (column == "section_mm") return rubber_mm + (ring ? ring->section_tolerance.millimetres() : 0.08);
        return rubber_mm + (ring ? ring->id_tolerance.millimetres() : 0.05 + 0.01 * nominal.millimetres());
    }
    return column == "length_mm" ? height_mm : caliper_mm;
}

/// The measured sizes in the order of this part: whoever typed the outer before the inner diameter is
/// understood.
std::vector<Length> inOrderOf(const std::vector<inventory::SpokenSize>& sizes, std::vector<Length> measured) {
    if (measured.size() < 2 || sizes.size() < 2) return measured;
    const std::string_view first = sizes[0].field->column;
    const std::string_view second = sizes[1].field->column;
    const bool outer_first = first == "od_mm" && second == "id_mm";
    const bool inner_first = first == "id_mm" && second == "od_mm";
    if ((outer_first && measured[0] < measured[1]) || (inner_first && measured[1] < measured[0])) {
        std::swap(measured[0], measured[1]);
    }
    return measured;
}

std::optional<PartMatch> match(const Part& part, const MeasuredPart& measured, const StandardORing* ring) {
    const auto sizes = inventory::spokenSizes(part);
    if (sizes.size() < measured.sizes.size()) return std::nullopt;
    const std::vector<Length> typed = inOrderOf(sizes, measured.sizes);
    PartMatch found;
    found.part = part.code;
    found.kind = part.kind;
    found.what = inventory::partText(part);
    found.size_text = inventory::partSizeText(part);
    if (ring != nullptr)
        found.standard = ring->standard + (ring->standard[0] == 'I' ? " code " : " ") + ring->code;
    found.within_tolerance = true;
    double sum = 0;
    for (std::size_t i = 0; i < typed.size(); ++i) {
        SizeDifference size{std::string(sizes[i].field->noun), sizes[i].size, typed[i], 0};
        const double tolerance = toleranceOf(part, sizes[i].field->column, size.nominal, ring);
        size.tolerances = absolute(size.difference()).millimetres() / tolerance;
        if (size.tolerances > 1) found.within_tolerance = false;
        sum += size.tolerances * size.tolerances;
        found.sizes.push_back(std::move(size));
    }
    found.distance = std::sqrt(sum / static_cast<double>(typed.size()));
    return found;
}

bool asked(const MeasuredPart& measured, PartKind kind) {
    return measured.kinds.empty() ||
           std::find(measured.kinds.begin(), measured.kinds.end(), kind) != measured.kinds.end();
}

void addStandardRings(const MeasuredPart& measured, const std::set<std::string>& in_catalogue,
                      std::vector<PartMatch>& matches) {
    for (const StandardORing& ring : standardORings()) {
        if (in_catalogue.contains(ring.code)) continue;
        Part part;
        part.kind = PartKind::oRing;
        part.id = ring.id;
        part.section = ring.section;
        if (auto found = match(part, measured, &ring)) matches.push_back(std::move(*found));
    }
}

bool cannotBeToldApart(const PartMatch& a, const PartMatch& b) {
    if (a.sizes.size() != b.sizes.size()) return false;
    for (std::size_t i = 0; i < a.sizes.size(); ++i) {
        const Length gap = absolute(absolute(a.sizes[i].difference()) - absolute(b.sizes[i].difference()));
        const bool thin = a.sizes[i].noun == "thickness";
        if (gap.micrometres() > (thin ? told_apart_thickness_um : told_apart_um)) return false;
    }
    return true;
}

void markTies(std::vector<PartMatch>& matches) {
    for (std::size_t i = 1; i < matches.size(); ++i) {
        PartMatch& nearer = matches[i - 1];
        PartMatch& farther = matches[i];
        if (!nearer.within_tolerance || !farther.within_tolerance) continue;
        if (cannotBeToldApart(nearer, farther)) nearer.tied = farther.tied = true;
    }
}

void addStock(inventory::ShopFile& shop, std::vector<PartMatch>& matches) {
    std::map<std::string, PartMatch*> by_code;
    for (PartMatch& found : matches) {
        if (!found.part.empty()) by_code[found.part] = &found;
    }
    for (const auto& lot : inventory::stockSnapshot(shop).lots) {
        const auto found = by_code.find(lot.part);
        if (found == by_code.end()) continue;
        found->second->available += lot.available();
        std::string& bins = found->second->bins;
        if (bins.size() >= lot.bin.size() && bins.ends_with(lot.bin)) continue; // new and used in one drawer
        bins += (bins.empty() ? "" : ", ") + lot.bin;
    }
}

std::string nameOf(const PartMatch& found) {
    std::string name = found.what;
    if (!found.part.empty()) name += " (" + found.part + ")";
    return found.standard.empty() ? name : name + ", " + found.standard;
}

std::string verdictOn(const std::vector<PartMatch>& matches) {
    if (matches.empty()) return "No part has so many sizes.";
    const PartMatch& first = matches[0];
    if (!first.within_tolerance) {
        std::string text =
            "Nothing has that size: the nearest, " + nameOf(first) + ", is off: " + first.differenceText();
        if (matches.size() > 1 && cannotBeToldApart(first, matches[1]))
            text += ", and " + nameOf(matches[1]) + " as far";
        return text + ".";
    }
    if (!first.tied) {
        const std::string off = first.differenceText();
        return off == "exact" ? "It is " + nameOf(first) + ": exact."
                              : "Nearest: " + nameOf(first) + ", " + off + ".";
    }
    const bool one_size = matches[1].what == first.what;
    std::string text = (one_size ? "Of that size there are: " : "Equally likely: ") + nameOf(first);
    for (std::size_t i = 1; i < matches.size() && matches[i].tied && matches[i].within_tolerance; ++i) {
        text += " or " + nameOf(matches[i]);
    }
    return text + (one_size ? ". Their material tells them apart, not a measurement."
                            : ". Measure again, or look at what lay beside it.");
}

} // namespace

std::string PartMatch::differenceText() const {
    std::string text;
    for (const SizeDifference& size : sizes) {
        const Length difference = size.difference();
        if (difference == Length()) continue;
        const int decimals = size.noun == "thickness" ? 3 : 2;
        text += (text.empty() ? "" : ", ") + size.noun + " " + absolute(difference).text(decimals) +
                (difference > Length() ? " mm over" : " mm under");
    }
    return text.empty() ? "exact" : text;
}

PartSearch findParts(inventory::ShopFile& shop, std::string_view text, std::size_t most, SizeUnit bare) {
    PartSearch search;
    search.measured = parseMeasured(text, bare);
    shop.consistently([&] {
        std::set<std::string> in_catalogue;
        for (const Part& part : inventory::PartCatalogue(shop).list()) {
            if (!asked(search.measured, part.kind)) continue;
            std::optional<StandardORing> ring;
            if (part.kind == PartKind::oRing) ring = findStandardORing(part.size_code);
            if (ring && (ring->id != part.id || ring->section != part.section)) ring.reset();
            if (ring) in_catalogue.insert(ring->code);
            if (auto found = match(part, search.measured, ring ? &*ring : nullptr)) {
                search.matches.push_back(std::move(*found));
            }
        }
        if (asked(search.measured, PartKind::oRing)) {
            addStandardRings(search.measured, in_catalogue, search.matches);
        }
        std::stable_sort(search.matches.begin(), search.matches.end(),
                         [](const PartMatch& a, const PartMatch& b) { return a.distance < b.distance; });
        if (search.matches.size() > most) search.matches.resize(most);
        addStock(shop, search.matches);
    });
    markTies(search.matches);
    search.verdict = verdictOn(search.matches);
    return search;
}

} // namespace shimledger::services
