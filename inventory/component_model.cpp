#include "inventory/component_model.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

std::vector<ModelConsumable> readConsumables(ShopConnection& connection, std::int64_t model) {
    std::vector<ModelConsumable> consumables;
    Query query(
        connection,
        "SELECT p.code, c.quantity_per_leg, c.note FROM model_consumables c JOIN parts p USING (part_id) "
        "WHERE c.model_id = ?1 ORDER BY c.position",
        model);
    while (query.next()) consumables.push_back({query.text(0), query.integer(1), query.text(2)});
    return consumables;
}

ComponentModel readModel(ShopConnection& connection, const Query& row) {
    ComponentModel model;
    model.code = row.text(1);
    model.kind = parseComponentKind(row.text(2));
    model.description = row.text(3);
    model.legs = row.smallInteger(4);
    model.note = row.text(5);
    model.consumables = readConsumables(connection, row.integer(0));
    return model;
}

} // namespace

std::string_view componentKindName(ComponentKind kind) {
    return kind == ComponentKind::fork ? "fork" : "shock";
}

ComponentKind parseComponentKind(std::string_view text) {
    if (text == "fork") return ComponentKind::fork;
    if (text == "shock") return ComponentKind::shock;
    throw InputError(inQuotes(text) + " is no kind of component: write fork or shock");
}

void ComponentModels::add(const ComponentModel& model) {
    checkCode(model.code, "model code", "model");
    checkFreeText(model.description, "description", "description");
    checkFreeText(model.note, "note", "note");
    if (model.legs < 1 || model.legs > 4) {
        throw FieldError("legs", "model " + inQuotes(model.code) + " has " + std::to_string(model.legs) +
                                     " legs: give 1 to 4");
    }
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (findModelId(connection, model.code)) {
        throw FieldError("model", "component model " + inQuotes(model.code) + " is there already");
    }
    Query(connection,
          "INSERT INTO component_models (code, kind, description, legs, note) VALUES (?1, ?2, ?3, ?4, ?5)",
          model.code, componentKindName(model.kind), model.description, model.legs, model.note)
        .run();
    for (const ModelConsumable& consumable : model.consumables) addConsumable(model.code, consumable);
    transaction.commit();
}

void ComponentModels::addConsumable(std::string_view model, const ModelConsumable& consumable) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t model_id = modelId(connection, model);
    const std::int64_t part_id = partId(connection, consumable.part);
    checkFreeText(consumable.note, "note", "note");
    if (consumable.quantity_per_leg < 1) {
        throw FieldError("quantity_per_leg", "model " + inQuotes(model) + " takes " +
                                                 std::to_string(consumable.quantity_per_leg) + " of " +
                                                 inQuotes(consumable.part) + " per leg: give 1 or more");
    }
    if (Query(connection, "SELECT 1 FROM model_consumables WHERE model_id = ?1 AND part_id = ?2", model_id,
              part_id)
            .next()) {
        throw FieldError("part", "part " + inQuotes(consumable.part) + " is listed for model " +
                                     inQuotes(model) + " already");
    }
    Query(
        connection,
        "INSERT INTO model_consumables (model_id, part_id, position, quantity_per_leg, note) VALUES (?1, ?2, "
        "(SELECT coalesce(max(position), 0) + 1 FROM model_consumables WHERE model_id = ?1), ?3, ?4)",
        model_id, part_id, consumable.quantity_per_leg, consumable.note)
        .run();
    transaction.commit();
}

std::optional<ComponentModel> ComponentModels::find(std::string_view code) const {
    ShopConnection& connection = m_shop.connection();
    Query query(connection,
                "SELECT model_id, code, kind, description, legs, note FROM component_models WHERE code = ?1",
                code);
    if (!query.next()) return std::nullopt;
    return readModel(connection, query);
}

std::vector<ComponentModel> ComponentModels::list() const {
    ShopConnection& connection = m_shop.connection();
    std::vector<ComponentModel> models;
    Query query(connection,
                "SELECT model_id, code, kind, description, legs, note FROM component_models ORDER BY code");
    while (query.next()) models.push_back(readModel(connection, query));
    return models;
}

} // namespace shimledger::inventory
