// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/master_fields.h"
#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What differs between two states of a thing, field by field; without number and time.
template <class Thing>
[[nodiscard]] std::vector<MasterChange> differences(const MasterSubject& about, const Thing& before,
                                                    const Thing& after) {
    std::vector<MasterChange> changes;
    for (const MasterField<Thing>& field : fieldsOf<Thing>()) {
        std::string was = field.text(before);
        std::string is = field.text(after);
        if (was == is) continue;
        MasterChange change;
        change.about = about;
        change.field = field.name;
        change.before = std::move(was);
        change.after = std::move(is);
        changes.push_back(std::move(change));
    }
    return changes;
}

/// Adds one row to those that are never changed, with its own time; gives it the next number.
void insertChange(ShopConnection& connection, MasterChange& change);

/// Keeps the changes, now, in the transaction that makes them.
void keepChanges(const ShopFile& shop, std::vector<MasterChange>& changes);

/// Two people look at the same thing, and both change it: the second one is told.
template <class Thing>
void mustBeAsSeen(const std::string& who, const Thing& now, const std::optional<Thing>& seen) {
    if (!seen || *seen == now) return;
    throw InputError(who + " has been changed by somebody else meanwhile: look at it again");
}

/// `thing` with the mark set or taken away; throws InputError where it is so already.
template <class Thing>
[[nodiscard]] Thing markedRetired(Thing thing, bool retired, const std::string& who) {
    if (thing.retired == retired)
        throw InputError(
            who + (retired ? " is retired already" : " is not retired: there is nothing to bring back"));
    thing.retired = retired;
    return thing;
}

/// ": it is retired, ..." behind "is there already", or nothing.
[[nodiscard]] inline std::string orBringBack(bool retired) {
    return retired ? ", retired: bring it back" : "";
}

} // namespace shimledger::inventory
