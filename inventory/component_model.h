#pragma once

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

/// A fork or shock the shop works on, with the wear parts it takes.
struct ComponentModel {
    std::string code; ///< unique; same rules as a part code
    ComponentKind kind = ComponentKind::fork;
    std::string description;
    int legs = 2; ///< 1 to 4
    std::string note;
    std::vector<ModelConsumable> consumables;

    bool operator==(const ComponentModel&) const = default;
};

[[nodiscard]] std::string_view componentKindName(ComponentKind kind); ///< "fork", "shock"
[[nodiscard]] ComponentKind parseComponentKind(std::string_view text);

/// The ShopFile must outlive it.
class ComponentModels {
public:
    explicit ComponentModels(ShopFile& shop) : m_shop(shop) {}

    void add(const ComponentModel& model); ///< throws InputError: code taken, unknown part, part named twice
    void addConsumable(std::string_view model, const ModelConsumable& consumable);
    [[nodiscard]] std::optional<ComponentModel> find(std::string_view code) const;
    [[nodiscard]] std::vector<ComponentModel> list() const; ///< by code

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
