// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <memory>
#include <string>

namespace shimledger::inventory {

/// Tells that somebody, whoever, has written to an open shop: cheap enough to ask several times a second. A
/// file is looked at from outside; a server tells it by itself, on a connection of its own and a thread of
/// its own, so that asking never waits for a server that does not answer.
class ShopWatch {
public:
    explicit ShopWatch(ShopFile& shop); ///< `shop` must outlive the watch
    ~ShopWatch();
    ShopWatch(const ShopWatch&) = delete;
    ShopWatch& operator=(const ShopWatch&) = delete;

    /// A text that is another one after something was written. Throws ShopFileFault while the disk or the
    /// server does not answer.
    [[nodiscard]] std::string stamp();

private:
    class Listener;
    ShopFile& m_shop;
    std::unique_ptr<Listener> m_listener; // of a server
};

} // namespace shimledger::inventory
