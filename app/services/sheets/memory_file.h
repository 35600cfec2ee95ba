// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace shimledger::services {

/// A file that lies in memory alone, for a library that writes by name and prints its own complaint where a
/// disk fails: no disk is asked until the bytes are whole. Throws FileFault where the system has no memory
/// left for it.
class MemoryFile {
public:
    MemoryFile();
    ~MemoryFile();
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;

    [[nodiscard]] const std::string& path() const {
        return m_path;
    } ///< as long as this lives, in this process
    [[nodiscard]] std::string bytes() const;

private:
    int m_file;
    std::string m_path;
};

} // namespace shimledger::services
