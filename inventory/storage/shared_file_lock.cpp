// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/shared_file_lock.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <map>
#include <mutex>
#include <system_error>

namespace shimledger::inventory {

namespace {

// SHARED_FIRST and SHARED_SIZE of SQLite's os.h: part of its file format, so that all versions agree on them.
constexpr off_t first_shared_byte = 0x40000000 + 2;
constexpr off_t shared_bytes = 510;

// UNIX_SHM_DMS of SQLite's os_unix.c: locked by everybody who has the index mapped.
constexpr off_t index_in_use_byte = 128;

bool setLock(int file, short kind, off_t first, off_t bytes) {
    struct flock lock {};
    lock.l_type = kind;
    lock.l_whence = SEEK_SET;
    lock.l_start = first;
    lock.l_len = bytes;
    return ::fcntl(file, F_OFD_SETLK, &lock) == 0; // NOLINT(cppcoreguidelines-pro-type-vararg)
}

using FileKey = std::pair<dev_t, ino_t>;

std::optional<FileKey> keyOf(const std::filesystem::path& path) {
    struct stat known {};
    if (::stat(path.c_str(), &known) != 0) return std::nullopt;
    return FileKey{known.st_dev, known.st_ino};
}

/// The indexes that this process keeps locked. POSIX locks are the process's, and closing any opening of a
/// file drops all of them: so all connections to a database share one opening of its index, which is closed
/// after the last of them.
class LockedIndexes {
public:
    void enter(const FileKey& database) {
        const std::lock_guard guard(m_mutex);
        ++m_indexes[database].users;
    }
    void lock(const FileKey& database, const std::filesystem::path& index) {
        const std::lock_guard guard(m_mutex);
        Index& known = m_indexes.at(database);
        const std::optional<FileKey> key = keyOf(index);
        if (!key || known.openings.contains(*key)) return;
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg)
        const int file = ::open(index.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
        if (file < 0) return;
        setLock(file, F_RDLCK, index_in_use_byte, 1);
        known.openings.emplace(*key, file);
    }
    void leave(const FileKey& database) {
        const std::lock_guard guard(m_mutex);
        const auto known = m_indexes.find(database);
        if (--known->second.users > 0) return;
        for (const auto& opening : known->second.openings) ::close(opening.second);
        m_indexes.erase(known);
    }

private:
    struct Index {
        int users = 0;
        std::map<FileKey, int> openings; ///< of the index in use, and of ones that were put away
    };
    std::mutex m_mutex;
    std::map<FileKey, Index> m_indexes; ///< by database
};

/// A process has one table of locks, which the system keeps; so this is the process's too.
LockedIndexes& lockedIndexes() {
    static LockedIndexes indexes;
    return indexes;
}

} // namespace

bool isInUse(const std::filesystem::path& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC); // NOLINT(cppcoreguidelines-pro-type-vararg)
    if (file < 0) return false;
    struct flock lock {};
    lock.l_type = F_WRLCK;
    lock.l_whence = SEEK_SET;
    lock.l_start = first_shared_byte;
    lock.l_len = shared_bytes;
    const bool asked = ::fcntl(file, F_OFD_GETLK, &lock) == 0; // NOLINT(cppcoreguidelines-pro-type-vararg)
    ::close(file);
    return asked && lock.l_type != F_UNLCK;
}

SharedFileLock::~SharedFileLock() {
    if (m_database) lockedIndexes().leave(*m_database);
    if (m_file >= 0) ::close(m_file);
}

void SharedFileLock::take(const std::filesystem::path& path) {
    if (m_file >= 0) return;
    m_file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC); // NOLINT(cppcoreguidelines-pro-type-vararg)
    // A file that cannot be locked stays open till the end all the same: closing it here would do the harm.
    if (m_file >= 0) setLock(m_file, F_RDLCK, first_shared_byte, shared_bytes);
    std::error_code error;
    m_index = std::filesystem::canonical(path, error).string() + "-shm"; // as SQLite names it
    m_database = keyOf(path);
    if (m_database) lockedIndexes().enter(*m_database);
}

void SharedFileLock::takeIndex() {
    if (m_database) lockedIndexes().lock(*m_database, m_index);
}

void SharedFileLock::release() {
    if (m_file >= 0) setLock(m_file, F_UNLCK, first_shared_byte, shared_bytes);
}

} // namespace shimledger::inventory
