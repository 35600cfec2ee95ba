// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

namespace shimledger {

/// Where tests keep their shops: in files, or, with SHIMLEDGER_TEST_SERVER=postgresql:///database in the
/// environment, each in a fresh schema of that database, gone at the end. Tests about the file itself carry
/// the tag [file] and are left out there: inventory_tests "~[file]".
class TestServer {
public:
    TestServer() {
        if (const char* address = std::getenv("SHIMLEDGER_TEST_SERVER")) m_address = address;
    }
    ~TestServer() {
        std::string sql;
        for (const std::string& schema : m_schemas) sql += "DROP SCHEMA " + schema + " CASCADE;";
        if (!sql.empty()) static_cast<void>(say(sql));
    }
    TestServer(const TestServer&) = delete;
    TestServer& operator=(const TestServer&) = delete;

    [[nodiscard]] bool wanted() const { return !m_address.empty(); }
    /// The address of an empty schema.
    std::string freshSchema() {
        std::random_device random;
        const std::string schema = "test_" + std::to_string(random()) + std::to_string(random());
        if (!say("CREATE SCHEMA " + schema)) throw std::runtime_error("no schema for a test");
        m_schemas.push_back(schema);
        return m_address + (m_address.find('?') == std::string::npos ? "?" : "&") +
               "options=-csearch_path%3D" + schema;
    }

private:
    [[nodiscard]] bool say(const std::string& sql) const {
        const std::string command = "PGOPTIONS=-cclient_min_messages=warning psql -q -d '" + m_address +
                                    "' -c '" + sql + "' > /dev/null";
        return std::system(command.c_str()) == 0;
    }

    std::string m_address;
    std::vector<std::string> m_schemas;
};

} // namespace shimledger
