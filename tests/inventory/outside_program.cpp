// SPDX-License-Identifier: GPL-3.0-or-later
// usage: outside_program book|count|index SHOP.db
// Another program on a shop file, for tests: a fork of the test would share what SQLite knows of the parent's
// locks. Books one delivery, or says by its exit code how many movements it sees, or 0 where the index of the
// log may not be cut short as somebody has it mapped (byte 128, UNIX_SHM_DMS of SQLite's os_unix.c).
#include "support.h"

#include "inventory/stock_verify.h"

#include <fcntl.h>

#include <string>
#include <string_view>

using namespace shimledger::inventory;

int main(int count, char** arguments) {
    if (count != 3) return 97;
    if (std::string_view(arguments[1]) == "index") {
        const int file = ::open((std::string(arguments[2]) + "-shm").c_str(), O_RDWR);
        struct flock asked {};
        asked.l_type = F_WRLCK;
        asked.l_whence = SEEK_SET;
        asked.l_start = 128;
        asked.l_len = 1;
        return file >= 0 && ::fcntl(file, F_GETLK, &asked) == 0 && asked.l_type != F_UNLCK ? 0 : 1;
    }
    try {
        if (std::string_view(arguments[1]) == "count")
            return static_cast<int>(verifyStock(ShopFile::openReadOnly(arguments[2])).movements);
        ShopFile shop = ShopFile::open(arguments[2], fixedClock(test_time));
        StockLedger(shop).post({movement(MovementKind::receipt, "S24-15", "A2", 1)});
        return 0;
    } catch (const std::exception&) {
        return 98;
    }
}
