// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/master_fields_typed.h"

#include <algorithm>
#include <charconv>

namespace shimledger::command {

std::string optionOf(std::string_view field) {
    if (field.ends_with("_mm")) field.remove_suffix(3);
    std::string option = "--";
    option.append(field);
    std::replace(option.begin(), option.end(), '_', '-');
    return option;
}

nlohmann::json fieldJson(inventory::FieldContent content, const std::string& text) {
    if (content == inventory::FieldContent::yesNo) return text == "yes";
    const bool may_be_empty =
        content == inventory::FieldContent::text || content == inventory::FieldContent::word;
    if (text.empty() && !may_be_empty) return nullptr;
    if (content == inventory::FieldContent::millimetres) return Length::parseMillimetres(text).millimetres();
    if (content == inventory::FieldContent::decimal) return inventory::Decimal::parse(text).number();
    if (content == inventory::FieldContent::whole) {
        std::int64_t value = 0;
        std::from_chars(text.data(), text.data() + text.size(), value);
        return value;
    }
    return text;
}

void tellChanges(const std::vector<inventory::MasterChange>& changes, std::ostream& out) {
    for (const inventory::MasterChange& change : changes) out << services::changeSentence(change) << '\n';
    if (changes.empty()) out << "It is so already: nothing was changed.\n";
}

} // namespace shimledger::command
