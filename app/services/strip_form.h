// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/strip_sheet.h"
#include "app/services/wear_inspection.h"
#include "inventory/shop_file.h"

#include <algorithm>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What the tech takes to the bench when a component is stripped: the discs valve by valve and leg by leg and
/// what to inspect, with what was written down already.
struct StripForm {
    std::string job;
    std::string component; ///< its own mark and model: "SN-104, Invented 36 fork"
    inventory::UtcTime made;
    /// Each leg of each valve; without lines where nothing was written down.
    struct Stack {
        std::string valve; ///< "base"
        StripView found;
    };
    std::vector<Stack> stacks;
    std::vector<InspectionLine> inspection;
    std::vector<std::string> earlier_wishes; ///< of this component's last job that had one, a sentence each
    std::vector<std::string> cautions;
    /// Those of them that go before the first nut is undone: pressure and springs, and the eyes.
    [[nodiscard]] std::span<const std::string> cautionsBeforeOpening() const {
        return {cautions.data(), std::min<std::size_t>(2, cautions.size())};
    }
};

/// Throws InputError when there is no such job.
[[nodiscard]] StripForm stripForm(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
