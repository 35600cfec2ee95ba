#include "app/desk/background_run.h"

#include <QMetaObject>

#include <exception>
#include <stdexcept>

namespace shimledger::desk {

BackgroundRun::BackgroundRun(QObject* parent) : QObject(parent) {}

BackgroundRun::~BackgroundRun() {
    for (Thread& thread : m_threads) {
        thread.thread.request_stop();
    }
    m_threads.clear(); // joins; what was queued for this object goes with it
}

void BackgroundRun::start(RunWork work) {
    for (Thread& thread : m_threads) {
        thread.thread.request_stop();
    }
    const std::uint64_t tag = ++m_newest;
    m_running = true;
    auto body = [this, tag, work = std::move(work)](const std::stop_token& stop) {
        const auto report = [this, tag](const QString& sentence) {
            QMetaObject::invokeMethod(
                this,
                [this, tag, sentence] {
                    if (tag == m_newest && m_running) {
                        emit progressed(sentence);
                    }
                },
                Qt::QueuedConnection);
        };
        RunDelivery delivery;
        QString failure;
        try {
            delivery = work({stop, report});
        } catch (const std::logic_error&) {
            throw; // a bug of ours: stop loudly
        } catch (const std::exception& problem) {
            failure = QString::fromUtf8(problem.what());
        }
        QMetaObject::invokeMethod(
            this, [this, tag, delivery, failure] { finish(tag, delivery, failure); }, Qt::QueuedConnection);
    };
    m_threads.push_back({tag, std::jthread(std::move(body))});
    emit started();
}

void BackgroundRun::cancel() {
    if (!m_running) {
        return;
    }
    m_threads.back().thread.request_stop();
    ++m_newest; // whatever it still brings is nobody's
    m_running = false;
    emit finished();
}

void BackgroundRun::finish(std::uint64_t tag, const RunDelivery& delivery, const QString& failure) {
    m_threads.remove_if([tag](const Thread& thread) { return thread.tag == tag; });
    if (tag != m_newest) {
        return;
    }
    m_running = false;
    if (!failure.isEmpty()) {
        emit failed(failure);
    } else if (delivery) {
        delivery();
    }
    emit finished();
}

} // namespace shimledger::desk
