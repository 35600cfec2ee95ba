// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/child_process.h"

#include <fcntl.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <optional>
#include <thread>

namespace shimledger::services {

namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

constexpr int not_begun = 127; // as shells say it
constexpr milliseconds first_look{1}, longest_between_looks{20};

/// In the child, between fork and exec: other threads of the parent may have held any lock at the fork, so
/// that only what is safe in a signal handler may be called here (POSIX, fork).
[[noreturn]] void become(char* const* arguments, char* const* environment, const char* report, pid_t parent) {
    ::setpgid(0, 0);
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);            // posix_spawn could not ask for this
    if (::getppid() != parent) ::_exit(not_begun); // it died before it was asked for
    sigset_t none;
    ::sigemptyset(&none);
    ::sigprocmask(SIG_SETMASK, &none, nullptr);
    const int input = ::open("/dev/null", O_RDONLY); // NOLINT(cppcoreguidelines-pro-type-vararg)
    const int output = ::open(report, O_WRONLY | O_CREAT | O_TRUNC, 0600); // NOLINT
    if (input < 0 || output < 0) ::_exit(not_begun);
    ::dup2(input, STDIN_FILENO);
    ::dup2(output, STDOUT_FILENO);
    ::dup2(output, STDERR_FILENO);
    ::execve(arguments[0], arguments, environment);
    ::_exit(not_begun);
}

/// A child that is never left behind: whatever way it is parted with, its group is killed and it is reaped.
class Child {
public:
    explicit Child(pid_t pid) : m_pid(pid) {
        ::setpgid(pid, pid); // here too: whoever comes first, the group is there before it is killed
    }
    ~Child() {
        // Before the reaping: until then no other process or group can be given this number.
        ::kill(-m_pid, SIGKILL);
        int status = 0;
        while (::waitpid(m_pid, &status, 0) < 0 && errno == EINTR) {
        }
    }
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;

    /// How it ended; nothing while it runs.
    [[nodiscard]] std::optional<ChildEnd> ended() const {
        siginfo_t seen{};
        if (::waitid(P_PID, static_cast<id_t>(m_pid), &seen, WEXITED | WNOHANG | WNOWAIT) != 0) {
            return errno == EINTR ? std::nullopt : std::optional(ChildEnd::failed);
        }
        if (seen.si_pid == 0) return std::nullopt;
        if (seen.si_code != CLD_EXITED) return ChildEnd::failed;
        return seen.si_status == 0           ? ChildEnd::done
               : seen.si_status == not_begun ? ChildEnd::unusable
                                             : ChildEnd::failed;
    }

private:
    pid_t m_pid;
};

} // namespace

ChildEnd runChild(const std::vector<std::string>& words, const std::filesystem::path& report,
                  milliseconds time, const std::stop_token& stop) {
    if (stop.stop_requested()) return ChildEnd::stopped;
    std::vector<std::string> held = words;
    std::vector<char*> arguments;
    arguments.reserve(held.size() + 1);
    for (std::string& word : held) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    // Numbers in the C locale, whatever the shop's language.
    std::array<std::string, 2> names{"LC_ALL=C", "PATH=/usr/bin:/bin"};
    std::array<char*, 3> environment{names[0].data(), names[1].data(), nullptr};
    const auto deadline = Clock::now() + time;
    const pid_t parent = ::getpid();
    const pid_t pid = ::fork();
    if (pid < 0) return ChildEnd::unusable;
    if (pid == 0) become(arguments.data(), environment.data(), report.c_str(), parent);
    const Child child(pid);
    for (milliseconds pause = first_look;; pause = std::min(2 * pause, longest_between_looks)) {
        if (const auto end = child.ended()) return *end;
        if (stop.stop_requested()) return ChildEnd::stopped;
        if (Clock::now() >= deadline) return ChildEnd::overdue;
        std::this_thread::sleep_for(pause);
    }
}

} // namespace shimledger::services
