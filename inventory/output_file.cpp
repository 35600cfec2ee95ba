// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/output_file.h"

#include "inventory/input_file.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_address.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <fstream>
#include <random>
#include <system_error>

namespace shimledger::inventory {

namespace {

namespace fs = std::filesystem;

std::string reason(int error) {
    return std::generic_category().message(error);
}

fs::path folderOf(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

// A foreign database is somebody's data, too.
bool isDatabase(const fs::path& path) {
    constexpr std::string_view magic("SQLite format 3\0", 16);
    return firstBytes(path, magic.size()) == magic;
}

bool isLogOfDatabase(const fs::path& path) {
    const std::string name = path.string();
    for (const std::string_view ending : {"-wal", "-shm", "-journal"}) {
        if (name.size() > ending.size() && name.substr(name.size() - ending.size()) == ending &&
            isDatabase(name.substr(0, name.size() - ending.size())))
            return true;
    }
    return false;
}

/// True if something stands there that commit() may replace.
bool checkTarget(const OutputTarget& target, const std::string& noun,
                 const std::function<bool(const fs::path&)>& is_former) {
    const fs::path& path = target.path;
    const std::string name = path.string();
    std::error_code error;
    refuseServer(path, "where no file is written: name a path for the " + noun);
    if (path.filename().empty()) throw InputError("'" + name + "' names no file for the " + noun);
    if (!fs::is_directory(folderOf(path), error))
        throw InputError("there is no folder " + folderOf(path).string() + " for the " + noun);
    if (isLogOfDatabase(path))
        throw InputError(name + " belongs to a shop file: give the " + noun + " another name");
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(fs::symlink_status(path, error))) return target.replace_anything;
    if (fs::is_directory(status)) throw InputError(name + " is a folder: give the " + noun + " another name");
    if (fs::exists(status) && !fs::is_regular_file(status))
        throw InputError(name + " is no ordinary file: give the " + noun + " another name");
    if (isDatabase(path))
        throw InputError(name + " is a shop file or another database: give the " + noun + " another name");
    if (target.replace_anything || (is_former && is_former(path))) return true;
    throw InputError(name + " exists already" + (is_former ? " and is no " + noun + " of this program" : "") +
                     ": give the " + noun + " a name that is free" + (is_former ? ", or say --force" : ""));
}

/// Makes the file where nothing is, with the mode of what it will replace.
fs::path makeTemporary(const fs::path& target, const std::string& noun) {
    static constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789";
    std::random_device random;
    for (int tries = 0; tries < 100; ++tries) {
        std::string name = ".shimledger-";
        for (int i = 0; i < 10; ++i) name += letters[random() % letters.size()];
        fs::path path = folderOf(target) / name;
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg)
        const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
        if (file < 0 && errno == EEXIST) continue;
        if (file < 0)
            throw FileFault("the " + noun + " " + target.string() + " cannot be written: " + reason(errno));
        struct stat before {};
        if (::stat(target.c_str(), &before) == 0) {
            ::fchmod(file, before.st_mode & 07777);
            if (::fchown(file, before.st_uid, before.st_gid) != 0) errno = 0; // only root may give files away
        }
        ::close(file);
        return path;
    }
    throw FileFault("the " + noun + " " + target.string() + " cannot be written: no free name beside it");
}

void sync(const fs::path& path, int flags, const std::string& what) {
    const int file = ::open(path.c_str(), flags | O_CLOEXEC); // NOLINT(cppcoreguidelines-pro-type-vararg)
    if (file < 0) throw FileFault(what + " cannot be written: " + reason(errno));
    const int failed = ::fsync(file) != 0 ? errno : 0;
    ::close(file);
    // EINVAL: a file system that knows no sync of folders
    if (failed != 0 && failed != EINVAL) throw FileFault(what + " cannot be written: " + reason(failed));
}

/// 0, or the error. Never replaces anything.
int renameToFree(const fs::path& from, const fs::path& to) {
    if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return 0;
    if (errno != EINVAL && errno != ENOSYS) return errno;
    // A file system without that: a second name is refused where the name is taken, too.
    if (::link(from.c_str(), to.c_str()) != 0) return errno;
    ::unlink(from.c_str());
    return 0;
}

} // namespace

void takeReaders(const fs::path& secret, const fs::path& file) {
    std::error_code error;
    // What a server lets be read is not for everybody on this computer.
    const fs::perms allowed =
        isServerAddress(secret) ? fs::perms::none : fs::status(secret, error).permissions();
    if (error) return;
    const fs::perms taken = (fs::perms::group_all | fs::perms::others_all) & ~allowed;
    fs::permissions(file, taken, fs::perm_options::remove, error);
}

void makeOutputFolder(const fs::path& folder) {
    std::error_code error;
    fs::path path = folder.lexically_normal();
    if (!path.has_filename()) path = path.parent_path(); // "name/"
    const std::string name = folder.string();
    refuseServer(folder, "where no file is written: name a folder");
    if (isLogOfDatabase(path))
        throw InputError(name + " belongs to a shop file: give the folder another name");
    const fs::file_status status = fs::status(path, error);
    if (fs::exists(status)) {
        if (!fs::is_directory(status) || !fs::is_empty(path, error))
            throw InputError(name + " is not an empty folder: name one that is new or empty");
        return;
    }
    if (fs::is_symlink(fs::symlink_status(path, error)))
        throw InputError(name + " is a link that leads nowhere: name a folder that is new or empty");
    if (!fs::is_directory(folderOf(path), error))
        throw InputError("there is no folder " + folderOf(path).string() + " to make the folder " + name +
                         " in");
    error.clear();
    if (!fs::create_directory(path, error))
        throw FileFault("the folder " + name + " cannot be made: " + error.message());
}

OutputFile::OutputFile(const OutputTarget& target, std::string_view noun,
                       const std::function<bool(const fs::path&)>& is_former)
    : m_target(target.path), m_noun(noun), m_may_replace(checkTarget(target, m_noun, is_former)),
      m_temporary(makeTemporary(m_target, m_noun)) {}

OutputFile::~OutputFile() {
    if (m_temporary.empty()) return;
    std::error_code ignored;
    fs::remove(m_temporary, ignored);
}

void OutputFile::write(const std::function<void(std::ostream&)>& content) const {
    std::ofstream out(m_temporary, std::ios::binary | std::ios::trunc);
    if (out) content(out);
    out.close();
    if (out) return;
    throw FileFault("the " + m_noun + " " + m_target.string() +
                    " cannot be written: is the disk full or the folder read-only?");
}

void OutputFile::commit() {
    const std::string what = "the " + m_noun + " " + m_target.string();
    sync(m_temporary, O_RDONLY, what);
    int failed = 0;
    if (m_may_replace) {
        failed = ::rename(m_temporary.c_str(), m_target.c_str()) != 0 ? errno : 0;
    } else {
        failed = renameToFree(m_temporary, m_target);
        if (failed == EEXIST)
            throw InputError(m_target.string() + " exists already: give the " + m_noun +
                             " a name that is free");
    }
    if (failed != 0) throw FileFault(what + " cannot be given its name: " + reason(failed));
    m_temporary.clear();
    sync(folderOf(m_target), O_RDONLY | O_DIRECTORY, what);
}

} // namespace shimledger::inventory
