// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>
#include <string>
#include <system_error>
#include <vector>

namespace shimledger::command {

struct CommandRun {
    int code = -1;
    std::string out;
    std::string error;
};

inline CommandRun runShimledger(const std::vector<std::string>& arguments) {
    std::ostringstream out;
    std::ostringstream error;
    Streams streams{out, error};
    CommandRun run;
    run.code = runCommand(arguments, streams);
    run.out = out.str();
    run.error = error.str();
    return run;
}

/// A folder of its own, gone at the end of the test.
class TemporaryFolder {
public:
    TemporaryFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "shimledger-command-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
        m_path = pattern;
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(m_path, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    /// Path of a file in it, as an argument.
    [[nodiscard]] std::string operator/(const std::string& name) const { return (m_path / name).string(); }

private:
    std::filesystem::path m_path;
};

inline std::string readBytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline void writeBytes(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

/// The demo shop before its main job, made anew in `folder`; the path of its file.
inline std::string demoShop(const TemporaryFolder& folder) {
    std::string file = folder / "shop.db";
    const CommandRun run =
        runShimledger({"stock", "import", "--db", file, "--create", SHIMLEDGER_SEED_CATALOG});
    if (run.code != exit_done) throw std::runtime_error("no demo shop: " + run.error);
    return file;
}

} // namespace shimledger::command
