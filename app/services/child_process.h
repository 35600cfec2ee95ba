// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <chrono>
#include <filesystem>
#include <stop_token>
#include <string>
#include <vector>

namespace shimledger::services {

/// How another program ended.
enum class ChildEnd {
    done,     ///< by itself, with exit code 0
    failed,   ///< by itself otherwise, or killed by somebody else
    unusable, ///< it could not be begun
    overdue,  ///< killed, since its time was up
    stopped   ///< killed, since the stop was asked for
};

/// Runs a program and waits for it. It is the head of a process group of its own, and the whole group is
/// killed (SIGKILL: nothing it ignores keeps it alive) when `time` is over on the wall's clock, when `stop`
/// asks for it, and once the program itself has ended. The kernel kills it when this process, or the thread
/// that runs it, dies. It reads nothing, and what it prints goes to the file `report`. Nothing is thrown but
/// for want of memory.
[[nodiscard]] ChildEnd runChild(const std::vector<std::string>& words, const std::filesystem::path& report,
                                std::chrono::milliseconds time, const std::stop_token& stop);

} // namespace shimledger::services
