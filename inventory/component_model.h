// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/master_changes.h"
#include "inventory/retired.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

enum class ComponentKind { fork, shock };

struct ModelConsumable {
    std::string part;
    std::int64_t quantity_per_leg = 1; ///< 1 or more
    std::string note;

    bool operator==(const ModelConsumable&) const = default;
};

/// A fork or shock the shop works on, with the wear parts it takes and the sizes of its valves.
struct ComponentModel {
    std::string code; ///< unique; same rules as a part code
    ComponentKind kind = ComponentKind::fork;
    std::string description;
    int legs = 2; ///< 1 to 4
    std::string note;
    std::vector<ModelConsumable> consumables;
    std::vector<JobValve> valves{}; ///< each name once
    bool retired = false;           ///< no job is opened for it any more

    bool operator==(const ComponentModel&) const = default;
};

/// "clamp 10.0, ports 13.0 to 20.0, bore 6.0, seat 20.5, preload 0.10"
[[nodiscard]] std::string valveText(const JobValve& valve);

[[nodiscard]] std::string_view componentKindName(ComponentKind kind); ///< "fork", "shock"
[[nodiscard]] ComponentKind parseComponentKind(std::string_view text);

/// The ShopFile must outlive it.
class ComponentModels {
public:
    explicit ComponentModels(ShopFile& shop) : m_shop(shop) {}

    void add(const ComponentModel& model); ///< throws InputError: code taken, unknown part, part named twice
    /// For a model that is being made, as update() keeps what it changes.
    void addConsumable(std::string_view model, const ModelConsumable& consumable);
    void addValve(std::string_view model, const JobValve& valve);
    /// Changes all but the code, with its wear parts and valves, and keeps what it changed, which it returns
    /// (nothing: it was so already). Throws InputError when the code is unknown, or, with `seen`, when
    /// somebody else has changed the model since it looked like that.
    std::vector<MasterChange> update(const ComponentModel& model,
                                     const std::optional<ComponentModel>& seen = {});
    /// Throw InputError when it is unknown or is so already.
    MasterChange retire(std::string_view code) { return setRetired(code, true); }
    MasterChange bringBack(std::string_view code) { return setRetired(code, false); }
    [[nodiscard]] std::optional<ComponentModel> find(std::string_view code) const;
    [[nodiscard]] ComponentModel get(std::string_view code) const; ///< throws InputError when unknown
    [[nodiscard]] std::vector<ComponentModel> list(Retired retired = Retired::leftOut) const; ///< by code

private:
    MasterChange setRetired(std::string_view code, bool retired);

    ShopFile& m_shop;
};

} // namespace shimledger::inventory
