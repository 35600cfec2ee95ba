// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"

#include <QString>

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <utility>

namespace shimledger::desk {

/// Tells how far a search is ten times a second at most, and ends it when asked to: by the run's own stop, or
/// by `end_early`, which keeps what was found.
template <typename Progress>
std::function<bool(const Progress&)> watchSearch(const RunControl& control,
                                                 std::shared_ptr<std::atomic<bool>> end_early,
                                                 QString (*text)(const Progress&)) {
    using Clock = std::chrono::steady_clock;
    return [control, end_early = std::move(end_early), text,
            last = Clock::now()](const Progress& progress) mutable {
        if (Clock::now() - last > std::chrono::milliseconds(100)) {
            last = Clock::now();
            control.report(text(progress));
        }
        return !control.stop.stop_requested() && !*end_early;
    };
}

} // namespace shimledger::desk
