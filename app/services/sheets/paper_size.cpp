// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/paper_size.h"

#include "planner/units/input_error.h"

#include <string>

namespace shimledger::services {

PaperSize parsePaperSize(std::string_view text) {
    if (text == "a4" || text == "A4") return PaperSize::a4;
    if (text == "letter" || text == "Letter" || text == "LETTER") return PaperSize::letter;
    throw InputError("the paper size must be a4 or letter, not '" + std::string(text.substr(0, 40)) + "'");
}

} // namespace shimledger::services
