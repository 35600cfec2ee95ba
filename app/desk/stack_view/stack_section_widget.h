// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/section_painter.h"
#include "app/desk/stack_view/stack_curves.h"

#include <QWidget>

#include <memory>
#include <optional>

namespace shimledger::desk {

/// The bench: target left and substitute right of one shaft, as half sections in the order in which the discs
/// go together, piston face at the bottom. Radii are to scale; heights are drawn a stated number of times
/// taller. With curves at hand the discs bend as computed for the lift that is set.
class StackSectionWidget : public QWidget {
    Q_OBJECT

public:
    explicit StackSectionWidget(QWidget* parent = nullptr);

    void setTarget(std::optional<BenchSide> side);
    /// What is written beside the target's rows, while the stack itself stays.
    void setTargetNotes(const QStringList& notes);
    void setTargetRows(const std::vector<int>& rows);
    void setSubstitute(std::optional<BenchSide> side);
    /// Computed shapes of the two; null while they are not there yet.
    void setCurves(std::shared_ptr<const StackCurves> target, std::shared_ptr<const StackCurves> substitute);
    void setLift(double lift_mm);
    /// The target row to stand out, and what stands in for it; -1: none.
    void setHighlightedRow(int target_row);

    [[nodiscard]] double lift() const { return m_lift_mm; }
    /// By how much heights are drawn taller at the present size; 0 while the bench is empty.
    [[nodiscard]] int shownHeightFactor() const;
    [[nodiscard]] QSize sizeHint() const override { return {560, 340}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {380, 220}; }

signals:
    void targetRowPicked(int target_row);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    struct Half {
        std::optional<BenchSide> side;
        std::shared_ptr<const StackCurves> curves;
    };
    [[nodiscard]] SectionGeometry geometryOf(const Half& half, double lift_mm) const;
    [[nodiscard]] std::optional<SectionScale> scale() const;
    [[nodiscard]] double tallestStack() const;
    [[nodiscard]] double labelWidth() const;
    void drawHalf(QPainter& painter, const Half& half, const SectionScale& scale);
    void drawFrame(QPainter& painter, const SectionScale& scale);
    void describe();

    Half m_target;
    Half m_substitute;
    double m_lift_mm = 0;
    int m_highlighted_row = -1;
};

} // namespace shimledger::desk
