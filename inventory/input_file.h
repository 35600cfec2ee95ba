// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <istream>
#include <memory>
#include <streambuf>
#include <string>

namespace shimledger::inventory {

/// A file that a person named, for reading: a sheet, a stack, a list of drawers. Whatever is named is read
/// through SQLite's own file layer, because it may be the shop file that this process has open: to open and
/// close that one in any other way takes away the locks of every connection of the process
/// (sqlite.org/howtocorrupt.html, section 2.2), and another program may then delete the log that they write.
///
/// Throws InputError, which names the file, when there is none, when it is a folder, and when it is a part of
/// a shop file that SQLite alone may touch (its "-wal" or "-shm"); ShopFileFault when it may not be read, and
/// while reading when the disk fails. A pipe is read as it comes.
class InputFile {
public:
    explicit InputFile(const std::filesystem::path& path);
    ~InputFile();
    InputFile(const InputFile&) = delete;
    InputFile& operator=(const InputFile&) = delete;

    [[nodiscard]] std::istream& stream() { return m_stream; }
    [[nodiscard]] std::string all(); ///< the rest of it

private:
    std::unique_ptr<std::streambuf> m_buffer;
    std::istream m_stream;
};

/// The first `count` bytes of a regular file, fewer where it ends before; "" where it cannot be read.
[[nodiscard]] std::string firstBytes(const std::filesystem::path& path, std::size_t count);

} // namespace shimledger::inventory
