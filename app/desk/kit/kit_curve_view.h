// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "planner/kit/kit_plan.h"
#endif

#include <QWidget>

#include <cstdint>
#include <vector>

namespace shimledger::desk {

/// Jobs built at once over money: the plan's line, that of reorder points dashed below it, and a handle for
/// the budget, moved by the mouse or by keys: Left and Right by a step, Page Up and Down by ten, Home and
/// End, Return to plan for it. Between two points the line is straight, which is no promise: a plan for the
/// budget tells.
class KitCurveView : public QWidget {
    Q_OBJECT

public:
    explicit KitCurveView(QWidget* parent = nullptr);

    void show(std::vector<planner::KitCurvePoint> curve, std::int64_t budget);
    void clear() { show({}, 0); }
    [[nodiscard]] std::int64_t budget() const { return m_budget; } ///< where the handle stands
    /// What the picture shows at the handle, in a sentence.
    [[nodiscard]] QString sentence() const;
    [[nodiscard]] QPointF handle() const;                    ///< in pixels
    [[nodiscard]] double builtAt(std::int64_t budget) const; ///< share, by straight lines
    [[nodiscard]] const std::vector<planner::KitCurvePoint>& curve() const { return m_curve; }

    [[nodiscard]] QSize sizeHint() const override { return {440, 260}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {240, 150}; }

signals:
    void moved(qint64 budget);  ///< while the handle is moved
    void chosen(qint64 budget); ///< let go of it, or Return: plan for it

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    [[nodiscard]] QRectF area() const;
    [[nodiscard]] QPointF at(std::int64_t budget, double share) const;
    void moveTo(std::int64_t budget);
    void moveToPixel(double x);

    std::vector<planner::KitCurvePoint> m_curve;
    std::int64_t m_budget = 0;
    bool m_dragging = false;
};

} // namespace shimledger::desk
