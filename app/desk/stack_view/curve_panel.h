// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/stack_curves.h"
#include "app/desk/stack_view/warped_pressure.h"

#include <QWidget>

#include <memory>
#include <optional>

class QLabel;

namespace shimledger::desk {

class CurvePlot;

/// One stack as far as it has been followed; null: nothing to draw (yet). What lies past the onset of warping
/// comes later than the curves and goes when they change.
struct FollowedStack {
    std::shared_ptr<const StackCurves> curves{};
    std::shared_ptr<const services::WarpDrawing> warp{};
};

/// Pressure over lift of target and substitute with their scatter bands, and below it, on the same lift axis,
/// the deviation in per cent. A marked lift (the slider's, or the mouse's while it is over the panel) is read
/// out in words beneath, so that nothing needs a mouse.
class CurvePanel : public QWidget {
    Q_OBJECT

public:
    explicit CurvePanel(QWidget* parent = nullptr);
    ~CurvePanel() override;

    void setStacks(FollowedStack target, FollowedStack substitute);
    void setSubstituteName(const QString& name); ///< for what is drawn next: "Substitute", "Build", "Edited"
    void setMarkedLift(double lift_mm);
    void setWorkingLift(double lift_mm);

    /// The values at a lift as one sentence, past the onset of warping those of the warped discs; empty where
    /// the target's curve does not reach it.
    [[nodiscard]] QString reading(double lift_mm) const;

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    [[nodiscard]] DrawnStack target() const;
    [[nodiscard]] DrawnStack substitute() const;
    void redraw();
    void hover(std::optional<double> lift_mm);
    void showReading(double lift_mm);

    std::unique_ptr<CurvePlot> m_plot;
    QLabel* m_reading = nullptr;
    QString m_substitute_name;
    FollowedStack m_target;
    FollowedStack m_substitute;
    double m_marked_lift_mm = 0;
};

} // namespace shimledger::desk
