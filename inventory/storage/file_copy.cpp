// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/file_copy.h"

#include "inventory/inventory_error.h"
#include "inventory/output_file.h"
#include "inventory/storage/open_shop_file.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

namespace shimledger::inventory {

namespace {

// What SQLite keeps beside a copy that it could not close in order.
class NothingBeside {
public:
    explicit NothingBeside(std::filesystem::path path) : m_path(std::move(path)) {}
    ~NothingBeside() {
        std::error_code ignored;
        for (const char* suffix : {"-journal", "-wal", "-shm"})
            std::filesystem::remove(m_path.string() + suffix, ignored);
    }
    NothingBeside(const NothingBeside&) = delete;
    NothingBeside& operator=(const NothingBeside&) = delete;

private:
    std::filesystem::path m_path;
};

/// `path` is the name that the copy will get, and that sentences name.
void copyInto(SqliteConnection& source, const std::filesystem::path& copy,
              const std::filesystem::path& path) {
    try {
        SQLite::Database target(copy.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        SQLite::Backup backup(target, source.database());
        // All pages in one step: one unchanging state, and the source stays open to writers (WAL).
        const int result = backup.executeStep(-1);
        if (result != SQLITE_DONE) {
            throw ShopFileFault("the shop file is in use and could not be copied: try again in a moment");
        }
    } catch (const SQLite::Exception& error) {
        if (error.getErrorCode() == SQLITE_FULL)
            throw ShopFileFault("the disk is full, so there is no backup " + path.string());
        throwTranslated(error, path);
    }
}

} // namespace

void takeOwnerAndMode(const std::filesystem::path& from, const std::filesystem::path& to) {
    struct stat source {};
    if (::stat(from.c_str(), &source) != 0) return; // moved away meanwhile: the mode stays the strictest
    if (::chown(to.c_str(), source.st_uid, source.st_gid) != 0) errno = 0; // only root may give files away
    ::chmod(to.c_str(), source.st_mode & 07777);
}

void copyShopFile(SqliteConnection& source, const std::filesystem::path& path,
                  std::span<const Migration> migrations) {
    OutputFile copy(path, "backup");
    const NothingBeside nothing_beside(copy.temporary());
    ::chmod(copy.temporary().c_str(), S_IRUSR | S_IWUSR); // before anything is in it
    copyInto(source, copy.temporary(), path);
    // Opened as a shop file is, for reading: header, pragmas and pages are looked at; an older one as what it
    // is.
    static_cast<void>(openShopFile(copy.temporary(), Access::readOnly, source.clock(),
                                   stepsUpTo(migrations, schemaNumber(source))));
    takeOwnerAndMode(source.path(), copy.temporary());
    copy.commit();
}

std::filesystem::path backupFolderOf(const std::filesystem::path& shop_file) {
    return shop_file.parent_path() / (shop_file.stem().string() + "-backups");
}

std::filesystem::path copyBeforeMigration(SqliteConnection& source, std::span<const Migration> migrations) {
    const std::filesystem::path folder = backupFolderOf(source.path());
    std::error_code error;
    std::filesystem::create_directory(folder, error);
    const std::string stem =
        source.path().stem().string() + "-before-schema-" + std::to_string(migrations.back().number);
    for (int number = 1;; ++number) {
        auto path = folder / (stem + (number == 1 ? "" : "-" + std::to_string(number)) + ".db");
        if (std::filesystem::exists(path, error)) continue;
        try {
            copyShopFile(source, path, migrations);
        } catch (const std::runtime_error& fault) {
            throw ShopFileFault(
                "the shop file " + source.path().string() +
                " is of an older version and was left as it is, because no backup of it could be "
                "made first: " +
                fault.what());
        }
        return path;
    }
}

} // namespace shimledger::inventory
