// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/decimal.h"
#include "inventory/job.h"
#include "inventory/master_changes.h"
#include "inventory/retired.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// Equal discs that lie together; a ring has a bore of its own.
struct RecipeRow {
    int count = 1; ///< 1 to 500
    Length od, thickness;
    std::optional<Length> ring_id{};

    bool operator==(const RecipeRow&) const = default;
};

/// A stack that jobs are expected to ask for. Its valve's sizes are its own: a model may change. Fields and
/// their ranges are declared in master_fields.cpp; whether the stack can exist in its valve, the planner
/// says.
struct Recipe {
    std::string name;
    Decimal jobs_a_year;
    int legs = 2;      ///< stacks of one job
    std::string model; ///< code of the component model; may be empty
    std::string valve; ///< "compression", "rebound", "base", "mid"; may be empty
    Length clamp_od, port_inner_diameter, port_outer_diameter, shim_id;
    std::optional<Length> seat_diameter{}, preload{};
    std::vector<RecipeRow> stack; ///< piston face first
    std::string note{};
    bool retired = false;

    bool operator==(const Recipe&) const = default;
};

/// "4 x 24.0 x 0.10; 1 x 18.0 x 0.15"; a ring "1 x 24.0 x 0.20 ring 19.0".
[[nodiscard]] std::string recipeStackText(const std::vector<RecipeRow>& rows);
/// Reads it back, rows parted by semicolons. Throws InputError that names the row.
[[nodiscard]] std::vector<RecipeRow> parseRecipeStack(std::string_view text);

/// Throws InputError that names the field.
void checkRecipe(const Recipe& recipe);

/// The ShopFile must outlive it.
class RecipeList {
public:
    explicit RecipeList(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError: the name is there already, no such model.
    void add(const Recipe& recipe);
    /// Changes the recipe of that name and keeps what it changed, which it returns (nothing: it was so
    /// already). Throws InputError: no such recipe or model, or, with `seen`, somebody else has changed it
    /// since.
    std::vector<MasterChange> update(const Recipe& recipe, const std::optional<Recipe>& seen = {});
    MasterChange retire(std::string_view name) { return setRetired(name, true); }
    MasterChange bringBack(std::string_view name) { return setRetired(name, false); }

    [[nodiscard]] std::optional<Recipe> find(std::string_view name) const;
    [[nodiscard]] Recipe get(std::string_view name) const;                            ///< throws InputError
    [[nodiscard]] std::vector<Recipe> list(Retired retired = Retired::leftOut) const; ///< by name

private:
    MasterChange setRetired(std::string_view name, bool retired);

    ShopFile& m_shop;
};

} // namespace shimledger::inventory
