// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <optional>
#include <utility>

namespace shimledger::inventory {

/// Tells every other program that a shop file is in use, for as long as a connection lives, by a lock that
/// only its own release ends.
///
/// SQLite holds such a lock by itself, but a POSIX one: it is gone as soon as anything in this process opens
/// and closes the file, be it ours or a library's (a file dialog that looks what kind of file it shows). From
/// then on the next program to close the file believes to be the last one, writes the log into the file and
/// deletes it under the connection, which goes on writing where nobody will ever read
/// (sqlite.org/howtocorrupt.html, section 2.2). The lock here is one of an open file description (fcntl
/// F_OFD_SETLK, Linux 3.15), on the same bytes as SQLite's own, and is not touched by that. Where the file
/// system knows none, SQLite's own is all there is.
///
/// The same goes for the index of the log (-shm), which every connection maps into memory: a program that
/// finds no lock on its one byte for that cuts the file short under the others, which ends them by SIGBUS.
/// The locks that SQLite holds on that file while it reads and writes cannot be held twice, so nothing of
/// ours opens it (input_file.h), and no dialog looks into it.
class SharedFileLock {
public:
    SharedFileLock() = default;
    ~SharedFileLock(); ///< its connection must have been closed before: closing drops SQLite's own locks
    SharedFileLock(const SharedFileLock&) = delete;
    SharedFileLock& operator=(const SharedFileLock&) = delete;

    /// Only for a file in WAL mode: the others need to lock it whole for themselves. Does nothing when it is
    /// held.
    void take(const std::filesystem::path& path);
    /// The index of the log as well, once the connection has read: only then is it there.
    void takeIndex();
    /// To be called before the connection closes, so that the last one can put its log away.
    void release();

private:
    int m_file = -1;
    std::filesystem::path m_index;
    std::optional<std::pair<dev_t, ino_t>> m_database; ///< among the users of its index
};

/// True if any program, this one too, has the database open. Opens and closes the file, so connections of
/// this process live on by their SharedFileLock alone from then on.
[[nodiscard]] bool isInUse(const std::filesystem::path& path);

} // namespace shimledger::inventory
