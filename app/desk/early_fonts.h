// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <thread>

namespace shimledger::desk {

/// Reads the system's list of fonts on a thread of its own, from before the connection to the display is made
/// until it ends: both take their time at a start, and neither needs the other. Does nothing where fonts are
/// not found by Fontconfig.
class EarlyFonts {
public:
    EarlyFonts();

private:
    std::jthread m_thread;
};

} // namespace shimledger::desk
