// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QColor>
#include <QFont>

#include <vector>

class QCPAbstractPlottable;
class QCPAxis;
class QCPAxisRect;
class QCPItemStraightLine;
class QCPLegend;
class QCustomPlot;
class QFontMetrics;

namespace shimledger::desk {

// What plots of two rectangles above one another have in common.

void dressPlotAxis(QCPAxis& axis, const QColor& text, const QColor& base, const QFont& font);

/// A line across a rectangle, to be laid through two of its points.
[[nodiscard]] QCPItemStraightLine* straightLineIn(QCustomPlot& plot, QCPAxisRect& rect);

/// A legend in the plot's first row.
[[nodiscard]] QCPLegend* addPlotLegend(QCustomPlot& plot);

/// In one line where it is long enough, else in two; the first names come first where the curves need the
/// room.
void fitPlotLegend(QCustomPlot& plot, QCPLegend& legend, const std::vector<QCPAbstractPlottable*>& named,
                   const QFontMetrics& metrics);

} // namespace shimledger::desk
