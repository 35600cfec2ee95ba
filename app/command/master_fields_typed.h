// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/master_verbs.h"

#include "app/services/history_text.h"
#include "inventory/master_fields.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <ostream>
#include <string>
#include <vector>

namespace shimledger::command {

/// "reorder_point" is typed behind --reorder-point, "od_mm" behind --od.
[[nodiscard]] std::string optionOf(std::string_view field);

/// Puts what was typed into its fields; "none" empties one. Throws InputError that names the option. True if
/// anything was typed.
template <class Thing>
bool takeValues(Thing& thing, const MasterVerb& verb) {
    bool any = false;
    for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
        const auto typed = verb.values.find(std::string(field.name));
        if (typed == verb.values.end() || typed->second.empty()) continue;
        any = true;
        try {
            inventory::setField(thing, field, typed->second == "none" ? std::string() : typed->second);
        } catch (const InputError& error) {
            throw InputError(optionOf(field.name) + ": " + error.what());
        }
    }
    return any;
}

/// "say what changes: --cabinet, --note"
template <class Thing>
[[nodiscard]] InputError nothingTyped(const std::string& more = {}) {
    std::string options;
    for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
        if (field.name != "retired") options += (options.empty() ? "" : ", ") + optionOf(field.name);
    }
    return InputError("say what changes: " + options + more);
}

[[nodiscard]] nlohmann::json fieldJson(inventory::FieldContent content, const std::string& text);

/// All fields of a thing, numbers as numbers, money as text, null where nothing stands.
template <class Thing>
void addFields(nlohmann::json& object, const Thing& thing) {
    for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>())
        object[std::string(field.name)] = fieldJson(field.content, field.text(thing));
}

/// The sentences on what was changed, or that nothing was.
void tellChanges(const std::vector<inventory::MasterChange>& changes, std::ostream& out);

/// Reads the thing of that code, has it changed, and tells what that was. `List`: PartCatalogue and the like.
template <class List, class How>
int changeAndTell(inventory::ShopFile& shop, const std::string& code, Streams& streams, How&& how) {
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        List list(shop);
        auto thing = list.get(code);
        how(thing);
        changes = list.update(thing);
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

/// The same by what was typed of its fields.
template <class List>
int changeFieldsAndTell(inventory::ShopFile& shop, const std::string& code, const MasterVerb& verb,
                        Streams& streams) {
    return changeAndTell<List>(shop, code, streams, [&]<class Thing>(Thing& thing) {
        if (!takeValues(thing, verb)) throw nothingTyped<Thing>();
    });
}

} // namespace shimledger::command
