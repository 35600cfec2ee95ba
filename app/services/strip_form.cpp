// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/strip_form.h"

#include "app/services/cautions.h"
#include "app/services/job_wishes.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"

#include <algorithm>

namespace shimledger::services {

StripForm stripForm(inventory::ShopFile& shop, std::string_view code) {
    StripForm form;
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        const auto model = inventory::ComponentModels(shop).find(job.model);
        form.job = job.code;
        form.component = job.component.empty() ? "" : job.component + ", ";
        form.component += (model && !model->description.empty() ? model->description : job.model) + ", " +
                          job.valve.name + " valve";
        form.made = shop.now();
        const std::vector<StripView> written = stripSheets(shop, code);
        for (int leg = 1; leg <= job.legs; ++leg) {
            const auto found = std::find_if(written.begin(), written.end(),
                                            [leg](const StripView& view) { return view.leg == leg; });
            form.legs.push_back(found == written.end() ? StripView{job.code, leg, {}} : *found);
        }
        form.inspection = inspectionSheet(shop, code);
        form.earlier_wishes = earlierWishes(shop, code);
        form.cautions = workCautions();
    });
    return form;
}

} // namespace shimledger::services
