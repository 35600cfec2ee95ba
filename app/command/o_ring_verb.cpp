// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/o_ring_fit.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

Length sizeOf(const char* option, const std::string& text) {
    const Length size = millimetresOf(option, text);
    if (size <= Length())
        throw InputError(std::string(option) + " is " + size.text(2) + " mm: give more than 0");
    return size;
}

Length toleranceOf(const char* option, const std::string& text) {
    const Length tolerance = millimetresOf(option, text);
    if (tolerance < Length())
        throw InputError(std::string(option) + " is " + tolerance.text(2) +
                         " mm: give 0 or more, +- is meant");
    return tolerance;
}

services::Groove grooveOf(const ORingVerb& verb) {
    if (verb.bore.empty() == verb.rod.empty()) {
        throw InputError("give either --bore (groove in the inner part) or --rod (groove in the housing)");
    }
    services::Groove groove;
    groove.kind = verb.rod.empty() ? services::GrooveKind::piston : services::GrooveKind::rod;
    groove.diameter = verb.rod.empty() ? sizeOf("--bore", verb.bore) : sizeOf("--rod", verb.rod);
    groove.depth = sizeOf("--depth", verb.depth);
    groove.width = sizeOf("--width", verb.width);
    groove.depth_tolerance = toleranceOf("--depth-tolerance", verb.depth_tolerance);
    groove.diameter_tolerance = toleranceOf("--diameter-tolerance", verb.diameter_tolerance);
    groove.moving = verb.moving;
    return groove;
}

void tellFigure(const char* noun, const services::FitFigure& figure, std::ostream& out) {
    const std::string nominal = figure.nominal_greatest
                                    ? fmt::format(" (at most {:.1f} %)", *figure.nominal_greatest)
                                    : std::string();
    const std::string allowed = figure.rule.empty()
                                    ? std::string("no rule")
                                    : fmt::format("allowed {:.1f} to {:.1f} % ({})", figure.allowed_least,
                                                  figure.allowed_greatest, figure.rule);
    out << fmt::format("    {:<8} {:5.1f} % nominal{}, {:5.1f} to {:5.1f} % over the tolerances; {}\n", noun,
                       figure.nominal, nominal, figure.least, figure.greatest, allowed);
}

void tellFit(const services::ORingFit& fit, std::ostream& out) {
    out << fit.verdict << '\n';
    tellFigure("stretch", fit.stretch, out);
    tellFigure("squeeze", fit.squeeze, out);
    tellFigure("fill", fit.fill, out);
}

nlohmann::json figureJson(const services::FitFigure& figure) {
    return {{"least", figure.least},
            {"nominal", figure.nominal},
            {"greatest", figure.greatest},
            {"nominal_greatest",
             figure.nominal_greatest ? nlohmann::json(*figure.nominal_greatest) : nlohmann::json()},
            {"allowed", {figure.allowed_least, figure.allowed_greatest}},
            {"good", figure.good}};
}

nlohmann::json fitJson(const services::ORingFit& fit) {
    return {{"code", fit.ring.code},
            {"standard", fit.ring.standard},
            {"id_mm", fit.ring.id.millimetres()},
            {"section_mm", fit.ring.section.millimetres()},
            {"stretch_percent", figureJson(fit.stretch)},
            {"squeeze_percent", figureJson(fit.squeeze)},
            {"fill_percent", figureJson(fit.fill)},
            {"judged", fit.judged},
            {"fits", fit.fits()},
            {"verdict", fit.verdict}};
}

} // namespace

int runORing(const ORingVerb& verb, Streams& streams) {
    const services::Groove groove = grooveOf(verb);
    auto shop = openShop(verb.shop_file, streams);
    const services::ORingAnswer answer = services::ringsForGroove(shop, groove, verb.size);
    const int code = answer.choices.empty() ? exit_impossible : exit_done;
    if (verb.json) {
        nlohmann::json root = {
            {"verdict", answer.verdict},
            {"caution", answer.caution},
            {"wanted", answer.wanted ? fitJson(*answer.wanted) : nlohmann::json()},
            {"nearest_miss", answer.nearest_miss ? fitJson(*answer.nearest_miss) : nlohmann::json()},
            {"choices", nlohmann::json::array()}};
        for (const services::ORingChoice& choice : answer.choices) {
            nlohmann::json one = fitJson(choice.fit);
            one["part"] = choice.part;
            one["available"] = choice.available;
            root["choices"].push_back(one);
        }
        streams.out << root.dump(2) << '\n';
        return code;
    }
    if (answer.wanted) tellFit(*answer.wanted, streams.out);
    streams.out << answer.verdict << '\n';
    for (const services::ORingChoice& choice : answer.choices) {
        if (choice.available > 0) {
            streams.out << choice.part << ", " << choice.available << " available: ";
        }
        tellFit(choice.fit, streams.out);
    }
    streams.out << answer.caution << '\n';
    return code;
}

} // namespace shimledger::command
