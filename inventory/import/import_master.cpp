// SPDX-License-Identifier: GPL-3.0-or-later
// What of master data an import treats apart: what is retired, which waits until history is in, and kept
// changes. What was there before the import is changed as a person changes it: the change is kept.
#include "inventory/component_model.h"
#include "inventory/import/import_session.h"
#include "inventory/master/change_keeping.h"
#include "inventory/master_fields.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

std::int64_t lastRow(ShopConnection& connection, std::string_view sql) {
    Query query(connection, sql);
    query.mustRow();
    return query.integer(0);
}

struct OfferKey {
    std::int64_t supplier, part, pack_size;
};

OfferKey keyOf(ShopConnection& connection, const MasterSubject& offer) {
    return {supplierId(connection, offer.supplier), partId(connection, offer.part), offer.pack_size};
}

bool isNewOffer(ShopConnection& connection, const OfferKey& key) {
    return Query(connection,
                 "SELECT 1 FROM import_offers WHERE supplier = ?1 AND part = ?2 AND pack_size = ?3",
                 key.supplier, key.part, key.pack_size)
        .next();
}

/// Looks the codes up that the kind needs, and refuses those that it does not have.
void checkSubject(ImportSession& session, const MasterSubject& about) {
    ShopConnection& connection = session.shop.connection();
    const auto only = [&](bool given, bool allowed, std::string_view column) {
        if (!given || allowed) return;
        std::string sentence = "is not empty, but the change of ";
        throw FieldError(
            column,
            sentence.append(withArticle(masterKindName(about.kind))).append(" has none: leave it empty"));
    };
    const MasterKind kind = about.kind;
    const bool offer = kind == MasterKind::offer;
    only(!about.part.empty(), kind == MasterKind::part || offer || kind == MasterKind::model, "part");
    only(!about.bin.empty(), kind == MasterKind::bin, "bin");
    only(!about.supplier.empty(), kind == MasterKind::supplier || offer, "supplier");
    only(!about.model.empty(), kind == MasterKind::model, "model");
    only(about.pack_size > 0, offer, "pack_size");
    only(!about.part_class.empty(), kind == MasterKind::reorderClass, "class");
    only(!about.recipe.empty(), kind == MasterKind::recipe, "recipe");
    bool is_new = true;
    const KnownBefore& before = session.known_before;
    switch (kind) {
    case MasterKind::part:
        is_new = partId(connection, about.part) > before.part;
        break;
    case MasterKind::bin:
        is_new = binId(connection, about.bin) > before.bin;
        break;
    case MasterKind::supplier:
        is_new = supplierId(connection, about.supplier) > before.supplier;
        break;
    case MasterKind::model:
        is_new = modelId(connection, about.model) > before.model;
        if (!about.part.empty()) static_cast<void>(partId(connection, about.part));
        break;
    case MasterKind::offer:
        if (about.pack_size < 1) throw FieldError("pack_size", "is empty, but an offer is one of a pack");
        is_new = isNewOffer(connection, keyOf(connection, about));
        break;
    case MasterKind::reorderClass:
        is_new = session.new_classes.contains(about.part_class);
        break;
    case MasterKind::recipe:
        is_new = recipeId(connection, about.recipe) > before.recipe;
        break;
    }
    if (is_new) return;
    std::string sentence = "a kept change comes in with the ";
    throw FieldError("kind", sentence.append(masterKindName(kind))
                                 .append(" that it is about, and that one was here before or is not in this "
                                         "import: leave the line out"));
}

} // namespace

void openMasterStaging(ImportSession& session) {
    ShopConnection& connection = session.shop.connection();
    session.known_before = {lastRow(connection, "SELECT coalesce(max(part_id), 0) FROM parts"),
                            lastRow(connection, "SELECT coalesce(max(bin_id), 0) FROM bins"),
                            lastRow(connection, "SELECT coalesce(max(supplier_id), 0) FROM suppliers"),
                            lastRow(connection, "SELECT coalesce(max(model_id), 0) FROM component_models"),
                            lastRow(connection, "SELECT coalesce(max(recipe_id), 0) FROM recipes")};
    connection.execute("CREATE TEMP TABLE import_offers (supplier INTEGER, part INTEGER, pack_size INTEGER, "
                       "PRIMARY KEY (supplier, part, pack_size)) WITHOUT ROWID");
    connection.execute("CREATE TEMP TABLE import_retired (kind TEXT, part INTEGER, bin INTEGER, "
                       "supplier INTEGER, model INTEGER, pack_size INTEGER, recipe INTEGER)");
}

void closeMasterStaging(ImportSession& session) {
    session.shop.connection().execute("DROP TABLE import_offers");
    session.shop.connection().execute("DROP TABLE import_retired");
}

bool readRetired(ImportRow& row) {
    return row.has("retired") && row.word("retired", parseYesNo);
}

void stageRetired(ImportSession& session, const MasterSubject& about) {
    ShopConnection& connection = session.shop.connection();
    Query(connection,
          "INSERT INTO import_retired (kind, part, bin, supplier, model, pack_size, recipe) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
          masterKindName(about.kind), findPartId(connection, about.part), findBinId(connection, about.bin),
          findSupplierId(connection, about.supplier), findModelId(connection, about.model), about.pack_size,
          findRecipeId(connection, about.recipe))
        .run();
}

void retireStaged(ImportSession& session) {
    ShopConnection& connection = session.shop.connection();
    for (const char* sql :
         {"UPDATE parts SET retired = 1 WHERE part_id IN "
          "(SELECT part FROM import_retired WHERE kind = 'part')",
          "UPDATE bins SET retired = 1 WHERE bin_id IN "
          "(SELECT bin FROM import_retired WHERE kind = 'bin')",
          "UPDATE suppliers SET retired = 1 WHERE supplier_id IN "
          "(SELECT supplier FROM import_retired WHERE kind = 'supplier')",
          "UPDATE component_models SET retired = 1 WHERE model_id IN "
          "(SELECT model FROM import_retired WHERE kind = 'model')",
          "UPDATE recipes SET retired = 1 WHERE recipe_id IN "
          "(SELECT recipe FROM import_retired WHERE kind = 'recipe')",
          "UPDATE supplier_parts SET retired = 1 WHERE (supplier_id, part_id, pack_size) IN "
          "(SELECT supplier, part, pack_size FROM import_retired WHERE kind = 'offer')"}) {
        Query(connection, sql).run();
    }
}

void noteNewOffer(ImportSession& session, const SupplierPart& offer) {
    ShopConnection& connection = session.shop.connection();
    Query(connection, "INSERT INTO import_offers (supplier, part, pack_size) VALUES (?1, ?2, ?3)",
          supplierId(connection, offer.supplier), partId(connection, offer.part), offer.pack_size)
        .run();
}

bool wasOffered(ImportSession& session, std::string_view supplier, std::string_view part,
                std::int64_t pack_size) {
    ShopConnection& connection = session.shop.connection();
    return !isNewOffer(connection, {supplierId(connection, supplier), partId(connection, part), pack_size});
}

bool modelWasThere(ImportSession& session, std::string_view model) {
    return modelId(session.shop.connection(), model) <= session.known_before.model;
}

void readModelValve(ImportSession& session, ImportRow& row) {
    const std::string code = row.filled("model");
    JobValve valve;
    valve.name = row.filled("valve");
    valve.clamp_od = row.length("clamp_od_mm");
    valve.port_inner_diameter = row.length("port_inner_diameter_mm");
    valve.port_outer_diameter = row.length("port_outer_diameter_mm");
    valve.shim_id = row.length("shim_id_mm");
    valve.seat_diameter = row.optionalLength("seat_diameter_mm");
    valve.preload = row.optionalLength("preload_mm");
    if (!row.good()) return;
    row.attempt([&] {
        ComponentModels models(session.shop);
        if (!modelWasThere(session, code)) {
            models.addValve(code, valve);
            return;
        }
        ComponentModel model = models.get(code);
        model.valves.push_back(valve);
        models.update(model);
    });
}

void readModelFlow(ImportSession& session, ImportRow& row) {
    ModelFlow flow{row.filled("model"), row.filled("valve")};
    for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>()) {
        if (!row.has(field.name)) continue;
        try {
            setField(flow, field, row.text(field.name));
        } catch (const InputError& error) {
            row.problem(field.name, error.what());
        }
    }
    if (!row.good()) return;
    row.attempt([&] {
        ModelFlows flows(session.shop);
        if (!modelWasThere(session, flow.model) || !flows.get(flow.model, flow.valve).saysNothing()) {
            flows.add(flow); // which refuses what is there already
        } else {
            flows.update(flow);
        }
    });
}

void readRecipe(ImportSession& session, ImportRow& row) {
    Recipe recipe;
    recipe.name = row.filled("recipe");
    for (const MasterField<Recipe>& field : fieldsOf<Recipe>()) {
        if (field.name == "retired") continue;
        const bool may_be_empty = !field.needed || field.name == "legs"; // two, as most have
        const std::string text = may_be_empty ? row.text(field.name) : row.filled(field.name);
        if (text.empty()) continue;
        try {
            setField(recipe, field, text);
        } catch (const InputError& error) {
            row.problem(field.name, error.what());
        }
    }
    MasterSubject about;
    about.kind = MasterKind::recipe;
    about.recipe = recipe.name;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        RecipeList(session.shop).add(recipe);
        if (retired) stageRetired(session, about);
    });
}

void readMasterChange(ImportSession& session, ImportRow& row) {
    MasterChange change;
    change.utc = row.utc("utc");
    change.about.kind = row.word("kind", parseMasterKind);
    change.about.part = row.text("part");
    change.about.bin = row.text("bin");
    change.about.supplier = row.text("supplier");
    change.about.model = row.text("model");
    change.about.pack_size = row.optionalWhole("pack_size", 1, 1'000'000).value_or(0);
    change.about.part_class = row.text("class");
    change.about.recipe = row.text("recipe");
    change.field = row.filled("field");
    change.item = row.text("item");
    change.before = row.text("before");
    change.after = row.text("after");
    if (!row.good()) return;
    row.attempt([&] {
        checkSubject(session, change.about);
        try {
            static_cast<void>(fieldWords(change.about.kind, change.field));
        } catch (const InputError& error) {
            throw FieldError("field", error.what());
        }
        for (const auto& [text, column] :
             {std::pair{&change.item, "item"}, std::pair{&change.before, "before"},
              std::pair{&change.after, "after"}})
            checkFreeText(*text, column, column);
        if (change.before == change.after)
            throw FieldError("after", "is what stood there before: leave the line out");
        insertChange(session.shop.connection(), change);
    });
}

} // namespace shimledger::inventory
