// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_backup.h"

#include "inventory/inventory_error.h"
#include "inventory/shop_address.h"
#include "inventory/storage/file_copy.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/server_copy.h"
#include "inventory/storage/shared_file_lock.h"

#include <algorithm>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

namespace shimledger::inventory {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view no_backup =
    "and a backup is a file: name a path for it, or go back to a server by 'shimledger move FILE ADDRESS'";
constexpr std::string_view no_restore =
    "and only files are put back in their place: a backup of a server comes back by pg_restore, a shop file "
    "goes to a server by 'shimledger move FILE ADDRESS'";

// "shop-" + a day + ".db": nothing else in the folder is ever removed.
bool isDaily(const std::string& name, const std::string& stem) {
    const std::string pattern = stem + "-####-##-##.db";
    if (name.size() != pattern.size()) return false;
    for (std::size_t i = 0; i < name.size(); ++i) {
        const bool digit_wanted = i > stem.size() && pattern[i] == '#';
        if (digit_wanted ? (name[i] < '0' || name[i] > '9') : name[i] != pattern[i]) return false;
    }
    return true;
}

void removeOldest(const fs::path& folder, const std::string& stem, const std::string& newest, int keep) {
    std::vector<std::string> names;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        const std::string name = entry.path().filename().string();
        if (name != newest && isDaily(name, stem)) names.push_back(name);
    }
    std::sort(names.begin(), names.end(), std::greater<>());
    std::error_code ignored; // one that cannot be removed today is tried again tomorrow
    for (std::size_t i = static_cast<std::size_t>(keep) - 1; i < names.size(); ++i)
        fs::remove(folder / names[i], ignored);
}

fs::path freeName(const fs::path& path, const std::string& ending) {
    std::error_code error;
    fs::path name = path.string() + ending;
    for (int number = 2; fs::exists(fs::symlink_status(name, error)); ++number)
        name = path.string() + ending + "-" + std::to_string(number);
    return name;
}

/// Files that change their names one after the other; all get their old ones back unless keep() is called.
class Renames {
public:
    Renames() = default;
    ~Renames() {
        std::error_code ignored;
        for (auto done = m_done.rbegin(); done != m_done.rend(); ++done)
            fs::rename(done->second, done->first, ignored);
    }
    Renames(const Renames&) = delete;
    Renames& operator=(const Renames&) = delete;

    void rename(const fs::path& from, const fs::path& to) {
        std::error_code error;
        fs::rename(from, to, error);
        if (error) {
            throw ShopFileFault(from.string() + " cannot be given the name " + to.string() + ": " +
                                error.message() + ", so everything stays as it was");
        }
        m_done.emplace_back(from, to);
    }
    void keep() { m_done.clear(); }

private:
    std::vector<std::pair<fs::path, fs::path>> m_done;
};

/// Whoever only reads a file in WAL mode makes an empty log and its index beside it, and may not take them
/// away.
class LeftAsItWas {
public:
    explicit LeftAsItWas(const fs::path& file) : m_file(file), m_alone(!fs::exists(file.string() + "-wal")) {}
    ~LeftAsItWas() {
        std::error_code error;
        const fs::path log = m_file.string() + "-wal";
        if (!m_alone || !fs::exists(log, error) || fs::file_size(log, error) > 0 || isInUse(m_file)) return;
        fs::remove(log, error);
        fs::remove(m_file.string() + "-shm", error);
    }
    LeftAsItWas(const LeftAsItWas&) = delete;
    LeftAsItWas& operator=(const LeftAsItWas&) = delete;

private:
    fs::path m_file;
    bool m_alone;
};

} // namespace

void backupShopFile(const ShopFile& shop, const fs::path& path) {
    refuseServer(path, no_backup);
    if (ServerConnection* server = asServer(shop.connection())) {
        copyServerShop(*server, path, shopMigrations());
        return;
    }
    copyShopFile(fileBehind(shop.connection()), path, shopMigrations());
}

std::optional<fs::path> backupDaily(const ShopFile& shop, int keep) {
    if (keep < 1) throw InputError("at least one daily backup is kept, not " + std::to_string(keep));
    if (isServerAddress(shop.path())) return std::nullopt; // backed up by those who look after the server
    const fs::path folder = backupFolderOf(shop.path());
    const std::string stem = shop.path().stem().string();
    const std::string name = stem + "-" + shop.now().text().substr(0, 10) + ".db";
    std::error_code error;
    if (fs::exists(folder / name, error)) return std::nullopt;
    fs::create_directory(folder, error);
    if (!fs::is_directory(folder)) {
        throw ShopFileFault("the folder of the backups, " + folder.string() + ", cannot be made" +
                            (error ? ": " + error.message() : ": a file has that name"));
    }
    try {
        backupShopFile(shop, folder / name);
    } catch (const InputError&) {
        if (fs::exists(folder / name, error)) return std::nullopt; // another program was quicker
        throw;
    }
    removeOldest(folder, stem, name, keep);
    return folder / name;
}

std::optional<fs::path> restoreShopFile(const fs::path& backup, const fs::path& path) {
    for (const fs::path& place : {backup, path}) refuseServer(place, no_restore);
    std::error_code error;
    if (fs::is_directory(path, error))
        throw InputError(path.string() +
                         " is a folder: name the shop file that the backup takes the place of");
    const LeftAsItWas nothing_beside_it(backup);
    // Whatever schema it has: it is brought up to date when it is opened from its new place.
    const auto source = openBackup(backup, systemClock(), shopMigrations());
    const bool is_there = fs::exists(path, error);
    if (is_there && isInUse(path)) {
        throw InputError("a program has " + path.string() +
                         " open: close it first, or what it is writing would be lost");
    }
    const fs::path fresh = freeName(path, ".restoring");
    copyShopFile(*source, fresh, shopMigrations());
    if (is_there) takeOwnerAndMode(path, fresh);
    std::optional<fs::path> replaced;
    try {
        Renames renames;
        // The file goes before its log: at no moment does the one stand there without the other. And the log
        // goes with its file: left behind, it would be written into the restored one.
        const fs::path aside = freeName(path, ".replaced");
        if (is_there) {
            renames.rename(path, aside);
            replaced = aside;
        }
        for (const char* suffix : {"-wal", "-shm"}) {
            const fs::path beside = path.string() + suffix;
            if (fs::exists(beside, error)) renames.rename(beside, aside.string() + suffix);
        }
        renames.rename(fresh, path);
        renames.keep();
    } catch (...) {
        fs::remove(fresh, error);
        throw;
    }
    return replaced;
}

} // namespace shimledger::inventory
