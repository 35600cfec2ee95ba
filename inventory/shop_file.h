// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"

#include <filesystem>
#include <functional>
#include <memory>

namespace shimledger::inventory {

class ShopConnection; // the SQLite side, see storage/shop_connection.h

/// An open shop: one connection to one SQLite file, or to a database on a server where the path is an address
/// (shop_address.h); who uses it need not know which. Not for sharing between threads; open one per
/// thread. Several programs may have the same file open; a writer waits up to 15 s for its turn, and then
/// gets a ShopFileFault that says so.
///
/// Opening throws InputError when there is no file, when the file is no shop file, or when a newer version of
/// the program has written it; the file is left as it was, byte for byte. It throws ShopFileFault when
/// the file is damaged or the disk, or the server, does not answer. What is committed is on the disk (WAL,
/// synchronous FULL; on a server its own).
class ShopFile {
public:
    /// Makes a new, empty shop; throws InputError when anything exists at that path.
    [[nodiscard]] static ShopFile create(const std::filesystem::path& path, WallClock clock = systemClock());
    /// Opens for reading and writing, and brings an older schema up to date, after a backup of
    /// the older file (shop_backup.h).
    [[nodiscard]] static ShopFile open(const std::filesystem::path& path, WallClock clock = systemClock());
    /// Opens for reading; an older schema is refused, as it would have to be changed first.
    [[nodiscard]] static ShopFile openReadOnly(const std::filesystem::path& path,
                                               WallClock clock = systemClock());

    /// For writing where this user may write the file and beside it, else for reading (readOnly() tells): a
    /// shop on a medium that cannot be written can still be looked at.
    [[nodiscard]] static ShopFile openAsAllowed(const std::filesystem::path& path,
                                                WallClock clock = systemClock());

    ShopFile(ShopFile&&) noexcept;
    ShopFile& operator=(ShopFile&&) noexcept;
    ~ShopFile();

    [[nodiscard]] const std::filesystem::path& path() const; ///< or address
    [[nodiscard]] bool readOnly() const;
    [[nodiscard]] int schemaVersion() const;
    [[nodiscard]] UtcTime now() const; ///< by the clock that was handed in

    /// Does all of `work` in one write transaction, or nothing of it: an exception rolls everything back and
    /// goes on to the caller. May be nested. Each writing call of this layer is atomic by itself already;
    /// use this to bind several (store the build stack and reserve its discs).
    void atomically(const std::function<void()>& work);
    /// Reads one unchanging state of the shop throughout `work`, whatever other programs post meanwhile.
    void consistently(const std::function<void()>& work) const;

    [[nodiscard]] ShopConnection& connection() const; ///< for the classes of this layer only

private:
    explicit ShopFile(std::unique_ptr<ShopConnection> connection);
    std::unique_ptr<ShopConnection> m_connection;
};

/// Takes a shop file away, with what SQLite keeps beside it: for one that was made a moment ago and did not
/// come to anything. Nobody may have it open.
void removeShopFile(const std::filesystem::path& path);

} // namespace shimledger::inventory
