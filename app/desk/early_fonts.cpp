// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/early_fonts.h"

#ifdef SHIMLEDGER_FONTCONFIG
#include <fontconfig/fontconfig.h>
#endif

namespace shimledger::desk {

#ifdef SHIMLEDGER_FONTCONFIG
EarlyFonts::EarlyFonts()
    : m_thread([] { FcInit(); }) {} // once for the program; Qt then waits for it or finds it done
#else
EarlyFonts::EarlyFonts() = default;
#endif

} // namespace shimledger::desk
