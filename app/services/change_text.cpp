// SPDX-License-Identifier: GPL-3.0-or-later
// The sentences on changes of master data.
#include "app/services/history_text.h"

#include "inventory/master_fields.h"

namespace shimledger::services {

namespace {

using inventory::FieldContent;
using inventory::MasterChange;
using inventory::MasterKind;
using inventory::MasterSubject;

std::string subjectText(const MasterSubject& about) {
    switch (about.kind) {
    case MasterKind::part:
        return "part " + about.part;
    case MasterKind::bin:
        return "bin " + about.bin;
    case MasterKind::supplier:
        return "supplier " + about.supplier;
    case MasterKind::offer:
        return "a pack of " + std::to_string(about.pack_size) + " of " + about.part + " from " +
               about.supplier;
    case MasterKind::model:
        return "model " + about.model;
    case MasterKind::reorderClass:
        return about.part_class.empty() ? "every class without settings of its own"
                                        : "class " + about.part_class;
    case MasterKind::recipe:
        return "recipe " + about.recipe;
    }
    return {};
}

std::string beginning(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

/// Notes may be long, and hold line breaks.
std::string valueText(const std::string& value, FieldContent content) {
    if (content == FieldContent::millimetres) return value + " mm";
    if (content != FieldContent::text) return value;
    constexpr std::size_t most = 200;
    std::string shown = value.substr(0, most);
    while (shown.size() < value.size() && !shown.empty() &&
           (static_cast<unsigned char>(value[shown.size()]) & 0xc0U) == 0x80U)
        shown.pop_back();
    for (char& c : shown) {
        if (static_cast<unsigned char>(c) < 0x20) c = ' ';
    }
    return "'" + shown + (shown.size() < value.size() ? "..." : "") + "'";
}

std::string retiredText(const MasterChange& change) {
    const std::string what = change.about.kind == MasterKind::offer
                                 ? "The offer of " + subjectText(change.about)
                                 : beginning(subjectText(change.about));
    return what + (change.after == "yes" ? " was retired." : " was brought back.");
}

std::string wearPartText(const MasterChange& change) {
    const std::string model = "model " + change.about.model;
    if (change.before.empty())
        return change.about.part + " became a wear part of " + model + ": " + change.after + ".";
    if (change.after.empty())
        return change.about.part + " is no wear part of " + model + " any more; it was " + change.before +
               ".";
    return "Of the wear part " + change.about.part + ", " + model + " takes " + change.after +
           "; before it was " + change.before + ".";
}

/// "The reorder point of part S24-10"
std::string placeText(const MasterChange& change, std::string_view noun) {
    const std::string of = " of " + subjectText(change.about);
    if (change.field == inventory::price_break_field)
        return "The price" + of + ", from " + change.item + " packs on,";
    if (change.field == inventory::valve_field) return "The valve '" + change.item + "'" + of;
    const bool of_valve = change.about.kind == MasterKind::model && !change.item.empty();
    const std::string valve = of_valve ? " of valve '" + change.item + "'" : std::string();
    std::string text = "The ";
    return text.append(noun).append(valve).append(of);
}

} // namespace

std::string changeSentence(const MasterChange& change) {
    if (change.field == "retired") return retiredText(change);
    if (change.field == inventory::wear_part_field) return wearPartText(change);
    const auto [noun, content] = inventory::fieldWords(change.about.kind, change.field);
    std::string place = placeText(change, noun);
    if (change.about.kind == MasterKind::part && change.item.starts_with("kit "))
        place += change.item.ends_with(" back") ? ", with the kit plan taken back," : ", from the kit plan,";
    const std::string before = valueText(change.before, content);
    const std::string after = valueText(change.after, content);
    if (change.before.empty()) return place + " became " + after + "; there was none before.";
    if (change.after.empty()) return place + " was taken away; it was " + before + ".";
    return place + " became " + after + "; before it was " + before + ".";
}

} // namespace shimledger::services
