#include "app/desk/stack_view/curve_plot.h"

#include "app/desk/desk_colours.h"

#include <QCoreApplication>

#include <qcustomplot.h>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("CurvePlot", text);
}

QVector<double> column(const std::vector<double>& values) {
    return QVector<double>(values.begin(), values.end());
}

bool warps(const DrawnStack& stack) {
    return stack.curves != nullptr && stack.warp != nullptr && stack.warp->onset.has_value();
}

double greatestPressure(const StackCurves* curves) {
    if (curves == nullptr || curves->report.curve.points().empty()) {
        return 0.01;
    }
    const double last = curves->report.curve.points().back().pressure_mpa;
    const bool banded = curves->band && !curves->band->high_mpa.empty();
    return banded ? std::max(last, curves->band->high_mpa.back()) : last;
}

} // namespace

CurvePlot::CurvePlot(QWidget* parent)
    : m_view(new QCustomPlot(parent)), m_pressure(new QCPAxisRect(m_view)),
      m_deviation(new QCPAxisRect(m_view)) {
    m_view->setLocale(QLocale::c());
    m_view->setFocusPolicy(Qt::NoFocus);
    m_view->setMinimumSize(260, 200);
    m_view->setAccessibleName(words("Pressure over lift, and deviation over lift"));
    m_view->setToolTip(
        words("Bands: what the thickness tolerance of the discs does. Past the mark where warping begins: "
              "the mean lift of the rim, in a band from its least to its greatest; thin, the round "
              "solution."));
    m_view->setAccessibleDescription(m_view->toolTip());
    m_view->plotLayout()->clear();
    m_view->plotLayout()->setRowSpacing(4);
    m_view->plotLayout()->addElement(1, 0, m_pressure); // the legend takes row 0
    m_view->plotLayout()->addElement(2, 0, m_deviation);
    m_view->plotLayout()->setRowStretchFactor(1, 1.5);
    m_deviation->axis(QCPAxis::atLeft)->ticker()->setTickCount(3);
    auto* margins = new QCPMarginGroup(m_view);
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        rect->setMarginGroup(QCP::msLeft | QCP::msRight, margins);
        rect->setMinimumMargins(QMargins(4, 6, 12, 2));
        for (QCPAxis* axis : rect->axes()) {
            axis->setLayer(QStringLiteral("axes"));
            axis->grid()->setLayer(QStringLiteral("grid"));
        }
    }
    // m_view deletes its margin group, which the analyzer cannot see:
    // NOLINTNEXTLINE(clang-analyzer-cplusplus.NewDeleteLeaks)
    m_pressure->axis(QCPAxis::atBottom)->setTickLabels(false);
    m_pressure->axis(QCPAxis::atLeft)->setLabel(words("Pressure (MPa)"));
    m_deviation->axis(QCPAxis::atLeft)->setLabel(words("Deviation (%)"));
    m_deviation->axis(QCPAxis::atBottom)->setLabel(words("Lift of the face shim's edge (mm)"));
    addGraphs();
    addLegend();
}

QWidget* CurvePlot::view() const {
    return m_view;
}

double CurvePlot::liftAt(double pixel_x) const {
    const QCPAxis* axis = m_pressure->axis(QCPAxis::atBottom);
    return std::clamp(axis->pixelToCoord(pixel_x), axis->range().lower, axis->range().upper);
}

void CurvePlot::show(const DrawnStack& target, const DrawnStack& substitute) {
    fill(m_target, target);
    fill(m_substitute, substitute);
    const double greatest = std::max(greatestPressure(target.curves), greatestPressure(substitute.curves));
    m_pressure->axis(QCPAxis::atLeft)->setRange(0, 1.05 * greatest);
    showDeviation(target.curves, substitute.curves);
    m_legend->item(0)->setVisible(target.curves != nullptr);
    m_legend->item(1)->setVisible(substitute.curves != nullptr);
    m_legend->item(2)->setVisible(warps(target) || warps(substitute));
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::showDeviation(const StackCurves* target, const StackCurves* substitute) {
    QVector<double> lifts;
    QVector<double> deviations;
    double widest = 1;
    if (target != nullptr && substitute != nullptr) {
        for (const auto& [lift, per_cent] :
             deviationOverLift(target->report.curve, substitute->report.curve)) {
            lifts << lift;
            deviations << per_cent;
            widest = std::max(widest, std::abs(per_cent));
        }
    }
    m_deviation_line->setData(lifts, deviations, true);
    QVector<double> band_lifts;
    QVector<double> low;
    QVector<double> high;
    if (target != nullptr && target->band) { // the target's own scatter is the measure for a deviation
        const planner::ScatterBand& band = *target->band;
        for (std::size_t i = 0; i < band.lifts_mm.size(); ++i) {
            if (band.pressures_mpa[i] <= 0) {
                continue;
            }
            band_lifts << band.lifts_mm[i];
            low << 100 * (band.low_mpa[i] / band.pressures_mpa[i] - 1);
            high << 100 * (band.high_mpa[i] / band.pressures_mpa[i] - 1);
            widest = std::max(widest, std::min(40.0, std::abs(high.back())));
        }
    }
    m_own_scatter_low->setData(band_lifts, low, true);
    m_own_scatter_high->setData(band_lifts, high, true);
    m_deviation->axis(QCPAxis::atLeft)->setRange(-1.15 * widest, 1.15 * widest);
}

void CurvePlot::setWorkingLift(double lift_mm) {
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        rect->axis(QCPAxis::atBottom)->setRange(0, lift_mm);
    }
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::mark(double lift_mm) {
    for (auto* line : {m_mark, m_deviation_mark}) {
        line->point1->setCoords(lift_mm, 0);
        line->point2->setCoords(lift_mm, 1);
    }
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::dress(const QPalette& palette, const QFont& font) {
    const DeskColours colours = DeskColours::of(palette);
    const QColor base = palette.color(QPalette::Base);
    const QColor text = palette.color(QPalette::Text);
    m_view->setBackground(base);
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        for (QCPAxis* axis : rect->axes()) {
            dressAxis(*axis, text, base, font);
        }
    }
    dressCurve(m_target, colours.target, base, Qt::SolidLine);
    dressCurve(m_substitute, colours.substitute, base, Qt::DashLine);
    m_deviation_line->setPen(QPen(colours.substitute, 2, Qt::DashLine));
    m_own_scatter_low->setPen(Qt::NoPen);
    m_own_scatter_high->setPen(Qt::NoPen);
    m_own_scatter_high->setBrush(blended(colours.target, base, 0.18));
    for (auto* line : {m_mark, m_deviation_mark}) {
        line->setPen(QPen(text, 1, Qt::DotLine));
    }
    m_legend->setFont(font);
    m_legend->setTextColor(text);
    m_legend->setBrush(base);
    m_legend->setBorderPen(Qt::NoPen);
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

QCPGraph* CurvePlot::graphIn(QCPAxisRect* rect) {
    return m_view->addGraph(rect->axis(QCPAxis::atBottom), rect->axis(QCPAxis::atLeft));
}

QCPItemStraightLine* CurvePlot::markIn(QCPAxisRect* rect) {
    auto* line = new QCPItemStraightLine(m_view);
    line->setClipAxisRect(rect);
    for (QCPItemPosition* position : {line->point1, line->point2}) {
        position->setAxisRect(rect);
        position->setAxes(rect->axis(QCPAxis::atBottom), rect->axis(QCPAxis::atLeft));
    }
    return line;
}

void CurvePlot::addGraphs() {
    for (Curve* curve : {&m_target, &m_substitute}) {
        curve->low = graphIn(m_pressure);
        curve->high = graphIn(m_pressure);
        curve->high->setChannelFillGraph(curve->low);
    }
    for (Curve* curve : {&m_target, &m_substitute}) {
        curve->rim = new QCPCurve(m_pressure->axis(QCPAxis::atBottom), m_pressure->axis(QCPAxis::atLeft));
        curve->past = graphIn(m_pressure);
        curve->line = graphIn(m_pressure);
        curve->mean = graphIn(m_pressure);
        curve->onset = graphIn(m_pressure);
        curve->onset->setLineStyle(QCPGraph::lsNone);
    }
    m_target.onset->setName(words("Warping begins"));
    m_target.line->setName(words("Target"));
    m_substitute.line->setName(words("Substitute"));
    m_own_scatter_low = graphIn(m_deviation);
    m_own_scatter_high = graphIn(m_deviation);
    m_own_scatter_high->setChannelFillGraph(m_own_scatter_low);
    m_deviation_line = graphIn(m_deviation);
    m_mark = markIn(m_pressure);
    m_deviation_mark = markIn(m_deviation);
}

void CurvePlot::addLegend() {
    m_legend = new QCPLegend;
    m_view->plotLayout()->addElement(0, 0, m_legend);
    m_view->plotLayout()->setRowStretchFactor(0, 0.001); // as low as its text
    m_legend->setLayer(QStringLiteral("legend"));
    m_legend->setFillOrder(QCPLayoutGrid::foColumnsFirst);
    m_legend->setMargins(QMargins(40, 2, 4, 0));
    for (QCPGraph* graph : {m_target.line, m_substitute.line, m_target.onset}) {
        graph->addToLegend(m_legend);
    }
}

void CurvePlot::fill(const Curve& curve, const DrawnStack& stack) {
    fillRound(curve, stack);
    fillWarp(curve, stack);
    const bool banded = stack.curves != nullptr && stack.curves->band.has_value();
    static const planner::ScatterBand none;
    const planner::ScatterBand& band = banded ? *stack.curves->band : none;
    curve.low->setData(column(band.lifts_mm), column(band.low_mpa), true);
    curve.high->setData(column(band.lifts_mm), column(band.high_mpa), true);
}

void CurvePlot::fillRound(const Curve& curve, const DrawnStack& stack) {
    QVector<double> lifts, pressures, past_lifts, past_pressures;
    if (stack.curves != nullptr) {
        lifts << 0;
        pressures << 0;
        if (warps(stack)) {
            past_lifts << stack.warp->onset->lift_mm;
            past_pressures << stack.warp->onset->pressure_mpa;
        }
        for (const planner::LiftPoint& point : stack.curves->report.curve.points()) {
            const bool past = warps(stack) && point.lift_mm > stack.warp->onset->lift_mm;
            (past ? past_lifts : lifts) << point.lift_mm;
            (past ? past_pressures : pressures) << point.pressure_mpa;
        }
        if (warps(stack)) {
            lifts << stack.warp->onset->lift_mm;
            pressures << stack.warp->onset->pressure_mpa;
        }
    }
    curve.line->setData(lifts, pressures, true);
    curve.past->setData(past_lifts, past_pressures, true);
}

void CurvePlot::fillWarp(const Curve& curve, const DrawnStack& stack) {
    QVector<double> mean_lifts, mean_pressures, rim_lifts, rim_pressures, mark_lift, mark_pressure;
    if (warps(stack)) {
        const services::WarpDrawing& warp = *stack.warp;
        mark_lift << warp.onset->lift_mm;
        mark_pressure << warp.onset->pressure_mpa;
        // The branch begins a little below the onset, where it has hardly left the round one.
        const auto first = std::upper_bound(warp.warped_pressures_mpa.begin(),
                                            warp.warped_pressures_mpa.end(), warp.onset->pressure_mpa) -
                           warp.warped_pressures_mpa.begin();
        const auto past = [first](const std::vector<double>& values) { return column(values).mid(first); };
        mean_lifts = mark_lift + past(warp.mean_lifts_mm);
        mean_pressures = mark_pressure + past(warp.warped_pressures_mpa);
        // Up along the least lift and back along the greatest.
        rim_lifts = mark_lift + past(warp.min_lifts_mm);
        rim_pressures = mean_pressures;
        QVector<double> greatest = past(warp.max_lifts_mm);
        QVector<double> back = past(warp.warped_pressures_mpa);
        std::reverse(greatest.begin(), greatest.end());
        std::reverse(back.begin(), back.end());
        rim_lifts += greatest;
        rim_pressures += back;
    }
    curve.mean->setData(mean_lifts, mean_pressures, true);
    curve.onset->setData(mark_lift, mark_pressure, true);
    curve.rim->setData(rim_lifts, rim_pressures);
}

void CurvePlot::dressAxis(QCPAxis& axis, const QColor& text, const QColor& base, const QFont& font) {
    const QPen pen(blended(text, base, 0.6));
    axis.setBasePen(pen);
    axis.setTickPen(pen);
    axis.setSubTickPen(pen);
    axis.setLabelColor(text);
    axis.setTickLabelColor(text);
    axis.setLabelFont(font);
    axis.setTickLabelFont(font);
    axis.grid()->setPen(QPen(blended(text, base, 0.15)));
    axis.grid()->setZeroLinePen(QPen(blended(text, base, 0.5)));
}

void CurvePlot::dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style) {
    QColor veil = blended(colour, base, 0.5);
    veil.setAlphaF(0.38F);
    curve.low->setPen(Qt::NoPen);
    curve.high->setPen(Qt::NoPen);
    curve.high->setBrush(veil);
    curve.line->setPen(QPen(colour, 2, style));
    curve.past->setPen(QPen(colour, 1, Qt::DotLine));
    curve.mean->setPen(QPen(colour, 2, style));
    veil.setAlphaF(0.22F);
    curve.rim->setPen(QPen(colour, 1, Qt::DotLine));
    curve.rim->setBrush(veil);
    curve.onset->setPen(QPen(colour, 2));
    curve.onset->setScatterStyle(QCPScatterStyle(QCPScatterStyle::ssDiamond, colour, base, 10));
}

} // namespace shimledger::desk
