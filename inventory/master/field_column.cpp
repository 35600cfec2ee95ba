// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/master/field_column.h"

namespace shimledger::inventory {

std::string columnOfField(std::string_view field, FieldContent content) {
    std::string name(field);
    if (content == FieldContent::millimetres) name.replace(name.size() - 2, 2, "um");
    if (content == FieldContent::decimal) name += "_thousandths";
    if (name == "class") name = "part_class";
    return name;
}

std::string textOfColumn(const Query& row, int column, FieldContent content) {
    if (row.isNull(column)) return "";
    switch (content) {
    case FieldContent::millimetres:
        return row.length(column).text();
    case FieldContent::decimal:
        return Decimal::fromThousandths(row.integer(column)).text();
    case FieldContent::money:
        return moneyText(row.integer(column));
    case FieldContent::yesNo:
        return row.integer(column) != 0 ? "yes" : "no";
    default:
        return row.text(column);
    }
}

} // namespace shimledger::inventory
