// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/component_model.h"

#include "inventory/ledger/job_rows.h"
#include "inventory/master/change_keeping.h"
#include "inventory/model_flow.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <algorithm>
#include <map>
#include <set>

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

std::vector<JobValve> readValves(ShopConnection& connection, std::int64_t model) {
    std::vector<JobValve> valves;
    Query query(connection,
                "SELECT name, clamp_od_um, port_inner_diameter_um, port_outer_diameter_um, shim_id_um, "
                "seat_diameter_um, preload_um FROM model_valves WHERE model_id = ?1 ORDER BY position, name",
                model);
    while (query.next()) {
        valves.push_back({query.text(0), query.length(1), query.length(2), query.length(3), query.length(4),
                          query.optionalLength(5), query.optionalLength(6)});
    }
    return valves;
}

std::string nameOf(std::string_view model) {
    return "component model " + inQuotes(model);
}

void check(const ComponentModel& model) {
    checkCode(model.code, "model code", "model");
    checkFreeText(model.description, "description", "description");
    checkFreeText(model.note, "note", "note");
    if (model.legs < 1 || model.legs > 4) {
        throw FieldError("legs", "model " + inQuotes(model.code) + " has " + std::to_string(model.legs) +
                                     " legs: give 1 to 4");
    }
}

void refuseTwice(const ComponentModel& model) {
    std::set<std::string> parts, valves;
    for (const ModelConsumable& one : model.consumables) {
        if (!parts.insert(one.part).second)
            throw FieldError("part", "part " + inQuotes(one.part) + " is listed for model " +
                                         inQuotes(model.code) + " already");
    }
    for (const JobValve& one : model.valves) {
        if (!valves.insert(one.name).second)
            throw FieldError("valve", "valve " + inQuotes(one.name) + " of model " + inQuotes(model.code) +
                                          " is there already");
    }
}

std::string wearPartText(const ModelConsumable& consumable) {
    return std::to_string(consumable.quantity_per_leg) + " per leg" +
           (consumable.note.empty() ? "" : " (" + consumable.note + ")");
}

/// What differs between two lists of the same kind, by what names their rows.
struct BeforeAndAfter {
    std::string before, after;
};

void addListDifferences(std::vector<MasterChange>& changes, const ComponentModel& before,
                        const ComponentModel& after) {
    std::map<std::string, BeforeAndAfter> parts, valves;
    for (const ModelConsumable& one : before.consumables) parts[one.part].before = wearPartText(one);
    for (const ModelConsumable& one : after.consumables) parts[one.part].after = wearPartText(one);
    for (const JobValve& one : before.valves) valves[one.name].before = valveText(one);
    for (const JobValve& one : after.valves) valves[one.name].after = valveText(one);
    MasterChange change;
    change.about.kind = MasterKind::model;
    change.about.model = after.code;
    const auto add = [&](const BeforeAndAfter& texts) {
        if (texts.before == texts.after) return;
        change.before = texts.before;
        change.after = texts.after;
        changes.push_back(change);
    };
    change.field = wear_part_field;
    for (const auto& [part, texts] : parts) {
        change.about.part = part;
        add(texts);
    }
    change.about.part.clear();
    change.field = valve_field;
    for (const auto& [name, texts] : valves) {
        change.item = name;
        add(texts);
    }
}

ComponentModel readModel(ShopConnection& connection, const Query& row) {
    ComponentModel model;
    model.code = row.text(1);
    model.kind = parseComponentKind(row.text(2));
    model.description = row.text(3);
    model.legs = row.smallInteger(4);
    model.note = row.text(5);
    model.consumables = readConsumables(connection, row.integer(0));
    model.valves = readValves(connection, row.integer(0));
    model.retired = row.integer(6) != 0;
    return model;
}

void insertConsumable(ShopConnection& connection, std::string_view model, const ModelConsumable& consumable) {
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
}

void mayBeAWearPart(ShopConnection& connection, const std::string& part) {
    if (Query(connection, "SELECT 1 FROM parts WHERE code = ?1 AND retired = 1", part).next())
        throw FieldError("part", "part " + inQuotes(part) + " is retired: bring it back first");
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

std::string valveText(const JobValve& valve) {
    std::string text = "clamp " + valve.clamp_od.text() + ", ports " + valve.port_inner_diameter.text() +
                       " to " + valve.port_outer_diameter.text() + ", bore " + valve.shim_id.text();
    if (valve.seat_diameter) text += ", seat " + valve.seat_diameter->text();
    if (valve.preload) text += ", preload " + valve.preload->text(2);
    return text;
}

void ComponentModels::add(const ComponentModel& model) {
    check(model);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (const auto there = find(model.code)) {
        throw FieldError("model", nameOf(model.code) + " is there already" + orBringBack(there->retired));
    }
    Query(connection,
          "INSERT INTO component_models (code, kind, description, legs, note, retired) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
          model.code, componentKindName(model.kind), model.description, model.legs, model.note,
          model.retired ? 1 : 0)
        .run();
    for (const ModelConsumable& consumable : model.consumables) addConsumable(model.code, consumable);
    for (const JobValve& valve : model.valves) addValve(model.code, valve);
    transaction.commit();
}

std::vector<MasterChange> ComponentModels::update(const ComponentModel& model,
                                                  const std::optional<ComponentModel>& seen) {
    check(model);
    refuseTwice(model);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = modelId(connection, model.code);
    const ComponentModel before = get(model.code);
    mustBeAsSeen(nameOf(model.code), before, seen);
    MasterSubject about;
    about.kind = MasterKind::model;
    about.model = model.code;
    std::vector<MasterChange> changes = differences(about, before, model);
    addListDifferences(changes, before, model);
    if (changes.empty()) return changes;
    Query(connection,
          "UPDATE component_models SET kind = ?2, description = ?3, legs = ?4, note = ?5, retired = ?6 "
          "WHERE model_id = ?1",
          id, componentKindName(model.kind), model.description, model.legs, model.note, model.retired ? 1 : 0)
        .run();
    Query(connection, "DELETE FROM model_consumables WHERE model_id = ?1", id).run();
    Query(connection, "DELETE FROM model_valves WHERE model_id = ?1", id).run();
    for (const ModelConsumable& consumable : model.consumables) {
        // One that is retired meanwhile stays on the list until somebody takes it off.
        const bool was_there =
            std::any_of(before.consumables.begin(), before.consumables.end(),
                        [&](const ModelConsumable& known) { return known.part == consumable.part; });
        if (!was_there) mayBeAWearPart(connection, consumable.part);
        insertConsumable(connection, model.code, consumable);
    }
    for (const JobValve& valve : model.valves) addValve(model.code, valve);
    const std::vector<MasterChange> lost = ModelFlows(m_shop).dropOfLostValves(model.code);
    changes.insert(changes.end(), lost.begin(), lost.end());
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange ComponentModels::setRetired(std::string_view code, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    MasterChange change = update(markedRetired(get(code), retired, nameOf(code))).front();
    transaction.commit();
    return change;
}

void ComponentModels::addConsumable(std::string_view model, const ModelConsumable& consumable) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    mayBeAWearPart(connection, consumable.part);
    insertConsumable(connection, model, consumable);
    transaction.commit();
}

void ComponentModels::addValve(std::string_view model, const JobValve& valve) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t model_id = modelId(connection, model);
    checkValve("model " + inQuotes(model), valve);
    if (Query(connection, "SELECT 1 FROM model_valves WHERE model_id = ?1 AND name = ?2", model_id,
              valve.name)
            .next()) {
        throw FieldError("valve", "valve " + inQuotes(valve.name) + " of model " + inQuotes(model) +
                                      " is there already");
    }
    Query(connection,
          "INSERT INTO model_valves (model_id, name, position, clamp_od_um, port_inner_diameter_um, "
          "port_outer_diameter_um, shim_id_um, seat_diameter_um, preload_um) VALUES (?1, ?2, "
          "(SELECT coalesce(max(position), 0) + 1 FROM model_valves WHERE model_id = ?1), ?3, ?4, ?5, ?6, "
          "?7, ?8)",
          model_id, valve.name, valve.clamp_od, valve.port_inner_diameter, valve.port_outer_diameter,
          valve.shim_id, valve.seat_diameter, valve.preload)
        .run();
    transaction.commit();
}

std::optional<ComponentModel> ComponentModels::find(std::string_view code) const {
    ShopConnection& connection = m_shop.connection();
    Query query(connection,
                "SELECT model_id, code, kind, description, legs, note, retired FROM component_models "
                "WHERE code = ?1",
                code);
    if (!query.next()) return std::nullopt;
    return readModel(connection, query);
}

ComponentModel ComponentModels::get(std::string_view code) const {
    if (auto model = find(code)) return *model;
    throw FieldError("model", "there is no " + nameOf(code) + " in the shop file");
}

std::vector<ComponentModel> ComponentModels::list(Retired retired) const {
    ShopConnection& connection = m_shop.connection();
    std::vector<ComponentModel> models;
    Query query(connection,
                "SELECT model_id, code, kind, description, legs, note, retired FROM component_models "
                "WHERE retired <= ?1 ORDER BY code",
                retired == Retired::included ? 1 : 0);
    while (query.next()) models.push_back(readModel(connection, query));
    return models;
}

} // namespace shimledger::inventory
