// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/strip_form.h"

#include "app/services/cautions.h"
#include "app/services/component_valves.h"
#include "app/services/job_wishes.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"

#include <algorithm>

namespace shimledger::services {

namespace {

/// Legs that got a stack of their own after the strip: what was found in them is with the valve as it was
/// stripped, and no empty form is laid out for them once more.
void leaveOutWhatWasFoundElsewhere(StripForm& form) {
    std::vector<StripForm::Stack> kept;
    for (const StripForm::Stack& stack : form.stacks) {
        const bool found_elsewhere =
            stack.found.lines.empty() &&
            std::any_of(form.stacks.begin(), form.stacks.end(), [&](const StripForm::Stack& other) {
                return other.valve == stack.valve && other.found.leg == stack.found.leg &&
                       !other.found.lines.empty();
            });
        if (!found_elsewhere) kept.push_back(stack);
    }
    form.stacks = std::move(kept);
}

} // namespace

StripForm stripForm(inventory::ShopFile& shop, std::string_view code) {
    StripForm form;
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        const auto model = inventory::ComponentModels(shop).find(job.model);
        form.job = job.code;
        form.component = job.component.empty() ? "" : job.component + ", ";
        form.component += model && !model->description.empty() ? model->description : job.model;
        form.made = shop.now();
        for (const inventory::Job& valve : valvesOf(shop, code)) {
            const std::vector<StripView> written = stripSheets(shop, valve.code);
            const auto add = [&](const StripView& view) { form.stacks.push_back({valve.valve.name, view}); };
            for (const StripView& view : written)
                if (view.leg < valve.first_leg || view.leg > lastLeg(valve)) add(view);
            for (int leg = valve.first_leg; leg <= lastLeg(valve); ++leg) {
                const auto found = std::find_if(written.begin(), written.end(),
                                                [leg](const StripView& view) { return view.leg == leg; });
                add(found == written.end() ? StripView{valve.code, leg, {}} : *found);
            }
        }
        leaveOutWhatWasFoundElsewhere(form);
        form.inspection = inspectionSheet(shop, code);
        form.earlier_wishes = earlierWishes(shop, code);
        form.cautions = workCautions();
    });
    return form;
}

} // namespace shimledger::services
