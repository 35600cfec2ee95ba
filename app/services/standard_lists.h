// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::services {

/// The standards' lists of seed_catalog as they stand there, compiled in, so that no file has to be found.
extern const char* const iso_3601_list;
extern const char* const jis_b2401_list;
extern const char* const gland_rule_list;

} // namespace shimledger::services
