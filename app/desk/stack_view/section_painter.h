// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/desk_colours.h"
#include "app/desk/stack_view/section_geometry.h"
#include "planner/stack/stack_spec.h"

#include <QPainter>
#include <QStringList>

#include <optional>
#include <vector>

namespace shimledger::desk {

/// One stack as it lies on the bench, with what is to be written beside its rows.
struct BenchSide {
    QString title;
    planner::StackSpec stack;
    QStringList row_notes;        ///< by row: bin and availability; may be shorter than the rows
    std::vector<bool> replaced;   ///< by row: differs from the target; may be empty
    std::vector<int> target_rows; ///< by row: the 0-based target row it stands for; empty: the same row
};

/// Places millimetres on the paper. The left half (target) and the right half (substitute) share the shaft's
/// axis, the piston face and both scales, so that they can be compared by eye.
struct SectionScale {
    QPointF face;             ///< pixel of the shaft axis at the piston face
    double pixels_per_mm = 1; ///< along the radius
    int height_factor = 1;    ///< heights are drawn this many times taller than radii
    bool right = false;

    [[nodiscard]] QPointF at(QPointF mm) const {
        const double x = mm.x() * pixels_per_mm;
        return {face.x() + (right ? x : -x), face.y() - mm.y() * pixels_per_mm * height_factor};
    }
};

struct SectionStyle {
    DeskColours colours;
    QPalette palette;
    int highlighted_row = -1; ///< target row to stand out; -1: none
    QRectF labels;            ///< where the rows are named
};

/// Draws one half section: piston, discs, clamp and the names of the rows with lines leading to them.
class SectionPainter {
public:
    SectionPainter(QPainter& painter, const SectionScale& scale, const SectionStyle& style)
        : m_painter(painter), m_scale(scale), m_style(style) {}

    /// What stands beside a row: "2.  1 x 22.0 x 0.10".
    [[nodiscard]] static QString rowName(const std::vector<planner::DiscRow>& rows, int row);

    void drawPiston(const planner::ValveGeometry& valve, double outer_radius_mm);
    void drawDiscs(const BenchSide& side, const SectionGeometry& section);
    /// `shaft_mm`: height of the taller of the two stacks, as both sit on one shaft.
    void drawClamp(const planner::ValveGeometry& valve, double height_mm, double shaft_mm);
    void drawTouches(const SectionGeometry& section);
    void drawLabels(const BenchSide& side, const SectionGeometry& section);

private:
    [[nodiscard]] bool highlighted(const BenchSide& side, int row) const;
    [[nodiscard]] QColor sideColour() const;
    void fillBlock(double inner_mm, double outer_mm, double from_y, double to_y, const QBrush& brush);

    QPainter& m_painter;
    SectionScale m_scale;
    const SectionStyle& m_style;
};

/// Heights of labels that lie in order without overlapping, each as near as may be to where it wants to be.
/// `wanted` descends on the paper (the first is the lowest); all are centres.
[[nodiscard]] std::vector<double> spreadLabels(std::vector<double> wanted, double label_height, double top,
                                               double bottom);

} // namespace shimledger::desk
