// SPDX-License-Identifier: GPL-3.0-or-later
// The finder's typed sizes: any text is one to three positive sizes, or refused with a sentence.
#include "app/services/parts_finder.h"

#include "planner/units/input_error.h"

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace shimledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        const services::MeasuredPart part =
            services::parseMeasured(std::string_view(reinterpret_cast<const char*>(data), size));
        if (part.sizes.empty() || part.sizes.size() > 3) std::abort();
        for (const Length length : part.sizes) {
            if (length <= Length()) std::abort();
        }
    } catch (const InputError& error) {
        if (std::string_view(error.what()).empty()) std::abort();
    }
    return 0;
}
