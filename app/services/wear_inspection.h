// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "inventory/wear_finding.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// One part or place of one leg to look at.
struct InspectionLine {
    int leg = 0;
    std::string part;
    std::string place;
    std::string what;                              ///< "bushing 36.0 x 40.0 x 12.0"
    std::int64_t quantity = 1;                     ///< per leg, by the model's list
    bool takes_percent = false;                    ///< a bushing: worn surface in per cent
    std::optional<inventory::WearFinding> finding; ///< of this job
    std::vector<inventory::WearFinding> earlier;   ///< of earlier jobs of this component, the latest first
    std::string trend; ///< "20 % on 2025-03-02, 40 % on 2025-09-02, 50 % now; at this pace two thirds on
                       ///< about 2026-08-14"
};

/// Inspection and kit are of the job's component, whichever of its valves `job` is.

/// Everything that the job's model lists, leg by leg, and the places looked at; what was found now and
/// before.
[[nodiscard]] std::vector<InspectionLine> inspectionSheet(inventory::ShopFile& shop, std::string_view job);

/// A job's kit: what the inspection calls for.
struct KitLine {
    std::string part;
    std::string what;
    std::int64_t quantity = 0; ///< all legs
    std::string reason;
    std::string unit{}; ///< "piece", "ml"
};
struct JobKit {
    std::vector<KitLine> wanted;
    std::vector<KitLine> deferred; ///< expected demand, not part of the kit
    std::vector<std::string> open; ///< sentences: parts of the model that nobody has looked at
};

/// Fluids and washers of the model always, everything else where the inspection says `replace`.
[[nodiscard]] JobKit jobKit(inventory::ShopFile& shop, std::string_view job);
/// Makes the kit the job's consumables. Throws InputError while a part has not been looked at.
JobKit applyKit(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
