// usage: outside_program book|count SHOP.db
// Another program on a shop file, for tests: a fork of the test would share what SQLite knows of the parent's
// locks. Books one delivery, or says by its exit code how many movements it sees.
#include "support.h"

#include "inventory/stock_verify.h"

#include <string_view>

using namespace shimledger::inventory;

int main(int count, char** arguments) {
    if (count != 3) return 97;
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
