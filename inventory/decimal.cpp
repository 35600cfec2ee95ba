// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/decimal.h"

#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"
#include "planner/units/length.h"

namespace shimledger::inventory {

// Micrometres are thousandths of a millimetre: a length reads and writes such numbers already.
Decimal Decimal::parse(std::string_view text) {
    try {
        return Decimal(Length::parseMillimetres(text).micrometres());
    } catch (const InputError&) {
        throw InputError(inQuotes(text) + " is not a number of at most three decimals, such as 0.62");
    }
}

std::string Decimal::text() const {
    return Length::fromMicrometres(m_thousandths).text(0);
}

} // namespace shimledger::inventory
