// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/o_ring_fit.h"

#include "inventory/part_catalogue.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"
#include "planner/units/near_name.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <numbers>

namespace shimledger::services {

namespace {

// Stretch of the inner diameter: 0.5 to 4 % static, 0.5 to 2 % moving are what makers' notes recommend for
// NBR (read in a public note that cites three handbooks); 5 % is the most that a maker's handbook allows at
// all (from memory). Below 0 the ring lies loose. The outer limits, 0 and 5 %, hold over all tolerances; the
// recommendation for moving rings is one about nominal sizes, as a ring's tolerance alone is about 1 %.
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

constexpr double same = 1e-9; // rounding of doubles

/// To what is told: a figure that is judged is one that can be seen.
double asTold(double value, double parts) {
    return std::round(value * parts) / parts + 0.0; // and no -0
}

void judge(FitFigure& figure, double least, double greatest, std::string rule) {
    figure.allowed_least = least;
    figure.allowed_greatest = greatest;
    figure.rule = std::move(rule);
    figure.good = figure.miss() <= same;
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

/// Sizes of ring and groove that the tolerances allow, mm.
struct Sizes {
    double id = 0, section = 0, diameter = 0, depth = 0;
};

struct Figures {
    double stretch = 0, squeeze = 0, fill = 0; // per cent
};

Figures figuresOf(const Sizes& sizes, const Groove& groove) {
    // The diameter that the ring's inside lies on.
    const double seat = sizes.diameter - (groove.kind == GrooveKind::piston ? 2 * sizes.depth : 0.0);
    const double stretch = seat / sizes.id - 1;
    const double thinned = sizes.section / std::sqrt(1 + std::max(0.0, stretch));
    return {100 * stretch, 100 * (thinned - sizes.depth) / thinned,
            100 * std::numbers::pi / 4 * thinned * thinned / (sizes.depth * groove.width.millimetres())};
}

/// Every size at its least, nominal and greatest, together with every other: figures rise or fall with each
/// size, but for the depth of a groove more than a third of its bore deep, whose turning point the nominal
/// depth stands in for.
void overTolerances(const StandardORing& ring, const Groove& groove, ORingFit& fit) {
    const auto spread = [](Length size, Length tolerance, int step) {
        return (size + static_cast<std::int64_t>(step) * tolerance).millimetres();
    };
    const auto widen = [](FitFigure& figure, double value) {
        figure.least = std::min(figure.least, value);
        figure.greatest = std::max(figure.greatest, value);
    };
    const Figures nominal = figuresOf({ring.id.millimetres(), ring.section.millimetres(),
                                       groove.diameter.millimetres(), groove.depth.millimetres()},
                                      groove);
    const auto begin = [](FitFigure& figure, double value) {
        figure.least = figure.nominal = figure.greatest = value;
    };
    begin(fit.stretch, nominal.stretch);
    begin(fit.squeeze, nominal.squeeze);
    begin(fit.fill, nominal.fill);
    constexpr int steps = 3;
    for (int combination = 0; combination < steps * steps * steps * steps; ++combination) {
        int rest = combination;
        const auto step = [&rest] {
            const int digit = rest % steps - 1;
            rest /= steps;
            return digit;
        };
        Sizes sizes;
        sizes.id = spread(ring.id, ring.id_tolerance, step());
        sizes.section = spread(ring.section, ring.section_tolerance, step());
        sizes.diameter = spread(groove.diameter, groove.diameter_tolerance, step());
        sizes.depth = spread(groove.depth, groove.depth_tolerance, step());
        const Figures figures = figuresOf(sizes, groove);
        widen(fit.stretch, figures.stretch);
        widen(fit.squeeze, figures.squeeze);
        widen(fit.fill, figures.fill);
    }
}

std::string complaint(const char* noun, const FitFigure& figure) {
    if (figure.good) return {};
    if (figure.nominal_greatest && figure.nominal > *figure.nominal_greatest) {
        return fmt::format("{} {:.2f} % at nominal sizes (at most {:.1f} % while it moves)", noun,
                           figure.nominal, *figure.nominal_greatest);
    }
    return fmt::format("{} {:.1f} to {:.1f} % over the tolerances (allowed {:.1f} to {:.1f} %)", noun,
                       asTold(figure.least, 10), asTold(figure.greatest, 10), figure.allowed_least,
                       figure.allowed_greatest);
}

std::string verdictOn(const ORingFit& fit, bool moving) {
    if (!fit.judged) {
        return fit.ring.text() + ": no gland rule covers a section of " + fit.ring.section.text(2) +
               " mm in that use, so nothing is promised.";
    }
    if (fit.fits()) {
        return fmt::format(
            "{} fits over the tolerances: stretch {:.1f} to {:.1f} %, squeeze {:.1f} to {:.1f} "
            "%, fill {:.1f} to {:.1f} %{}.",
            fit.ring.text(), asTold(fit.stretch.least, 10), asTold(fit.stretch.greatest, 10),
            asTold(fit.squeeze.least, 10), asTold(fit.squeeze.greatest, 10), asTold(fit.fill.least, 10),
            asTold(fit.fill.greatest, 10), moving ? ", moving" : "");
    }
    std::string text;
    for (const std::string& part : {complaint("stretch", fit.stretch), complaint("squeeze", fit.squeeze),
                                    complaint("fill", fit.fill)}) {
        if (!part.empty()) text += (text.empty() ? "" : ", ") + part;
    }
    return fit.ring.text() + " does not fit: " + text + ".";
}

} // namespace

double FitFigure::miss() const {
    double beyond =
        std::max({0.0, allowed_least - asTold(least, 10), asTold(greatest, 10) - allowed_greatest});
    if (nominal_greatest) beyond = std::max(beyond, asTold(nominal, 100) - *nominal_greatest);
    return beyond <= same ? 0.0 : beyond / std::max(1.0, allowed_greatest - allowed_least);
}

double ORingFit::miss() const {
    return stretch.miss() + squeeze.miss() + fill.miss();
}

ORingFit judgeORing(const StandardORing& ring, const Groove& groove) {
    checkGroove(groove);
    ORingFit fit;
    fit.ring = ring;
    overTolerances(ring, groove, fit);
    if (groove.moving) fit.stretch.nominal_greatest = greatest_moving_stretch;
    judge(fit.stretch, least_stretch, greatest_stretch, "makers' notes");
    judge(fit.fill, 0, greatest_fill, "makers' notes");
    if (const auto range = squeezeRange(ring, groove.moving)) {
        fit.judged = true;
        judge(fit.squeeze, range->least - rounding_points, range->greatest + rounding_points,
              "published glands for this section and use, " + range->rules);
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
            std::vector<std::string> codes;
            for (const StandardORing& known : standardORings()) codes.push_back(known.code);
            throw InputError("there is no O-ring '" + wanted_code.substr(0, 40) +
                             "' in ISO 3601-1 (such as 210) or JIS B 2401-1 (such as P18)" +
                             nearNameText(wanted_code, codes, ""));
        }
        answer.wanted = judgeORing(*ring, groove);
    }
    std::map<std::string, std::pair<std::string, std::int64_t>> stock; // size code -> part, available
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        for (const auto& lot : inventory::stockSnapshot(shop, inventory::PartKind::oRing).lots) {
            if (lot.part_retired || lot.condition != inventory::Condition::fresh || lot.available() <= 0)
                continue;
            auto& held = stock[catalogue.get(lot.part).size_code];
            if (held.first.empty()) held.first = lot.part;
            if (held.first == lot.part) held.second += lot.available();
        }
    });
    for (const StandardORing& ring : standardORings()) {
        ORingChoice choice{judgeORing(ring, groove), {}, 0};
        if (!choice.fit.fits()) {
            const bool nearer = !answer.nearest_miss || choice.fit.miss() < answer.nearest_miss->miss();
            if (choice.fit.judged && nearer) answer.nearest_miss = std::move(choice.fit);
            continue;
        }
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
    if (!answer.choices.empty()) answer.nearest_miss.reset();
    if (answer.choices.empty()) {
        answer.verdict = "No: no size of ISO 3601-1 or JIS B 2401-1 fits this groove.";
        if (answer.nearest_miss) answer.verdict += " The nearest miss: " + answer.nearest_miss->verdict;
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
