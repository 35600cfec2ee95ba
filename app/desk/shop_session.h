// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "inventory/shop_file.h"
#endif

#include "app/desk/background_run.h"

#include <QDateTime>
#include <QObject>
#include <QTimer>

#include <filesystem>
#include <memory>

namespace shimledger::desk {

/// The one open shop file of a window, and a watch on it: what any program writes to the file is noticed
/// within a second. Work off the window's thread opens its own ShopFile from path().
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
    void failed(const QString& sentence); ///< the file does not answer any more

private:
    /// What can be seen of a file from outside: cheap enough to look at several times a second.
    struct Stamp {
        qint64 file_size = -1;
        qint64 log_size = -1;
        QDateTime file_time;
        QDateTime log_time;
        std::int64_t revision = -1;
        bool operator==(const Stamp&) const = default;
    };
    [[nodiscard]] static Stamp stampOf(inventory::ShopFile& shop);
    void take(std::unique_ptr<inventory::ShopFile> shop);
    void look();
    void tellDangers();    ///< says that a drive is a network's
    void makeDaysBackup(); ///< off the window's thread: copying a large file takes its time

    std::unique_ptr<inventory::ShopFile> m_shop;
    QTimer m_watch;
    BackgroundRun m_backup;
    Stamp m_last;
    bool m_answers_not = false; ///< the last look failed, and that has been told
};

} // namespace shimledger::desk
