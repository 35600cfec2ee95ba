// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/shop_session.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "inventory/drive_check.h"
#include "inventory/shop_backup.h"

#include <stdexcept>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr int watch_interval_ms = 400; // so that a change shows within a second

} // namespace

ShopSession::ShopSession(QObject* parent) : QObject(parent) {
    m_watch.setInterval(watch_interval_ms);
    guarded(&m_watch, &QTimer::timeout, this, &ShopSession::look);
    guarded(&m_backup, &BackgroundRun::failed, this, [this](const QString& problem) {
        emit failed(tr("Today's backup was not made: %1").arg(problem));
    });
}

void ShopSession::open(const std::filesystem::path& path) {
    take(std::make_unique<inventory::ShopFile>(inventory::ShopFile::openAsAllowed(path)));
    tellDangers();
    if (!m_shop->readOnly()) makeDaysBackup();
}

void ShopSession::tellDangers() {
    if (const auto warning = inventory::driveWarning(m_shop->path())) {
        emit failed(QString::fromStdString(*warning));
    }
    if (m_shop->readOnly()) {
        emit failed(
            tr("%1 may not be written here: it is open for reading only.").arg(pathText(m_shop->path())));
    }
}

void ShopSession::makeDaysBackup() {
    m_backup.startWhenIdle([path = m_shop->path()](const RunControl& /*control*/) -> RunDelivery {
        static_cast<void>(inventory::backupDaily(inventory::ShopFile::openReadOnly(path)));
        return {};
    });
}

void ShopSession::create(const std::filesystem::path& path) {
    take(std::make_unique<inventory::ShopFile>(inventory::ShopFile::create(path)));
}

void ShopSession::take(std::unique_ptr<inventory::ShopFile> shop) {
    auto others = std::make_unique<inventory::ShopWatch>(*shop);
    m_last = others->stamp(); // a file that cannot be read does not take the place of the one that is open
    m_others = std::move(others); // before the shop that it watches
    m_shop = std::move(shop);
    m_watch.start();
    emit opened();
}

inventory::ShopFile& ShopSession::shop() const {
    if (!m_shop) {
        throw std::logic_error("no shop file is open");
    }
    return *m_shop;
}

std::filesystem::path ShopSession::path() const {
    return m_shop ? m_shop->path() : std::filesystem::path();
}

void ShopSession::announceChange() {
    // What is announced has been booked: that it cannot be read again is another sentence than a refusal.
    guard(this, [this] { m_last = watch().stamp(); });
    emit changed();
}

inventory::ShopWatch& ShopSession::watch() const {
    if (!m_others) {
        throw std::logic_error("no shop file is open");
    }
    return *m_others;
}

/// A disk or a server that does not answer is looked at again: it may be well the next time. It is told once.
void ShopSession::look() {
    std::string now;
    if (const auto problem = problemOf([&] { now = watch().stamp(); })) {
        if (!m_answers_not) emit failed(*problem);
        m_answers_not = true;
        return;
    }
    const bool again = std::exchange(m_answers_not, false);
    if (now == m_last && !again) {
        return;
    }
    m_last = now;
    if (again) emit answersAgain();
    emit changed();
}

} // namespace shimledger::desk
