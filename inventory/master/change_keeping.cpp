// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/master/change_keeping.h"

#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {

std::optional<std::string_view> given(const std::string& code) {
    if (code.empty()) return std::nullopt;
    return code;
}

} // namespace

void insertChange(ShopConnection& connection, MasterChange& change) {
    const MasterSubject& about = change.about;
    std::optional<std::int64_t> pack_size;
    if (about.pack_size > 0) pack_size = about.pack_size;
    std::optional<std::string_view> part_class; // "" is a class of its own
    if (about.kind == MasterKind::reorderClass) part_class = about.part_class;
    Query(connection,
          "INSERT INTO master_changes (utc, kind, part_id, bin_id, supplier_id, model_id, pack_size, "
          "part_class, field, item, before, after, recipe_id) VALUES (?1, ?2, "
          "(SELECT part_id FROM parts WHERE code = ?3), (SELECT bin_id FROM bins WHERE code = ?4), "
          "(SELECT supplier_id FROM suppliers WHERE name = ?5), "
          "(SELECT model_id FROM component_models WHERE code = ?6), ?7, ?8, ?9, ?10, ?11, ?12, "
          "(SELECT recipe_id FROM recipes WHERE name = ?13))",
          change.utc, masterKindName(about.kind), given(about.part), given(about.bin), given(about.supplier),
          given(about.model), pack_size, part_class, change.field, change.item, change.before, change.after,
          given(about.recipe))
        .run();
    Query number(connection, "SELECT max(change_id) FROM master_changes");
    number.mustRow();
    change.number = number.integer(0);
}

void keepChanges(const ShopFile& shop, std::vector<MasterChange>& changes) {
    for (MasterChange& change : changes) {
        change.utc = shop.now();
        insertChange(shop.connection(), change);
    }
}

} // namespace shimledger::inventory
