// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/remembered_ways.h"

#include <filesystem>
#include <string>

namespace shimledger::services {

/// Ways kept as files of a folder that may be emptied at any time, by any number of programs at once: a file
/// is written under another name and put in the place of the old one. What cannot be read or written is as if
/// nothing were kept. Above a limit the files that were used longest ago go.
class WayFiles : public planner::WayMemory {
public:
    explicit WayFiles(std::filesystem::path folder);

    [[nodiscard]] std::optional<std::string> read(const std::string& key) noexcept override;
    void write(const std::string& key, const std::string& bytes) noexcept override;
    /// The running program's file, by its size and the time of its last change.
    [[nodiscard]] std::string version() const override { return m_version; }
    void tidy() noexcept; ///< to the limit

    /// In the user's cache (XDG_CACHE_HOME, else ~/.cache); empty where there is none.
    [[nodiscard]] static std::filesystem::path usualFolder();

private:
    [[nodiscard]] std::filesystem::path fileOf(const std::string& key) const;

    std::filesystem::path m_folder;
    std::string m_version;
};

} // namespace shimledger::services
