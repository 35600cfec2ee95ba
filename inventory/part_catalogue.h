// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/part.h"
#include "inventory/retired.h"
#include "inventory/shop_file.h"

#include <optional>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The parts that the shop knows. The ShopFile must outlive it.
class PartCatalogue {
public:
    explicit PartCatalogue(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError when the part breaks a rule of its kind or its code is taken.
    void add(const Part& part);
    /// Changes all but the code and keeps what it changed, which it returns (nothing: it was so already).
    /// Kind, unit and sizes of a part that anything was booked or ordered of stay: that history rests on
    /// them. Throws InputError where one of those differs, the code is unknown, or, with `seen`, when
    /// somebody else has changed the part since it looked like that.
    /// `step`: of changes that were made together, kept with each as its item.
    std::vector<MasterChange> update(const Part& part, const std::optional<Part>& seen = {},
                                     const std::string& step = {});
    /// Throw InputError when it is unknown or is so already.
    MasterChange retire(std::string_view code) { return setRetired(code, true); }
    MasterChange bringBack(std::string_view code) { return setRetired(code, false); }

    [[nodiscard]] std::optional<Part> find(std::string_view code) const;
    /// As find, but throws InputError when there is no such part.
    [[nodiscard]] Part get(std::string_view code) const;
    /// The shim of exactly this nominal size that is not retired; throws InputError when several differ in
    /// material only.
    [[nodiscard]] std::optional<Part> findShim(Length od, Length id, Length thickness) const;

    /// All shims of exactly this nominal size that are not retired, by code: they may differ in material.
    [[nodiscard]] std::vector<Part> listShims(Length od, Length id, Length thickness) const;

    /// By kind, then size, then code: the same order every time.
    [[nodiscard]] std::vector<Part> list(Retired retired = Retired::leftOut) const;
    [[nodiscard]] std::vector<Part> listKind(PartKind kind, Retired retired = Retired::leftOut) const;

private:
    MasterChange setRetired(std::string_view code, bool retired);

    ShopFile& m_shop;
};

} // namespace shimledger::inventory
