// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

namespace shimledger::services {

inline const std::string hangs = "sleep 1000";
inline const std::string hangs_whatever_it_is_told = "trap '' TERM INT HUP\nwhile :; do sleep 1; done";

enum class Company { a_child_of_its_own, none };

/// A folder with a program called cbc that writes down its own number, and that of a child of its own that it
/// begins, and then does as the script says. The solver's temporary files go there too.
class FakeSolver {
public:
    explicit FakeSolver(const std::string& script, Company company = Company::a_child_of_its_own) {
        std::string pattern = (std::filesystem::temp_directory_path() / "shimledger-fake-XXXXXX").string();
        REQUIRE(::mkdtemp(pattern.data()) != nullptr);
        m_folder = pattern;
        std::filesystem::create_directory(m_folder / "tmp");
        const std::filesystem::path before = std::filesystem::temp_directory_path();
        m_before = before.string();
        ::setenv("TMPDIR", (m_folder / "tmp").c_str(), 1);
        const std::string file = numbers().string();
        std::ofstream(program()) << "#!/bin/sh\n"
                                 << (company == Company::none ? "" : "sleep 1000 &\n") << "echo $$ $! > "
                                 << file << ".new\nmv " << file << ".new " << file << "\n"
                                 << script << "\n";
        ::chmod(program().c_str(), 0755);
    }
    ~FakeSolver() {
        ::setenv("TMPDIR", m_before.c_str(), 1);
        std::error_code ignored;
        std::filesystem::remove_all(m_folder, ignored);
    }
    FakeSolver(const FakeSolver&) = delete;
    FakeSolver& operator=(const FakeSolver&) = delete;

    [[nodiscard]] std::filesystem::path folder() const { return m_folder; }
    [[nodiscard]] bool hasRun() const { return std::filesystem::exists(numbers()); }
    [[nodiscard]] std::filesystem::path program() const { return m_folder / "cbc"; }
    [[nodiscard]] bool leftFiles() const {
        for (const auto& entry : std::filesystem::directory_iterator(m_folder / "tmp")) {
            if (entry.path().filename().string().rfind("shimledger-order-", 0) == 0) return true;
        }
        return false;
    }
    void waitUntilItRuns() const {
        while (!std::filesystem::exists(numbers())) std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    /// Waits for their end: a test that fails hangs here, and its time limit ends it.
    void waitUntilAllAreGone() const {
        std::ifstream file(numbers());
        std::vector<pid_t> pids;
        for (pid_t pid = 0; file >> pid;) pids.push_back(pid);
        REQUIRE_FALSE(pids.empty());
        for (const pid_t pid : pids) {
            while (alive(pid)) std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
    }

private:
    [[nodiscard]] std::filesystem::path numbers() const { return m_folder / "numbers"; }
    /// What has ended and waits to be reaped by whoever has inherited it does nothing any more.
    static bool alive(pid_t pid) {
        if (::kill(pid, 0) != 0) return false;
        std::ifstream status("/proc/" + std::to_string(pid) + "/stat");
        std::string number, name, state;
        status >> number >> name >> state;
        return status && state != "Z" && state != "X";
    }

    std::filesystem::path m_folder;
    std::string m_before;
};

} // namespace shimledger::services
