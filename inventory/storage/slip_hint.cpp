// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/slip_hint.h"

namespace shimledger::inventory {

namespace {

// A worn or toleranced disc of that size would read within a fifth of it.
bool about(double a, double b) {
    return a > 0.8 * b && a < 1.2 * b;
}

} // namespace

bool farFrom(Length reading, Length nominal) {
    return 2 * reading < nominal || reading > 2 * nominal;
}

std::string slipHint(Length reading, Length nominal) {
    const double read = reading.millimetres();
    const double named = nominal.millimetres();
    const std::string size = nominal.text(2) + " mm";
    if (about(read, 10 * named)) return "it is ten times " + size + ": has a digit slipped?";
    if (about(10 * read, named)) return "it is a tenth of " + size + ": has a digit slipped?";
    if (about(read * 25.4, named))
        return reading.text(3) + " inch would be " + size + ": was it read in inches?";
    if (about(read, 25.4 * named)) return "it is 25.4 times " + size + ": was it turned into inches twice?";
    return "check the digits and the drawer";
}

} // namespace shimledger::inventory
