// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"
#include "inventory/bin.h"
#include "inventory/master_fields.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <functional>
#include <string>
#include <vector>

namespace shimledger::services {

/// One field of a form, declared by inventory/master_fields.h or named here: a code, a list.
struct OwnDataField {
    std::string name, noun, help;
    inventory::FieldContent content = inventory::FieldContent::text;
    bool is_code = false; ///< names the thing: stays once it is made
    bool several = false; ///< one on each line
    bool needed = false;
    std::vector<std::string> choices{}; ///< of words that are one of several
};

/// One part, drawer, supplier ... as texts, by field.
struct OwnDataRecord {
    std::vector<std::string> texts;
    bool retired = false;

    bool operator==(const OwnDataRecord&) const = default;
};

/// What a shop says of itself, one kind of it: the same for people at a form and for a list. Every function
/// that changes throws InputError with one sentence, and then nothing is changed.
struct OwnDataKind {
    std::string name; ///< "parts"
    std::string one;  ///< "part"
    std::vector<OwnDataField> fields;
    OwnDataRecord blank;             ///< what a new one begins with
    std::vector<std::size_t> listed; ///< the fields that tell one from another in a list
    bool can_retire = true;
    std::function<std::vector<OwnDataRecord>(inventory::ShopFile&)> list; ///< those that are retired last
    /// The record as it is now in the shop; as it was handed over where it is not there any more.
    std::function<OwnDataRecord(inventory::ShopFile&, const OwnDataRecord&)> again;
    /// What was made, in a sentence.
    std::function<std::string(inventory::ShopFile&, const OwnDataRecord&)> add;
    /// `seen`: how it looked when the person began. What was changed, in sentences; none: it was so already.
    std::function<std::vector<std::string>(inventory::ShopFile&, const OwnDataRecord& seen,
                                           const OwnDataRecord& now)>
        change;
    std::function<std::string(inventory::ShopFile&, const OwnDataRecord&, bool retired)> retire;
    std::function<std::vector<std::string>(inventory::ShopFile&, const OwnDataRecord&)>
        history; ///< of its changes, the latest first
    /// Fields that mean nothing for what is typed so far: sizes that the kind of part does not have.
    std::function<std::vector<bool>(const OwnDataRecord&)> shown;
};

/// Adds the part; without a code it is named after kind and sizes, without a description it has its kind and
/// sizes as one. Its code. Throws InputError.
std::string addPart(inventory::ShopFile& shop, inventory::Part part);

/// Makes a series of bins, each as `bin` is but for its code; a walking order of 0: after all others. All or
/// none. The codes that were made.
std::vector<std::string> addBins(inventory::ShopFile& shop, const std::string& series, inventory::Bin bin);

/// Parts, drawers, suppliers, offers, component models, flows of their valves, recipes, reorder
/// classes. Sizes are
/// typed and shown in `bare`; a unit behind a number says otherwise.
[[nodiscard]] std::vector<OwnDataKind> ownDataKinds(SizeUnit bare = SizeUnit::millimetres);

} // namespace shimledger::services
