// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QString>
#include <QTimer>

#include <functional>
#include <list>
#include <stop_token>
#include <thread>

namespace shimledger::desk {

/// Long work off the window's thread. Each start gets a tag; only the newest run may report or deliver, what
/// an older one still brings is dropped. Starting or cancelling asks the older run to stop and does not wait
/// for it; the destructor waits. What work or delivery throws ends in failed(), and nowhere else; a bug is
/// told by the window too.
///
/// Use: m_run.start([=](const RunControl& control) -> RunDelivery {
///          auto answer = longWork(control.stop);           // worker thread: own data, own ShopFile
///          return [=] { show(answer); };                   // window's thread, if still the newest
///      });
struct RunControl {
    std::stop_token stop;
    std::function<void(const QString&)> report; ///< a sentence on how far it is; any thread, any time
};
using RunDelivery = std::function<void()>;
using RunWork = std::function<RunDelivery(const RunControl&)>;

class BackgroundRun : public QObject {
    Q_OBJECT

public:
    explicit BackgroundRun(QObject* parent = nullptr);
    ~BackgroundRun() override;

    void start(RunWork work);
    /// As start, but the work begins once the window is painted and has nothing to do, or after a fifth of a
    /// second if none comes to the screen: for what it can be painted without.
    void startWhenIdle(RunWork work);
    void cancel(); ///< asks to stop and drops the delivery; `finished` comes at once
    [[nodiscard]] bool running() const { return m_running; }

signals:
    void started();
    void progressed(const QString& sentence);
    void failed(const QString& sentence); ///< what work or delivery threw, as a sentence
    void finished();                      ///< delivered, failed or cancelled
    /// From the worker thread to the window's; for this class alone.
    void reported(quint64 tag, const QString& sentence, QPrivateSignal);
    void brought(quint64 tag, const RunDelivery& delivery, QPrivateSignal);

private:
    struct Thread {
        quint64 tag = 0;
        std::jthread thread;
    };
    [[nodiscard]] quint64 takeTurn(); ///< asks older runs to stop; the tag of the new one
    void launch(quint64 tag, RunWork work);
    void idleTurn();
    void finish(quint64 tag, const RunDelivery& delivery);

    std::list<Thread> m_threads; ///< the newest last; older ones are on their way out
    QTimer m_when_idle;          ///< fires while work waits for it
    RunWork m_waiting;
    quint64 m_waiting_tag = 0;
    int m_turns = 0; ///< of the event loop with no window on its way
    int m_looks = 0; ///< that found one on its way
    quint64 m_newest = 0;
    bool m_running = false;
};

} // namespace shimledger::desk
