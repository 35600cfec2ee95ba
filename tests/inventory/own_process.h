// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sys/wait.h>
#include <unistd.h>

namespace shimledger::inventory {

/// Runs the work in a process of its own; what it returns becomes the exit code, 98 where it throws. A
/// connection must not cross the fork.
template <class Work>
pid_t inOwnProcess(Work&& work) {
    const pid_t child = ::fork();
    if (child == 0) {
        int code = 99;
        try {
            code = work();
        } catch (...) {
            code = 98;
        }
        ::_exit(code);
    }
    return child;
}

/// Waits for its end; -1 where a signal ended it.
inline int exitCodeOf(pid_t child) {
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

} // namespace shimledger::inventory
