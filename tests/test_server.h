// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

namespace shimledger {

/// Where tests keep their shops: in files, or, with SHIMLEDGER_TEST_SERVER=postgresql:///database in the
/// environment, each in a fresh schema of that database or in a database of its own, gone at the end. Tests
/// about the file itself carry the tag [file] and are left out there: tests/server/suites runs the rest.
class TestServer {
public:
    TestServer() {
        if (const char* address = std::getenv("SHIMLEDGER_TEST_SERVER")) m_address = address;
    }
    ~TestServer() {
        std::string sql;
        for (const std::string& schema : m_schemas) sql += "DROP SCHEMA " + schema + " CASCADE;";
        if (!sql.empty()) static_cast<void>(say(sql));
        for (const std::string& database : m_databases)
            static_cast<void>(say("DROP DATABASE " + database + " WITH (FORCE)"));
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
    /// The address of a database of its own: a copy of `original`, the address of one that nobody is
    /// connected to, or an empty one.
    std::string freshDatabase(const std::string& original = {}) {
        std::random_device random;
        const std::string name = "test_" + std::to_string(random()) + std::to_string(random());
        if (!say("CREATE DATABASE " + name +
                 (original.empty() ? "" : " TEMPLATE " + original.substr(original.rfind('/') + 1))))
            throw std::runtime_error("no database for a test");
        m_databases.push_back(name);
        return m_address.substr(0, m_address.find('/', m_address.find("://") + 3)) + "/" + name;
    }

private:
    [[nodiscard]] bool say(const std::string& sql) const {
        const std::string command = "PGOPTIONS=-cclient_min_messages=warning psql -q -d '" + m_address +
                                    "' -c '" + sql + "' > /dev/null";
        return std::system(command.c_str()) == 0;
    }

    std::string m_address;
    std::vector<std::string> m_schemas;
    std::vector<std::string> m_databases;
};

} // namespace shimledger
