// SPDX-License-Identifier: GPL-3.0-or-later
// STACK.json: any bytes are a stack or refused with a sentence, no figure of a stack is NaN or infinite, and
// a stack's own JSON gives it back.
#include "planner/stack/stack_json.h"

#include "planner/units/input_error.h"

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace shimledger;

namespace {

void mustBeFinite(double value) {
    if (!std::isfinite(value)) std::abort();
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        const planner::StackSpec stack =
            planner::parseStackJson(std::string_view(reinterpret_cast<const char*>(data), size));
        for (const planner::DiscRow& row : stack.rows()) {
            mustBeFinite(row.material.elastic_modulus_mpa);
            mustBeFinite(row.material.poisson_ratio);
            mustBeFinite(row.material.tensile_strength_mpa);
        }
        if (!(planner::parseStackJson(planner::stackJson(stack)) == stack)) std::abort();
    } catch (const InputError& error) {
        if (std::string_view(error.what()).empty()) std::abort();
    }
    return 0;
}
