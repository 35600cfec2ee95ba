// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/background_run.h"

#include "app/desk/guard.h"

#include <QGuiApplication>
#include <QWindow>

#include <algorithm>
#include <exception>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr int look_again_ms = 2;
constexpr int looks_at_most = 100; // a window on another desktop may not come for hours

/// A window is on its way to the screen: what works beside it would only keep it waiting.
bool windowComing() {
    const QWindowList windows = QGuiApplication::topLevelWindows();
    return std::any_of(windows.begin(), windows.end(), [](const QWindow* window) {
        return window->isVisible() && !window->isExposed() && window->windowState() != Qt::WindowMinimized;
    });
}

} // namespace

BackgroundRun::BackgroundRun(QObject* parent) : QObject(parent) {
    m_when_idle.setSingleShot(true);
    guarded(&m_when_idle, &QTimer::timeout, this, &BackgroundRun::idleTurn);
    guarded(this, &BackgroundRun::brought, this, &BackgroundRun::finish, Qt::QueuedConnection);
    guarded(
        this, &BackgroundRun::reported, this,
        [this](quint64 tag, const QString& sentence) {
            if (tag == m_newest && m_running) {
                emit progressed(sentence);
            }
        },
        Qt::QueuedConnection);
}

BackgroundRun::~BackgroundRun() {
    for (Thread& thread : m_threads) {
        thread.thread.request_stop();
    }
    m_threads.clear(); // joins; what was queued for this object goes with it
}

quint64 BackgroundRun::takeTurn() {
    for (Thread& thread : m_threads) {
        thread.thread.request_stop();
    }
    m_running = true;
    return ++m_newest;
}

void BackgroundRun::start(RunWork work) {
    launch(takeTurn(), std::move(work));
    emit started();
}

void BackgroundRun::startWhenIdle(RunWork work) {
    m_waiting_tag = takeTurn();
    m_waiting = std::move(work);
    m_turns = 0;
    m_looks = 0;
    m_when_idle.start(0);
    emit started();
}

/// Once a window is on the screen, what it had put off until then has been done by the second turn.
void BackgroundRun::idleTurn() {
    if (m_looks < looks_at_most && windowComing()) {
        ++m_looks;
        m_when_idle.start(look_again_ms);
        return;
    }
    if (++m_turns < 2) {
        m_when_idle.start(0);
        return;
    }
    RunWork work = std::exchange(m_waiting, {});
    if (m_running && m_waiting_tag == m_newest) {
        launch(m_waiting_tag, std::move(work));
    }
}

void BackgroundRun::launch(quint64 tag, RunWork work) {
    auto body = [this, tag, work = std::move(work)](const std::stop_token& stop) {
        const auto report = [this, tag](const QString& sentence) {
            emit reported(tag, sentence, QPrivateSignal());
        };
        RunDelivery delivery;
        try {
            delivery = work({stop, report});
        } catch (...) { // told where the delivery would have been made
            delivery = [thrown = std::current_exception()] { std::rethrow_exception(thrown); };
        }
        emit brought(tag, delivery, QPrivateSignal());
    };
    try {
        m_threads.push_back({tag, std::jthread(std::move(body))});
    } catch (...) { // the system gives no thread
        const auto refused = [thrown = std::current_exception()] { std::rethrow_exception(thrown); };
        emit brought(tag, refused, QPrivateSignal());
    }
}

void BackgroundRun::cancel() {
    if (!m_running) {
        return;
    }
    for (Thread& thread : m_threads) {
        thread.thread.request_stop();
    }
    ++m_newest; // whatever it still brings is nobody's
    m_running = false;
    emit finished();
}

void BackgroundRun::finish(quint64 tag, const RunDelivery& delivery) {
    m_threads.remove_if([tag](const Thread& thread) { return thread.tag == tag; });
    if (tag != m_newest) {
        return;
    }
    m_running = false;
    try {
        if (delivery) delivery();
    } catch (...) {
        const Problem problem = problemIn(std::current_exception());
        if (problem.kind == Problem::Kind::bug) {
            tellProblem(this, problem); // louder than beside the field that it was about
        }
        emit failed(problem.sentence);
    }
    emit finished();
}

} // namespace shimledger::desk
