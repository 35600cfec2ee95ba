// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "inventory/shop_file.h"
#include "inventory/shop_watch.h"
#endif

#include "app/desk/background_run.h"

#include <QObject>
#include <QTimer>

#include <filesystem>
#include <memory>
#include <string>

namespace shimledger::desk {

/// The one open shop of a window, a file or on a server, and a watch on it: what any program writes to it is
/// noticed within a second. Work off the window's thread opens its own ShopFile from path().
class ShopSession : public QObject {
    Q_OBJECT

public:
    explicit ShopSession(QObject* parent = nullptr);

    /// Throws InputError or ShopFileFault, and then the shop that was open stays open.
    void open(const std::filesystem::path& path);
    /// Makes a new, empty shop file and opens it; the same errors.
    void create(const std::filesystem::path& path);

    [[nodiscard]] bool isOpen() const { return m_shop != nullptr; }
    [[nodiscard]] inventory::ShopFile& shop() const; ///< std::logic_error while none is open
    [[nodiscard]] std::filesystem::path path() const;
    [[nodiscard]] bool busy() const { return m_backup.running(); } ///< making the day's backup

    /// Tells everybody to read again, after a change of our own. Throws nothing: the change has been booked.
    void announceChange();

signals:
    void opened();
    void changed();                       ///< the file has been written to, by us or by another program
    void failed(const QString& sentence); ///< the shop does not answer any more
    void answersAgain();                  ///< after that; all is read again

private:
    [[nodiscard]] inventory::ShopWatch& watch() const; ///< std::logic_error while no shop is open
    void take(std::unique_ptr<inventory::ShopFile> shop);
    void look();
    void tellDangers();    ///< says that a drive is a network's
    void makeDaysBackup(); ///< off the window's thread: copying a large file takes its time

    std::unique_ptr<inventory::ShopFile> m_shop;
    std::unique_ptr<inventory::ShopWatch> m_others; // what they write to it
    QTimer m_watch;
    BackgroundRun m_backup;
    std::string m_last;         // what the watch said
    bool m_answers_not = false; ///< the last look failed, and that has been told
};

} // namespace shimledger::desk
