// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/keep_fit.h"

#include "inventory/job_book.h"
#include "inventory/master_fields.h"
#include "inventory/model_flow.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

using inventory::ModelFlow;

/// By the field's own rules.
void set(ModelFlow& flow, std::string_view name, const std::string& text) {
    for (const inventory::MasterField<ModelFlow>& field : inventory::fieldsOf<ModelFlow>()) {
        if (field.name == name) inventory::setField(flow, field, text);
    }
}

std::string figureText(const char* what, const planner::FittedFigure& figure, const char* unit) {
    if (figure.at_limit) {
        throw InputError(std::string("the fitted ") + what +
                         " was stopped by the range that it was looked for in: such a fit is not kept");
    }
    return fmt::format("{} {:.3f} +- {:.3f}{}", what, figure.value, figure.uncertainty, unit);
}

void setBleed(ModelFlow& flow, const planner::DampingFit& fit) {
    if (fit.flow.clicks.empty()) {
        set(flow, "bleed_mm", fmt::format("{:.3f}", fit.bleed_diameter_mm->value));
        return;
    }
    flow.needle_seat.reset();
    flow.needle_cone_deg.reset();
    flow.needle_pitch.reset();
    flow.needle_clicks_per_turn.reset();
    flow.needle_clicks.reset();
    std::string table;
    for (const planner::AdjusterClick& click : fit.flow.clicks)
        table += fmt::format("{}={:.3f} ", click.click, click.bleed_diameter_mm);
    set(flow, "adjuster", table);
}

} // namespace

std::vector<inventory::MasterChange> keepFit(inventory::ShopFile& shop, std::string_view code,
                                             const planner::DampingFit& fit, const std::string& source,
                                             const std::string& stack) {
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        inventory::ModelFlows flows(shop);
        ModelFlow flow = flows.get(job.model, job.valve.name);
        std::string figures;
        if (fit.curtain_discharge) {
            figures = figureText("gap's discharge", *fit.curtain_discharge, "");
            set(flow, "curtain_discharge", fmt::format("{:.3f}", fit.curtain_discharge->value));
        }
        if (fit.bleed_diameter_mm) {
            figures += (figures.empty() ? "" : ", ") + figureText("bleed", *fit.bleed_diameter_mm, " mm");
            setBleed(flow, fit);
        }
        flow.fitted_to =
            fmt::format("{}, {} readings, oil at {:.0f} C, {} of {}: {}; missed by {:.1f} % ({})", source,
                        fit.misses.size(), fit.flow.temperature_c, stack, job.code, figures,
                        100 * fit.mean_miss, shop.now().date().text());
        for (const std::string& doubt : fit.doubts) flow.fitted_to += ". " + doubt;
        changes = flows.update(flow);
    });
    return changes;
}

} // namespace shimledger::services
