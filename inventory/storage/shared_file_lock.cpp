#include "inventory/storage/shared_file_lock.h"

#include <fcntl.h>
#include <unistd.h>

namespace shimledger::inventory {

namespace {

// SHARED_FIRST and SHARED_SIZE of SQLite's os.h: part of its file format, so that all versions agree on them.
constexpr off_t first_shared_byte = 0x40000000 + 2;
constexpr off_t shared_bytes = 510;

bool setLock(int file, short kind) {
    struct flock lock {};
    lock.l_type = kind;
    lock.l_whence = SEEK_SET;
    lock.l_start = first_shared_byte;
    lock.l_len = shared_bytes;
    return ::fcntl(file, F_OFD_SETLK, &lock) == 0; // NOLINT(cppcoreguidelines-pro-type-vararg)
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
    if (m_file >= 0) ::close(m_file);
}

void SharedFileLock::take(const std::filesystem::path& path) {
    if (m_file >= 0) return;
    m_file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC); // NOLINT(cppcoreguidelines-pro-type-vararg)
    // A file that cannot be locked stays open till the end all the same: closing it here would do the harm.
    if (m_file >= 0) setLock(m_file, F_RDLCK);
}

void SharedFileLock::release() {
    if (m_file >= 0) setLock(m_file, F_UNLCK);
}

} // namespace shimledger::inventory
