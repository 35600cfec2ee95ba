#pragma once

#include "app/desk/stack_view/stack_curves.h"

#include <QFont>
#include <QPalette>

class QCPAxis;
class QCPAxisRect;
class QCPGraph;
class QCPItemStraightLine;
class QCPLegend;
class QCustomPlot;
class QWidget;

namespace shimledger::desk {

/// The two plots of the curve panel, one above the other on one lift axis. Its source is the only file that
/// sees QCustomPlot's header.
class CurvePlot {
public:
    explicit CurvePlot(QWidget* parent); ///< the parent owns the view

    [[nodiscard]] QWidget* view() const;
    /// Lift (mm) under a pixel column of the view, held inside the axis.
    [[nodiscard]] double liftAt(double pixel_x) const;

    void show(const StackCurves* target, const StackCurves* substitute);
    void setWorkingLift(double lift_mm);
    void mark(double lift_mm);
    void dress(const QPalette& palette, const QFont& font); ///< colours and fonts

private:
    struct Curve {
        QCPGraph* low = nullptr;
        QCPGraph* high = nullptr; ///< its fill reaches down to `low`: the scatter band
        QCPGraph* line = nullptr;
    };

    QCPGraph* graphIn(QCPAxisRect* rect);
    QCPItemStraightLine* markIn(QCPAxisRect* rect);
    void addGraphs();
    void addLegend();
    void showDeviation(const StackCurves* target, const StackCurves* substitute);
    static void fill(const Curve& curve, const StackCurves* curves);
    static void dressAxis(QCPAxis& axis, const QColor& text, const QColor& base, const QFont& font);
    static void dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style);

    QCustomPlot* m_view;
    QCPAxisRect* m_pressure;
    QCPAxisRect* m_deviation;
    QCPLegend* m_legend = nullptr;
    Curve m_target;
    Curve m_substitute;
    QCPGraph* m_deviation_line = nullptr;
    QCPGraph* m_own_scatter_low = nullptr;
    QCPGraph* m_own_scatter_high = nullptr;
    QCPItemStraightLine* m_mark = nullptr;
    QCPItemStraightLine* m_deviation_mark = nullptr;
};

} // namespace shimledger::desk
