// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <concepts>
#include <filesystem>
#include <functional>
#include <ostream>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// Where an output goes, and what may be replaced there.
struct OutputTarget {
    std::filesystem::path path;
    bool replace_anything = false; ///< the person has been asked (in the window) or has said so (--force)

    template <class Path>
    requires std::convertible_to<Path, std::filesystem::path>
    OutputTarget(Path&& file, bool replace = false) // NOLINT: a path alone is a target
        : path(std::forward<Path>(file)), replace_anything(replace) {}
};

/// One file that the program writes: whole or not at all, and never over something that it should not.
///
/// Made under a name of its own beside the target, with O_EXCL, so that nothing planted there is followed or
/// emptied; commit() syncs it and gives it the name in one step. Without commit() nothing is left behind. A
/// file that is replaced hands on its mode.
///
/// The constructor throws InputError, and nothing is touched, when the target is a folder or no ordinary
/// file, when its folder is not there, when it is a database (a shop file, a backup) or the log of one,
/// whatever may be replaced, and when something stands there that is no former output of the same kind,
/// unless `target` allows it. FileFault when the disk does not take it.
class OutputFile {
public:
    /// `noun` names the output in sentences ("pick list"); `is_former` says whether an existing file is an
    /// earlier output of the same kind (none: no file is).
    OutputFile(const OutputTarget& target, std::string_view noun,
               const std::function<bool(const std::filesystem::path&)>& is_former = {});
    ~OutputFile();
    OutputFile(const OutputFile&) = delete;
    OutputFile& operator=(const OutputFile&) = delete;

    /// For a library that writes by path.
    [[nodiscard]] const std::filesystem::path& temporary() const { return m_temporary; }
    /// Writes all of it through a stream; FileFault when the disk does not take it.
    void write(const std::function<void(std::ostream&)>& content) const;
    /// Throws FileFault when the disk does not take it; InputError when a file has got the name meanwhile
    /// that may not be replaced.
    void commit();

private:
    std::filesystem::path m_target;
    std::string m_noun;
    bool m_may_replace;
    std::filesystem::path m_temporary;
};

/// Takes from a file all readers that `secret`, which it was made from, does not have.
void takeReaders(const std::filesystem::path& secret, const std::filesystem::path& file);

/// Makes the folder for an output of several files, where it is not there yet. Throws InputError when
/// something stands in it already, when it is no folder, lies in none or has the name of a shop file's log;
/// FileFault when the disk does not take it.
void makeOutputFolder(const std::filesystem::path& folder);

} // namespace shimledger::inventory
