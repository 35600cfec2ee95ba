#include "app/services/o_ring_fit.h"

#include "inventory/part_catalogue.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace shimledger::services {

namespace {

// Stretch of the inner diameter: 0.5 to 4 % static, 0.5 to 2 % moving are what makers' notes recommend for
// NBR (read in a public note that cites three handbooks); 5 % is the most that a maker's handbook allows at
// all (from memory). Below 0 the ring lies loose. Recommended ranges are told, the outer limit decides.
constexpr double least_stretch = 0;
constexpr double greatest_stretch = 5;
constexpr double greatest_moving_stretch = 2;
// Fill of the groove: 75 to 95 % over the tolerances (read, same note); published glands run from 62 to 82 %
// at nominal (computed from o_ring_gland_rules.csv), so that only the upper end is a limit: rubber swells and
// cannot be compressed.
constexpr double greatest_fill = 95;
// A gland rule is about one section; JIS and ISO sections differ from it by less than this.
constexpr Length same_section = Length::fromMicrometres(80);
// Printed ranges and ours come from the same formula; this is the rounding of the printed inches.
constexpr double rounding_points = 0.75;

struct SqueezeRange {
    double least = 0, greatest = 0;
    std::string rules;
};

/// Flat glands are for faces; of the others, the JIS cylindrical ones serve both, G being for static use
/// only.
bool isFor(const GlandRule& rule, bool moving) {
    const std::string& use = rule.application;
    if (use.find("face") != std::string::npos || use.find("flat") != std::string::npos) return false;
    if (use.starts_with("cylindrical")) return !moving || use.find("JIS G") == std::string::npos;
    return moving ? use.starts_with("dynamic") : use.starts_with("static radial");
}

std::optional<SqueezeRange> squeezeRange(const StandardORing& ring, bool moving) {
    std::optional<SqueezeRange> range;
    for (const GlandRule& rule : glandRules()) {
        const Length gap =
            rule.section < ring.section ? ring.section - rule.section : rule.section - ring.section;
        if (gap > same_section || !isFor(rule, moving)) continue;
        if (!range) {
            range = SqueezeRange{rule.least_squeeze, rule.greatest_squeeze, rule.id};
            continue;
        }
        range->least = std::min(range->least, rule.least_squeeze);
        range->greatest = std::max(range->greatest, rule.greatest_squeeze);
        range->rules += " " + rule.id;
    }
    return range;
}

void judge(FitFigure& figure, double least, double greatest, std::string rule) {
    figure.allowed_least = least;
    figure.allowed_greatest = greatest;
    figure.good = figure.least >= least - 1e-9 && figure.greatest <= greatest + 1e-9;
    figure.rule = std::move(rule);
}

void checkGroove(const Groove& groove) {
    const Length zero;
    if (groove.diameter <= zero || groove.depth <= zero || groove.width <= zero) {
        throw InputError("a groove needs a diameter, a depth and a width above 0 mm");
    }
    if (groove.depth_tolerance < zero || groove.diameter_tolerance < zero) {
        throw InputError("a tolerance is 0 mm or more");
    }
    if (groove.depth_tolerance >= groove.depth || groove.diameter_tolerance >= groove.diameter) {
        throw InputError("a tolerance must be smaller than what it belongs to");
    }
    if (groove.kind == GrooveKind::piston && 2 * (groove.depth + groove.depth_tolerance) >= groove.diameter) {
        throw InputError(fmt::format("a groove {} mm deep leaves nothing of a piston in a bore of {} mm",
                                     groove.depth.text(2), groove.diameter.text(2)));
    }
}

FitFigure stretchOf(const StandardORing& ring, const Groove& groove) {
    // The diameter that the ring's inside lies on.
    const bool piston = groove.kind == GrooveKind::piston;
    const double seat = groove.diameter.millimetres() - (piston ? 2 * groove.depth.millimetres() : 0);
    const double slack =
        groove.diameter_tolerance.millimetres() + (piston ? 2 * groove.depth_tolerance.millimetres() : 0);
    const double id = ring.id.millimetres();
    const double id_slack = ring.id_tolerance.millimetres();
    FitFigure figure;
    figure.least = 100 * ((seat - slack) / (id + id_slack) - 1);
    figure.nominal = 100 * (seat / id - 1);
    figure.greatest = 100 * ((seat + slack) / (id - id_slack) - 1);
    return figure;
}

FitFigure squeezeOf(const StandardORing& ring, const Groove& groove) {
    const double section = ring.section.millimetres();
    const double slack = ring.section_tolerance.millimetres();
    const double depth = groove.depth.millimetres();
    const double depth_slack = groove.depth_tolerance.millimetres();
    FitFigure figure;
    figure.least = 100 * (section - slack - depth - depth_slack) / (section - slack);
    figure.nominal = 100 * (section - depth) / section;
    figure.greatest = 100 * (section + slack - depth + depth_slack) / (section + slack);
    return figure;
}

FitFigure fillOf(const StandardORing& ring, const Groove& groove) {
    const auto fill = [&](double section, double depth) {
        return 100 * std::numbers::pi / 4 * section * section / (depth * groove.width.millimetres());
    };
    const double section = ring.section.millimetres();
    const double slack = ring.section_tolerance.millimetres();
    const double depth = groove.depth.millimetres();
    const double depth_slack = groove.depth_tolerance.millimetres();
    return {fill(section - slack, depth + depth_slack),
            fill(section, depth),
            fill(section + slack, depth - depth_slack),
            0,
            0,
            false,
            {}};
}

std::string complaint(const char* noun, const FitFigure& figure) {
    if (figure.good) return {};
    return fmt::format("{} {:.1f} to {:.1f} % (allowed {:.1f} to {:.1f} %)", noun, figure.least,
                       figure.greatest, figure.allowed_least, figure.allowed_greatest);
}

std::string verdictOn(const ORingFit& fit, bool moving) {
    if (!fit.judged) {
        return fit.ring.text() + ": no gland rule covers a section of " + fit.ring.section.text(2) +
               " mm in that use, so nothing is promised.";
    }
    if (fit.fits()) {
        return fmt::format("{} fits: stretch {:.1f} %, squeeze {:.1f} %, fill {:.0f} %{}.", fit.ring.text(),
                           fit.stretch.nominal, fit.squeeze.nominal, fit.fill.nominal,
                           moving ? ", moving" : "");
    }
    std::string text;
    for (const std::string& part : {complaint("stretch", fit.stretch), complaint("squeeze", fit.squeeze),
                                    complaint("fill", fit.fill)}) {
        if (!part.empty()) text += (text.empty() ? "" : ", ") + part;
    }
    return fit.ring.text() + " does not fit: " + text + ".";
}

} // namespace

ORingFit judgeORing(const StandardORing& ring, const Groove& groove) {
    checkGroove(groove);
    ORingFit fit;
    fit.ring = ring;
    fit.stretch = stretchOf(ring, groove);
    fit.squeeze = squeezeOf(ring, groove);
    fit.fill = fillOf(ring, groove);
    // Stretched rubber keeps its volume, so the section's area shrinks as the length grows (derived here): d2
    // / sqrt(1+s).
    const double thinned =
        ring.section.millimetres() / std::sqrt(1 + std::max(0.0, fit.stretch.nominal) / 100);
    fit.thinned_squeeze = 100 * (thinned - groove.depth.millimetres()) / thinned;
    // Nominal stretch decides: a ring's tolerance alone is several per cent on the small sizes.
    judge(fit.stretch, least_stretch, groove.moving ? greatest_moving_stretch : greatest_stretch,
          "makers' notes; see o_ring_fit.cpp");
    fit.stretch.good = fit.stretch.nominal >= fit.stretch.allowed_least &&
                       fit.stretch.nominal <= fit.stretch.allowed_greatest;
    judge(fit.fill, 0, greatest_fill, "makers' notes; see o_ring_fit.cpp");
    if (const auto range = squeezeRange(ring, groove.moving)) {
        fit.judged = true;
        judge(fit.squeeze, range->least - rounding_points, range->greatest + rounding_points,
              "o_ring_gland_rules.csv " + range->rules);
    }
    fit.verdict = verdictOn(fit, groove.moving);
    return fit;
}

ORingAnswer ringsForGroove(inventory::ShopFile& shop, const Groove& groove, const std::string& wanted_code,
                           std::size_t most) {
    checkGroove(groove);
    ORingAnswer answer;
    if (!wanted_code.empty()) {
        const auto ring = findStandardORing(wanted_code);
        if (!ring) {
            throw InputError("there is no O-ring '" + wanted_code.substr(0, 40) +
                             "' in ISO 3601-1 (such as 210) or JIS B 2401-1 (such as P18)");
        }
        answer.wanted = judgeORing(*ring, groove);
    }
    std::map<std::string, std::pair<std::string, std::int64_t>> stock; // size code -> part, available
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        for (const auto& lot : inventory::stockSnapshot(shop, inventory::PartKind::oRing).lots) {
            if (lot.condition != inventory::Condition::fresh || lot.available() <= 0) continue;
            auto& held = stock[catalogue.get(lot.part).size_code];
            if (held.first.empty()) held.first = lot.part;
            if (held.first == lot.part) held.second += lot.available();
        }
    });
    for (const StandardORing& ring : standardORings()) {
        ORingChoice choice{judgeORing(ring, groove), {}, 0};
        if (!choice.fit.fits()) continue;
        if (const auto held = stock.find(ring.code); held != stock.end()) {
            choice.part = held->second.first;
            choice.available = held->second.second;
        }
        answer.choices.push_back(std::move(choice));
    }
    const auto farness = [&](const ORingFit& fit) {
        if (!answer.wanted) return std::abs(fit.stretch.nominal);
        const StandardORing& wanted = answer.wanted->ring;
        return std::abs((fit.ring.section - wanted.section).millimetres()) * 10 +
               std::abs((fit.ring.id - wanted.id).millimetres());
    };
    std::stable_sort(answer.choices.begin(), answer.choices.end(),
                     [&](const ORingChoice& a, const ORingChoice& b) {
                         if ((a.available > 0) != (b.available > 0)) return a.available > 0;
                         return farness(a.fit) < farness(b.fit);
                     });
    if (answer.choices.size() > most) answer.choices.resize(most);
    if (answer.choices.empty()) {
        answer.verdict = "No: no size of ISO 3601-1 or JIS B 2401-1 fits this groove.";
    } else if (answer.choices.front().available > 0) {
        answer.verdict =
            "In stock: " + answer.choices.front().part + ". " + answer.choices.front().fit.verdict;
    } else {
        answer.verdict = "None that fits is in stock. " + answer.choices.front().fit.verdict;
    }
    answer.caution =
        "A ring's compound must suit the fluid and the temperature: ask its maker; these figures say "
        "nothing of it.";
    return answer;
}

} // namespace shimledger::services
