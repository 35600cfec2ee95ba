// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/start_report.h"

#include "app/desk/guard.h"

#include <QAbstractEventDispatcher>
#include <QCoreApplication>
#include <QEvent>
#include <QWidget>

#include <cstdio>

namespace shimledger::desk {

namespace {

constexpr int look_again_ms = 5; // what runs in the background may end without an event of its own

void say(const char* word) {
    std::puts(word);
    std::fflush(stdout);
}

} // namespace

StartReport::StartReport(QWidget& window, std::function<bool()> busy) : m_busy(std::move(busy)) {
    m_again.setSingleShot(true);
    window.installEventFilter(this);
    guarded(QAbstractEventDispatcher::instance(), &QAbstractEventDispatcher::aboutToBlock, this,
            &StartReport::idle);
}

bool StartReport::eventFilter(QObject* watched, QEvent* event) {
    m_painted = m_painted || event->type() == QEvent::Paint;
    return QObject::eventFilter(watched, event);
}

void StartReport::idle() {
    if (!m_painted) {
        return;
    }
    if (!m_usable) {
        m_usable = true;
        say("usable");
    }
    if (m_busy()) {
        m_again.start(look_again_ms);
        return;
    }
    say("settled");
    disconnect(QAbstractEventDispatcher::instance(), nullptr, this, nullptr);
    QCoreApplication::quit();
}

} // namespace shimledger::desk
