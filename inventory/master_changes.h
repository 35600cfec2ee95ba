// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What a shop says of itself, and can change and retire.
enum class MasterKind { part, bin, supplier, offer, model, reorderClass, recipe };

[[nodiscard]] std::string_view masterKindName(MasterKind kind); ///< in files: "part", ..., "class", "recipe"
[[nodiscard]] MasterKind parseMasterKind(std::string_view text);

/// Which part, bin ... is meant: the code or name of its kind. An offer has supplier, part and pack size.
struct MasterSubject {
    MasterKind kind = MasterKind::part;
    std::string part; ///< of a model's change: the wear part that it is about, or none
    std::string bin;
    std::string supplier;
    std::string model;
    std::int64_t pack_size = 0;
    std::string part_class;
    std::string recipe{};

    bool operator==(const MasterSubject&) const = default;
};

/// One change of master data. Making something is none: its first change tells what stood there before.
struct MasterChange {
    std::int64_t number = 0; ///< 1, 2, 3 ... without gaps, in the order of changing
    UtcTime utc;
    MasterSubject about;
    std::string field;  ///< column of the CSV files: "reorder_point"; see master_fields.h
    std::string item;   ///< which of several: packs of a price break, name of a valve; of a part's
                        ///< change the step that it was made in ("kit 3"); else empty
    std::string before; ///< as the CSV files write it; empty where nothing stood
    std::string after;

    bool operator==(const MasterChange&) const = default;
};

/// Reads the changes that were kept, in the order of changing. Unknown codes raise InputError.
class MasterHistory {
public:
    explicit MasterHistory(const ShopFile& shop) : m_shop(shop) {}

    /// Its own, those of its offers, and where it became or ceased to be a wear part of a model.
    [[nodiscard]] std::vector<MasterChange> ofPart(std::string_view code) const;
    [[nodiscard]] std::vector<MasterChange> ofBin(std::string_view code) const;
    /// Its own and those of its offers.
    [[nodiscard]] std::vector<MasterChange> ofSupplier(std::string_view name) const;
    [[nodiscard]] std::vector<MasterChange> ofModel(std::string_view code) const;
    [[nodiscard]] std::vector<MasterChange> ofClass(std::string_view part_class) const;
    [[nodiscard]] std::vector<MasterChange> ofRecipe(std::string_view name) const;
    /// All of them, one at a time.
    void forEach(const std::function<void(const MasterChange&)>& visit) const;

private:
    const ShopFile& m_shop;
};

} // namespace shimledger::inventory
