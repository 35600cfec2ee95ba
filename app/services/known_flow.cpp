// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/known_flow.h"

#include "planner/stack/needle_adjuster.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace shimledger::services {

namespace {

using inventory::FlowDrive;
using inventory::ModelFlow;
using inventory::Stroke;

// What is usual where nobody has told (common practice, no source).
constexpr double piston_over_face = 1.1;
constexpr double shaft_over_bore = 1.5;
constexpr double thickest_shaft_part = 0.8; // of the piston
constexpr double thinnest_mm = 1;           // of a piston
constexpr double ports_part = 1.0 / 3;      // of the ring between the ports' diameters
constexpr planner::Oil usual_oil{850, 15, 3.5};
constexpr double usual_temperature_c = 40;
constexpr double least_area_mm2 = 0.1; // as planner/stack/flow_json.h has it

double circle(double diameter_mm) {
    return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

/// Fills a flow from what is told, and notes what is not.
class FlowMaker {
public:
    FlowMaker(const ModelFlow& told, const planner::StackSpec& stack) : m_told(told), m_stack(stack) {}

    KnownFlow run() {
        m_known.stroke = m_told.stroke.value_or(m_told.valve.starts_with("rebound") ? Stroke::rebound
                                                                                    : Stroke::compression);
        m_known.fitted_to = m_told.fitted_to;
        takeSweptArea();
        takePorts();
        takeBleed();
        takeOil();
        planner::ValveFlow& flow = m_known.flow;
        const auto take = [](const std::optional<inventory::Decimal>& told, double& target) {
            if (told) target = told->number();
        };
        take(m_told.open_share, flow.open_share);
        take(m_told.port_discharge, flow.port_discharge);
        take(m_told.curtain_discharge, flow.curtain_discharge);
        take(m_told.bleed_discharge, flow.bleed_discharge);
        if (m_told.backing_mpa) flow.backing_pressure_mpa = m_told.backing_mpa->number();
        return std::move(m_known);
    }

private:
    void assume(const char* field, std::string text) { m_known.assumed.push_back({field, std::move(text)}); }

    void takeSweptArea() {
        const double face_mm = m_stack.rows().front().od.millimetres();
        const double bore_mm = m_stack.valve().shim_id.millimetres();
        double shaft_mm = shaft_over_bore * bore_mm;
        double piston_mm = std::max(thinnest_mm, piston_over_face * face_mm);
        if (m_told.piston) piston_mm = m_told.piston->millimetres();
        if (m_told.shaft) {
            shaft_mm = m_told.shaft->millimetres();
            if (!m_told.piston) piston_mm = std::max(piston_mm, shaft_mm / thickest_shaft_part);
        } else {
            shaft_mm =
                std::clamp(shaft_mm, thickest_shaft_part * thinnest_mm, thickest_shaft_part * piston_mm);
            assume("shaft_mm",
                   fmt::format("shaft {:.1f} mm (half as much again as the bore of the discs)", shaft_mm));
        }
        const FlowDrive drive = m_told.driven_by.value_or(
            m_told.valve.starts_with("base") ? FlowDrive::shaft : FlowDrive::piston);
        planner::ValveFlow& flow = m_known.flow;
        if (drive == FlowDrive::shaft) {
            flow.swept_area_mm2 = circle(shaft_mm);
        } else {
            if (!m_told.piston)
                assume("piston_mm",
                       fmt::format("piston {:.1f} mm (somewhat more than the face disc)", piston_mm));
            flow.swept_area_mm2 = circle(piston_mm) - circle(shaft_mm);
        }
        flow.swept_area_mm2 = std::max(flow.swept_area_mm2, least_area_mm2);
        flow.force_area_mm2 = flow.swept_area_mm2;
    }

    void takePorts() {
        double& area = m_known.flow.port_area_mm2;
        if (m_told.port_area_mm2) {
            area = m_told.port_area_mm2->number();
        } else if (m_told.port && m_told.port_count) {
            area = static_cast<double>(*m_told.port_count) * circle(m_told.port->millimetres());
        } else {
            const planner::ValveGeometry& valve = m_stack.valve();
            area = ports_part * (circle(valve.port_outer_diameter.millimetres()) -
                                 circle(valve.port_inner_diameter.millimetres()));
            area = std::max(area, least_area_mm2);
            assume("port_area_mm2",
                   fmt::format("ports of {:.0f} mm2 (a third of the ring that they lie in)", area));
        }
    }

    void takeBleed() {
        planner::ValveFlow& flow = m_known.flow;
        for (const inventory::AdjusterPlace& place : m_told.adjuster)
            flow.clicks.push_back({static_cast<int>(place.click), place.bleed.millimetres()});
        if (m_told.hasNeedle()) {
            flow.clicks = planner::needleClicks(
                {m_told.needle_seat->millimetres(), m_told.needle_cone_deg->number(),
                 m_told.needle_pitch->millimetres(), static_cast<int>(*m_told.needle_clicks_per_turn),
                 static_cast<int>(*m_told.needle_clicks)});
        }
        if (!flow.clicks.empty()) {
            if (m_told.click) {
                flow.click = static_cast<int>(*m_told.click);
            } else {
                flow.click = (flow.clicks.front().click + flow.clicks.back().click) / 2;
                assume("click", fmt::format("the adjuster at click {} (its middle)", *flow.click));
            }
            flow.bleed_diameter_mm = planner::bleedDiameterAt(flow.clicks, *flow.click);
        } else if (m_told.bleed) {
            flow.bleed_diameter_mm = m_told.bleed->millimetres();
        } else {
            assume("bleed_mm", "no bleed");
        }
    }

    void takeOil() {
        planner::ValveFlow& flow = m_known.flow;
        if (m_told.oil_density_kg_m3 && m_told.oil_40c_mm2_s && m_told.oil_100c_mm2_s) {
            flow.oil = {m_told.oil_density_kg_m3->number(), m_told.oil_40c_mm2_s->number(),
                        m_told.oil_100c_mm2_s->number()};
        } else {
            flow.oil = usual_oil;
            assume("oil_density_kg_m3",
                   fmt::format("oil of {:.0f} kg/m3 and {:.1f} mm2/s at 40 C, {:.1f} at 100 C",
                               usual_oil.density_15c_kg_m3, usual_oil.viscosity_40c_mm2_s,
                               usual_oil.viscosity_100c_mm2_s));
        }
        flow.temperature_c = usual_temperature_c;
        if (m_told.temperature_c) {
            flow.temperature_c = m_told.temperature_c->number();
        } else {
            assume("temperature_c", fmt::format("oil at {:.0f} C", usual_temperature_c));
        }
    }

    const ModelFlow& m_told;
    const planner::StackSpec& m_stack;
    KnownFlow m_known;
};

} // namespace

KnownFlow knownFlow(const ModelFlow& told, const planner::StackSpec& stack) {
    return FlowMaker(told, stack).run();
}

KnownFlow knownFlow(inventory::ShopFile& shop, const inventory::Job& job, const planner::StackSpec& stack) {
    return knownFlow(inventory::ModelFlows(shop).get(job.model, job.valve.name), stack);
}

std::string assumedText(const std::vector<AssumedFigure>& assumed) {
    std::string text;
    for (const AssumedFigure& figure : assumed) text += (text.empty() ? "" : ", ") + figure.text;
    return text;
}

std::string assumedSentence(const std::vector<AssumedFigure>& assumed) {
    if (assumed.empty()) return {};
    return "The component model does not say all of this valve; taken from what is usual: " +
           assumedText(assumed) + ". The newtons hang on it, the ratio much less; its band leaves it out.";
}

} // namespace shimledger::services
