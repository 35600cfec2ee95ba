// How the two plots are made and look; what they show is in curve_plot.cpp.
#include "app/desk/desk_colours.h"
#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/settled_plot.h"

#include <QCoreApplication>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("CurvePlot", text);
}

} // namespace

CurvePlot::CurvePlot(QWidget* parent)
    : m_view(new SettledPlot(parent)), m_pressure(new QCPAxisRect(m_view)),
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
