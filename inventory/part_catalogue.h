#pragma once

#include "inventory/part.h"
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
    /// Changes everything but code, kind, unit and sizes, which history rests on; throws InputError if
    /// one of those differs or the code is unknown.
    void update(const Part& part);

    [[nodiscard]] std::optional<Part> find(std::string_view code) const;
    /// As find, but throws InputError when there is no such part.
    [[nodiscard]] Part get(std::string_view code) const;
    /// The shim of exactly this nominal size; throws InputError when several differ in material only.
    [[nodiscard]] std::optional<Part> findShim(Length od, Length id, Length thickness) const;

    /// All shims of exactly this nominal size, by code: they may differ in material.
    [[nodiscard]] std::vector<Part> listShims(Length od, Length id, Length thickness) const;

    /// By kind, then size, then code: the same order every time.
    [[nodiscard]] std::vector<Part> list() const;
    [[nodiscard]] std::vector<Part> listKind(PartKind kind) const;

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
