// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_watch.h"

#include "inventory/shop_address.h"
#include "inventory/stock_ledger.h"
#include "inventory/storage/postgres/server_watch.h"

#include <system_error>

namespace shimledger::inventory {

namespace {

std::string ofFile(const std::filesystem::path& path) {
    std::error_code error;
    const std::uintmax_t size = std::filesystem::file_size(path, error);
    if (error) return "none";
    const auto time = std::filesystem::last_write_time(path, error).time_since_epoch().count();
    return std::to_string(size) + " " + std::to_string(time);
}

} // namespace

class ShopWatch::Listener : public ServerWatch {
    using ServerWatch::ServerWatch;
};

ShopWatch::ShopWatch(ShopFile& shop) : m_shop(shop) {
    if (isServerAddress(shop.path())) m_listener = std::make_unique<Listener>(shop.path());
}

ShopWatch::~ShopWatch() = default;

std::string ShopWatch::stamp() {
    if (m_listener) return std::to_string(m_listener->changes());
    // What has been committed last stands in the write-ahead log until a checkpoint.
    return ofFile(m_shop.path()) + ", " + ofFile(m_shop.path().string() + "-wal") + ", " +
           std::to_string(StockLedger(m_shop).revision());
}

} // namespace shimledger::inventory
