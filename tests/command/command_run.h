// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"
#include "tests/test_server.h"

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
    /// The server of the tests, if one is wanted; what is made there goes with the folder.
    [[nodiscard]] TestServer& server() const { return m_server; }

private:
    std::filesystem::path m_path;
    mutable TestServer m_server;
};

inline std::string readBytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline void writeBytes(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

/// A new shop of what is in a sheet or a folder of sheets: a file, or on the server of the tests.
inline std::string shopOf(const TemporaryFolder& folder, const std::string& name, const std::string& sheet) {
    std::vector<std::string> import{"stock", "import", "--db"};
    std::string shop = folder / name;
    if (folder.server().wanted()) {
        shop = folder.server().freshDatabase();
        const CommandRun prepared = runShimledger({"server", "prepare", shop});
        if (prepared.code != exit_done) throw std::runtime_error("no shop: " + prepared.error);
        import.insert(import.end(), {shop, sheet});
    } else {
        import.insert(import.end(), {shop, "--create", sheet});
    }
    const CommandRun run = runShimledger(import);
    if (run.code != exit_done) throw std::runtime_error("no shop: " + run.error);
    return shop;
}

/// The demo shop before its main job, made anew in `folder`; the path of its file, or its address.
inline std::string demoShop(const TemporaryFolder& folder) {
    if (!folder.server().wanted()) return shopOf(folder, "shop.db", SHIMLEDGER_SEED_CATALOG);
    static const TemporaryFolder of_all; // on a server one is made, and copied
    static const std::string original = shopOf(of_all, "shop.db", SHIMLEDGER_SEED_CATALOG);
    return folder.server().freshDatabase(original);
}

/// Something that is another text after anything was booked in the shop: all bytes of a file, all rows of a
/// server.
inline std::string contentsOf(const TemporaryFolder& folder, const std::string& shop) {
    if (!folder.server().wanted()) return readBytes(shop);
    const std::string out = folder / "contents.sql";
    if (std::system(("pg_dump --data-only -d '" + shop + "' | grep -v restrict > " + out).c_str()) != 0)
        throw std::runtime_error("no dump of " + shop);
    return readBytes(out);
}

} // namespace shimledger::command
