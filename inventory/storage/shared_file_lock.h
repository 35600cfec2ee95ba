#pragma once

#include <filesystem>

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
class SharedFileLock {
public:
    SharedFileLock() = default;
    ~SharedFileLock(); ///< its connection must have been closed before: closing drops SQLite's own locks
    SharedFileLock(const SharedFileLock&) = delete;
    SharedFileLock& operator=(const SharedFileLock&) = delete;

    /// Only for a file in WAL mode: the others need to lock it whole for themselves. Does nothing when it is
    /// held.
    void take(const std::filesystem::path& path);
    /// To be called before the connection closes, so that the last one can put its log away.
    void release();

private:
    int m_file = -1;
};

/// True if any program, this one too, has the database open. Opens and closes the file, so connections of
/// this process live on by their SharedFileLock alone from then on.
[[nodiscard]] bool isInUse(const std::filesystem::path& path);

} // namespace shimledger::inventory
