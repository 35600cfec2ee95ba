// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

/// The rows of a small, well-formed reference file as column name -> text.
inline std::vector<std::map<std::string, std::string>> referenceRows(const std::string& name) {
    std::ifstream file(SHIMLEDGER_TEST_DATA "/" + name);
    if (!file) throw std::runtime_error("reference file missing: " + name);
    const auto cells = [](const std::string& line) {
        std::vector<std::string> result(1);
        bool quoted = false;
        for (const char c : line) {
            if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                result.emplace_back();
            } else if (c != '\r') {
                result.back() += c;
            }
        }
        return result;
    };
    std::string line;
    std::getline(file, line);
    const std::vector<std::string> header = cells(line);
    std::vector<std::map<std::string, std::string>> rows;
    while (std::getline(file, line)) {
        const std::vector<std::string> values = cells(line);
        std::map<std::string, std::string> row;
        for (std::size_t i = 0; i < header.size() && i < values.size(); ++i) row[header[i]] = values[i];
        rows.push_back(row);
    }
    return rows;
}
