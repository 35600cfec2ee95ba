// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QTimer>

#include <functional>

class QWidget;

namespace shimledger::desk {

/// For `--time-start`: writes "usable" to the standard output once the window has been painted and its event
/// loop waits for input, and "settled" once nothing runs in the background either; then the program ends.
/// Whoever started the program times the two lines (tests/desk/start-time does).
class StartReport : public QObject {
public:
    /// `busy` is asked whenever the event loop has nothing to do. The window must outlive this.
    StartReport(QWidget& window, std::function<bool()> busy);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void idle();

    std::function<bool()> m_busy;
    QTimer m_again; ///< only wakes the event loop
    bool m_painted = false;
    bool m_usable = false;
};

} // namespace shimledger::desk
