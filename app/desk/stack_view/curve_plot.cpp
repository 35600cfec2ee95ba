// SPDX-License-Identifier: GPL-3.0-or-later
// What the two plots show; how they are made and look is in curve_plot_looks.cpp.
#include "app/desk/stack_view/curve_plot.h"

#include <qcustomplot.h>

#include <QLineF>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

QVector<double> column(const std::vector<double>& values) {
    return QVector<double>(values.begin(), values.end());
}

double greatestPressure(const StackCurves* curves) {
    if (curves == nullptr || curves->report.curve.points().empty()) {
        return 0;
    }
    const double last = curves->report.curve.points().back().pressure_mpa;
    const bool banded = curves->band && !curves->band->high_mpa.empty();
    return banded ? std::max(last, curves->band->high_mpa.back()) : last;
}

} // namespace

QWidget* CurvePlot::view() const {
    return m_view;
}

double CurvePlot::liftAt(double pixel_x) const {
    const QCPAxis* axis = m_pressure->axis(QCPAxis::atBottom);
    return std::clamp(axis->pixelToCoord(pixel_x), 0.0, m_working_lift_mm);
}

void CurvePlot::show(const DrawnStack& target, const DrawnStack& substitute, const QString& substitute_name) {
    fill(m_target, target);
    fill(m_substitute, substitute);
    m_greatest_pressure = std::max(greatestPressure(target.curves), greatestPressure(substitute.curves));
    showDeviation(target, substitute);
    showWanted(target);
    m_substitute.line->setName(substitute_name);
    nameCurves(target, substitute);
    fitAxes();
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::nameCurves(const DrawnStack& target, const DrawnStack& substitute) {
    m_named.clear();
    if (target.curves != nullptr) m_named.push_back(m_target.line);
    if (substitute.curves != nullptr) m_named.push_back(m_substitute.line);
    if (!m_wish.empty()) m_named.push_back(m_wish_line);
    for (std::size_t i = 0; i < m_overlays.size(); ++i) m_named.push_back(m_overlay_lines[i]);
    if (target.curves != nullptr || substitute.curves != nullptr)
        m_named.push_back(target.curves != nullptr ? m_target.loop : m_substitute.loop);
    if (target.warps() || substitute.warps()) {
        const Curve& warped = target.warps() ? m_target : m_substitute;
        m_named.insert(m_named.end(), {warped.onset, warped.rim, warped.past});
    }
}

void CurvePlot::showDeviation(const DrawnStack& target, const DrawnStack& substitute) {
    QVector<double> lifts;
    QVector<double> deviations;
    double widest = 1;
    for (const auto& [lift, per_cent] : deviationWithWarping(target, substitute)) {
        lifts << lift;
        deviations << per_cent;
        widest = std::max(widest, std::abs(per_cent));
    }
    m_deviation_line->setData(lifts, deviations, true);
    QVector<double> band_lifts;
    QVector<double> low;
    QVector<double> high;
    if (target.curves != nullptr &&
        target.curves->band) { // the target's own scatter is the measure for a deviation
        const planner::ScatterBand& band = *target.curves->band;
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
    m_widest_deviation = widest;
}

/// The target's own curve times what is wanted of it, as far as it is told round.
void CurvePlot::showWanted(const DrawnStack& target) {
    QVector<double> lifts, pressures;
    if (!m_wish.empty() && target.curves != nullptr) {
        const auto wanted = planner::WantedFactor::of(m_wish);
        for (const planner::LiftPoint& point : target.curves->report.curve.points()) {
            lifts << point.lift_mm;
            pressures << wanted.at(point.lift_mm) * point.pressure_mpa;
        }
    }
    m_wanted->setData(lifts, pressures, true);
    if (!pressures.isEmpty()) m_greatest_pressure = std::max(m_greatest_pressure, pressures.back());
}

void CurvePlot::setWish(const std::vector<planner::WantedPoint>& points, std::size_t picked, bool held) {
    m_wish = points;
    m_held = held;
    fitLifts();
    QVector<double> lifts, per_cents, line_lifts, line_per_cents, picked_lift, picked_per_cent;
    for (std::size_t i = 0; i < points.size(); ++i) {
        lifts << points[i].lift_mm;
        per_cents << 100 * (points[i].factor - 1);
        if (i != picked) continue;
        picked_lift << lifts.back();
        picked_per_cent << per_cents.back();
    }
    if (!points.empty()) { // outside its points a wish is constant
        constexpr double far_mm = 10;
        line_lifts = QVector<double>{-far_mm} + lifts + QVector<double>{far_mm};
        line_per_cents = QVector<double>{per_cents.front()} + per_cents + QVector<double>{per_cents.back()};
    }
    m_wish_line->setData(line_lifts, line_per_cents, true);
    m_wish_points->setData(lifts, per_cents, true);
    m_wish_picked->setData(picked_lift, picked_per_cent, true);
}

void CurvePlot::setOverlays(std::vector<DeviationOverlay> overlays) {
    m_overlays = std::move(overlays);
    while (m_overlay_lines.size() < m_overlays.size()) m_overlay_lines.push_back(graphIn(m_deviation));
    dressOverlays();
    for (std::size_t i = 0; i < m_overlay_lines.size(); ++i) {
        QVector<double> lifts, per_cents;
        if (i < m_overlays.size()) {
            m_overlay_lines[i]->setName(m_overlays[i].name);
            for (const DeviationPoint& point : m_overlays[i].points) {
                lifts << point.lift_mm;
                per_cents << point.per_cent;
            }
        }
        m_overlay_lines[i]->setData(lifts, per_cents, true);
    }
    fitAxes();
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::fitAxes() {
    if (m_held) return; // what is pulled stays under the hand
    double widest = m_widest_deviation;
    for (const planner::WantedPoint& point : m_wish)
        widest = std::max(widest, std::abs(100 * (point.factor - 1)));
    for (const DeviationOverlay& overlay : m_overlays) {
        for (const DeviationPoint& point : overlay.points)
            widest = std::max(widest, std::abs(point.per_cent));
    }
    if (!m_wish.empty()) widest = std::max(1.25 * widest, 5.0); // room to pull a handle
    m_deviation->axis(QCPAxis::atLeft)->setRange(-1.15 * widest, 1.15 * widest);
    m_pressure->axis(QCPAxis::atLeft)->setRange(0, m_greatest_pressure > 0 ? 1.05 * m_greatest_pressure : 1);
}

bool CurvePlot::inDeviation(QPointF pixel) const {
    return m_deviation->rect().contains(pixel.toPoint());
}

double CurvePlot::perCentAt(double pixel_y) const {
    return m_deviation->axis(QCPAxis::atLeft)->pixelToCoord(pixel_y);
}

QPointF CurvePlot::placeOfWishPoint(std::size_t point) const {
    const planner::WantedPoint& of = m_wish.at(point);
    return {m_deviation->axis(QCPAxis::atBottom)->coordToPixel(of.lift_mm),
            m_deviation->axis(QCPAxis::atLeft)->coordToPixel(100 * (of.factor - 1))};
}

int CurvePlot::wishPointAt(QPointF pixel) const {
    constexpr double near_pixels = 12;
    int nearest = -1;
    double least = near_pixels;
    for (std::size_t i = 0; i < m_wish.size(); ++i) {
        const double away = QLineF(placeOfWishPoint(i), pixel).length();
        if (away < least) {
            least = away;
            nearest = static_cast<int>(i);
        }
    }
    return nearest;
}

void CurvePlot::setWorkingLift(double lift_mm) {
    m_working_lift_mm = lift_mm;
    fitLifts();
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

/// With a tick at the end; handles at both ends are to be seen whole.
void CurvePlot::fitLifts() {
    const double room_mm = m_wish.empty() ? 0 : 0.02 * m_working_lift_mm;
    for (QCPAxisRect* rect : {m_pressure, m_deviation})
        rect->axis(QCPAxis::atBottom)->setRange(-room_mm, m_working_lift_mm * (1 + 1e-6) + room_mm);
}

void CurvePlot::mark(double lift_mm) {
    for (auto* line : {m_mark, m_deviation_mark}) {
        line->point1->setCoords(lift_mm, 0);
        line->point2->setCoords(lift_mm, 1);
    }
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::fill(const Curve& curve, const DrawnStack& stack) {
    fillRound(curve, stack);
    fillLoop(curve, stack);
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
        if (stack.warps()) {
            past_lifts << stack.warp->onset->lift_mm;
            past_pressures << stack.warp->onset->pressure_mpa;
        }
        for (const planner::LiftPoint& point : stack.curves->report.curve.points()) {
            const bool past = stack.warps() && point.lift_mm > stack.warp->onset->lift_mm;
            (past ? past_lifts : lifts) << point.lift_mm;
            (past ? past_pressures : pressures) << point.pressure_mpa;
        }
        if (stack.warps()) {
            lifts << stack.warp->onset->lift_mm;
            pressures << stack.warp->onset->pressure_mpa;
        }
    }
    curve.line->setData(lifts, pressures, true);
    curve.past->setData(past_lifts, past_pressures, true);
}

/// Up along the rising pressure's lifts and back along the falling one's; told for round discs alone.
void CurvePlot::fillLoop(const Curve& curve, const DrawnStack& stack) {
    QVector<double> lifts{0}, pressures{0}, back_lifts, back_pressures;
    if (stack.curves != nullptr) {
        for (const planner::LiftPoint& point : stack.curves->report.curve.points()) {
            if (stack.warps() && point.lift_mm > stack.warp->onset->lift_mm) break;
            lifts << point.lift_mm - point.friction_half_width_mm;
            back_lifts << point.lift_mm + point.friction_half_width_mm;
            pressures << point.pressure_mpa;
            back_pressures << point.pressure_mpa;
        }
    }
    std::reverse(back_lifts.begin(), back_lifts.end());
    std::reverse(back_pressures.begin(), back_pressures.end());
    curve.loop->setData(lifts + back_lifts, pressures + back_pressures);
}

void CurvePlot::fillWarp(const Curve& curve, const DrawnStack& stack) {
    QVector<double> mean_lifts, mean_pressures, rim_lifts, rim_pressures, mark_lift, mark_pressure;
    if (stack.warps()) {
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

} // namespace shimledger::desk
