// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/server_copy.h"

#include "inventory/output_file.h"
#include "inventory/shop_file.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/table_copy.h"
#include "inventory/storage/transaction.h"

#include <sys/stat.h>

namespace shimledger::inventory {

namespace {

/// What SQLite keeps beside a copy that it could not close in order.
class NothingLeft {
public:
    explicit NothingLeft(std::filesystem::path path) : m_path(std::move(path)) {}
    ~NothingLeft() {
        std::error_code ignored;
        for (const char* suffix : {"-journal", "-wal", "-shm"})
            std::filesystem::remove(m_path.string() + suffix, ignored);
    }
    NothingLeft(const NothingLeft&) = delete;
    NothingLeft& operator=(const NothingLeft&) = delete;

private:
    std::filesystem::path m_path;
};

} // namespace

void copyServerShop(ServerConnection& source, const std::filesystem::path& path,
                    std::span<const Migration> migrations) {
    const auto steps = stepsUpTo(migrations, source.schemaNumber());
    OutputFile copy(path, "backup");
    const NothingLeft nothing_left(copy.temporary());
    std::filesystem::remove(copy.temporary()); // a shop file is made where nothing is
    {
        const auto target = createShopFile(copy.temporary(), source.clock(), steps);
        ::chmod(copy.temporary().c_str(), S_IRUSR | S_IWUSR); // before anything is in it
        const ReadTransaction one_state(source);
        WriteTransaction arriving(*target);
        copyTables(source, *target, tableNames(steps));
        arriving.commit();
        target->settle();
    }
    static_cast<void>(openShopFile(copy.temporary(), Access::readOnly, source.clock(), steps));
    copy.commit();
}

} // namespace shimledger::inventory
