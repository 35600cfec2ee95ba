// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <utility>

namespace shimledger::planner {

/// The same progress function, which once it was answered with a stop stays stopped, asks no more, and says
/// so in `stopped`: for work of several parts, each of which asks. Empty stays empty. `stopped` must outlive
/// it.
template <typename Progress>
[[nodiscard]] std::function<bool(const Progress&)> stickyStop(std::function<bool(const Progress&)> progress,
                                                              bool& stopped) {
    if (!progress) return {};
    return [progress = std::move(progress), &stopped](const Progress& now) {
        stopped = stopped || !progress(now);
        return !stopped;
    };
}

} // namespace shimledger::planner
