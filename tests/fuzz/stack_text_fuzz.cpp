// SPDX-License-Identifier: GPL-3.0-or-later
// The trade's notation: any text is a stack or refused with a sentence, and a stack's own text gives it back.
#include "planner/stack/stack_text.h"

#include "planner/units/input_error.h"

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace shimledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    std::vector<planner::DiscRow> rows;
    try {
        rows = planner::parseStackText(text);
    } catch (const InputError& error) {
        if (std::string_view(error.what()).empty()) std::abort();
        return 0;
    }
    if (planner::parseStackText(planner::stackText(rows)) != rows) std::abort();
    if (planner::parseStackText(planner::stackText(rows, ", ")) != rows) std::abort();
    return 0;
}
