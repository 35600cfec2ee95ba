// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/part_code.h"

#include "inventory/part_kinds.h"

namespace shimledger::services {

namespace {

using inventory::PartKind;

const char* prefixOf(PartKind kind) {
    switch (kind) {
    case PartKind::shim:
        return "SH";
    case PartKind::bushing:
        return "BU";
    case PartKind::oilSeal:
        return "OS";
    case PartKind::dustSeal:
        return "DS";
    case PartKind::oRing:
        return "OR";
    case PartKind::snapRing:
        return "SR";
    case PartKind::washer:
        return "WA";
    case PartKind::fluid:
        return "FL";
    default:
        return "PT";
    }
}

} // namespace

std::string suggestedCode(const inventory::Part& part) {
    std::string code = prefixOf(part.kind);
    if (part.kind == PartKind::shim && part.od && part.id && part.thickness)
        return code + "-" + part.od->text(1) + "-" + part.id->text(0) + "-" + part.thickness->text(2);
    const auto sizes = inventory::spokenSizes(part);
    if (sizes.empty()) return {};
    const bool fine = part.kind == PartKind::oRing;
    for (const inventory::SpokenSize& size : sizes) code += "-" + size.size.text(fine ? 2 : 1);
    return code;
}

} // namespace shimledger::services
