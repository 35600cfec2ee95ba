// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SHIMLEDGER_SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define SHIMLEDGER_SANITIZED 1
#endif
#endif

namespace shimledger::planner::test {

/// How often to repeat what takes long: a tenth under a sanitizer, which looks for other faults and is slow;
/// two fifths else, so that the suite is done in minutes; all of it where SHIMLEDGER_ALL_ROUNDS is set (long
/// form "all-rounds").
inline int rounds(int full) {
#ifdef SHIMLEDGER_SANITIZED
    return full / 10;
#else
    static const bool all = std::getenv("SHIMLEDGER_ALL_ROUNDS") != nullptr;
    return all ? full : 2 * full / 5;
#endif
}

} // namespace shimledger::planner::test
