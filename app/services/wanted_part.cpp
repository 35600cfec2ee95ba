// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/wanted_part.h"

#include "app/services/parts_finder.h"
#include "app/services/sheet_import/written_number.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <vector>

namespace shimledger::services {

namespace {

using inventory::Part;
using inventory::PartKind;

void takeSizes(Part& part, const std::vector<Length>& sizes, std::optional<Length> shim_bore) {
    std::vector<std::optional<Length> Part::*> places;
    for (const inventory::SizeField* field : inventory::partKindRule(part.kind).needs) {
        // People say a shim without its bore, which is the same for all of a valve.
        const bool bore = part.kind == PartKind::shim && field->member == &Part::id;
        if (!bore || sizes.size() > 2) places.push_back(field->member);
    }
    for (std::size_t i = 0; i < sizes.size() && i < places.size(); ++i) part.*places[i] = sizes[i];
    if (part.kind == PartKind::shim && !part.id) part.id = shim_bore;
}

} // namespace

Part wantedPart(std::string_view typed, PartKind usual, SizeUnit bare, std::optional<Length> shim_bore) {
    Part part;
    part.kind = usual;
    const std::string text = trimmed(typed);
    try {
        const MeasuredPart measured = parseMeasured(text, bare);
        if (!measured.kinds.empty()) part.kind = measured.kinds.front();
        takeSizes(part, measured.sizes, shim_bore);
        return part;
    } catch (const InputError&) { // no sizes then
    }
    if (part.kind == PartKind::shim) part.id = shim_bore;
    (text.find(' ') == std::string::npos ? part.code : part.description) = text;
    return part;
}

} // namespace shimledger::services
