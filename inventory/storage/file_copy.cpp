#include "inventory/storage/file_copy.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/open_shop_file.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/Exception.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <string>
#include <system_error>

namespace shimledger::inventory {

namespace {

// Removes the half-made copy and what SQLite keeps beside it, unless it got its name.
class TemporaryCopy {
public:
    explicit TemporaryCopy(std::filesystem::path path) : m_path(std::move(path)) {}
    ~TemporaryCopy() {
        std::error_code ignored;
        for (const char* suffix : {"", "-journal", "-wal", "-shm"}) {
            std::filesystem::remove(m_path.string() + suffix, ignored);
        }
    }
    TemporaryCopy(const TemporaryCopy&) = delete;
    TemporaryCopy& operator=(const TemporaryCopy&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

void copyInto(ShopConnection& source, const std::filesystem::path& copy) {
    try {
        SQLite::Database target(copy.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        SQLite::Backup backup(target, source.database());
        // All pages in one step: one unchanging state, and the source stays open to writers (WAL).
        const int result = backup.executeStep(-1);
        if (result != SQLITE_DONE) {
            throw ShopFileFault("the shop file is in use and could not be copied: try again in a moment");
        }
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, copy);
    }
}

// The name is given without replacing anything: link() fails where the name is taken, rename() would not.
void giveName(const std::filesystem::path& copy, const std::filesystem::path& path) {
    std::error_code error;
    std::filesystem::create_hard_link(copy, path, error);
    if (!error) return;
    if (std::filesystem::exists(path)) {
        throw InputError(path.string() + " exists already: give the backup a name that is free");
    }
    std::filesystem::rename(copy, path, error); // file systems without links
    if (error) throw ShopFileFault("the backup " + path.string() + " cannot be written: " + error.message());
}

void syncToDisk(const std::filesystem::path& path, int flags) {
    const int file = ::open(path.c_str(), flags); // NOLINT(cppcoreguidelines-pro-type-vararg)
    if (file < 0) return; // a folder that cannot be opened cannot be synced; the copy itself was
    const int failed = ::fsync(file);
    ::close(file);
    if (failed != 0) throw ShopFileFault("the disk did not take the backup " + path.string());
}

// The steps up to the number that the source has: the copy of an older file is checked as what it is.
std::span<const Migration> upTo(std::span<const Migration> migrations, int number) {
    const auto end = std::find_if(migrations.begin(), migrations.end(),
                                  [&](const Migration& step) { return step.number > number; });
    return migrations.first(static_cast<std::size_t>(end - migrations.begin()));
}

} // namespace

void copyShopFile(ShopConnection& source, const std::filesystem::path& path,
                  std::span<const Migration> migrations) {
    if (std::filesystem::exists(std::filesystem::symlink_status(path))) {
        throw InputError(path.string() + " exists already: give the backup a name that is free");
    }
    const std::filesystem::path folder =
        path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
    if (!std::filesystem::is_directory(folder))
        throw InputError("there is no folder " + folder.string() + " for the backup");
    const TemporaryCopy copy(path.string() + ".part-" + std::to_string(::getpid()));
    copyInto(source, copy.path());
    // Opened as a shop file is, for reading: header, pragmas and pages are looked at.
    static_cast<void>(
        openShopFile(copy.path(), Access::readOnly, source.clock(), upTo(migrations, schemaNumber(source))));
    syncToDisk(copy.path(), O_RDWR);
    giveName(copy.path(), path);
    syncToDisk(folder, O_RDONLY | O_DIRECTORY);
}

std::filesystem::path backupFolderOf(const std::filesystem::path& shop_file) {
    return shop_file.parent_path() / (shop_file.stem().string() + "-backups");
}

std::filesystem::path copyBeforeMigration(ShopConnection& source, std::span<const Migration> migrations) {
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
