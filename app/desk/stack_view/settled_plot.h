// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <qcustomplot.h>

#include <QTimer>

namespace shimledger::desk {

/// A plot that is first drawn when the window around it stands. A plot is otherwise drawn into a new picture
/// at each of the sizes that it passes through while the window is laid out, which a start feels.
class SettledPlot : public QCustomPlot {
    Q_OBJECT

public:
    explicit SettledPlot(QWidget* parent = nullptr);

protected:
    void resizeEvent(QResizeEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    QTimer m_first_drawing; ///< fires once the event loop has painted the rest
    bool m_drawn = false;
};

} // namespace shimledger::desk
