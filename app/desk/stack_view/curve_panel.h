// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/stack_curves.h"
#include "app/desk/stack_view/warped_pressure.h"
#include "app/desk/stack_view/wish_handles.h"

#include <QWidget>

#include <QPoint>

#include <memory>
#include <optional>

class QKeyEvent;
class QLabel;
class QMouseEvent;

namespace shimledger::desk {

/// One stack as far as it has been followed; null: nothing to draw (yet). What lies past the onset of warping
/// comes later than the curves and goes when they change.
struct FollowedStack {
    std::shared_ptr<const StackCurves> curves{};
    std::shared_ptr<const services::WarpDrawing> warp{};
};

/// Pressure over lift of target and substitute with their scatter bands, and below it, on the same lift axis,
/// the deviation in per cent. A marked lift (the slider's, or the mouse's while it is over the panel) is read
/// out in words beneath, so that nothing needs a mouse.
///
/// A wish for another curve has handles on the deviation: pulled by the mouse (Shift: finer), a double click
/// sets one more; with the focus, Left and Right pick one, Up and Down move it by a per cent (Shift: a
/// tenth), Ctrl+Left and Ctrl+Right along the lift, Insert sets one more, Delete takes it away.
class CurvePanel : public QWidget {
    Q_OBJECT

public:
    explicit CurvePanel(QWidget* parent = nullptr);
    ~CurvePanel() override;

    void setStacks(FollowedStack target, FollowedStack substitute);
    void setSubstituteName(const QString& name); ///< for what is drawn next: "Substitute", "Build", "Edited"
    void setMarkedLift(double lift_mm);
    void setWorkingLift(double lift_mm);
    void setWish(const WishHandles::Points& points); ///< none: no wish
    void setOverlays(std::vector<DeviationOverlay> overlays) { m_plot->setOverlays(std::move(overlays)); }
    /// Where a wish is first taken hold of: at rest, where the target's first gap closes, at the working
    /// lift.
    [[nodiscard]] std::vector<double> handleLifts() const;
    void focusWish();
    [[nodiscard]] QWidget* plot() const { return m_plot->view(); }
    [[nodiscard]] QPoint placeOfHandle(std::size_t handle) const {
        return m_plot->placeOfWishPoint(handle).toPoint();
    }
    [[nodiscard]] const WishHandles& wish() const { return m_wish; }

    /// The values at a lift as one sentence, past the onset of warping those of the warped discs; empty where
    /// the target's curve does not reach it.
    [[nodiscard]] QString reading(double lift_mm) const;

signals:
    void wishPulled(const WishHandles::Points& points);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    [[nodiscard]] DrawnStack target() const;
    [[nodiscard]] DrawnStack substitute() const;
    void redraw();
    void hover(std::optional<double> lift_mm);
    void showReading(double lift_mm);
    void showWish(); ///< and who is told of it
    [[nodiscard]] QString handleText() const;
    bool handleMouse(const QMouseEvent& event);
    [[nodiscard]] static bool isHandleKey(const QKeyEvent& event);
    void handleKey(const QKeyEvent& event);

    std::unique_ptr<CurvePlot> m_plot;
    QLabel* m_reading = nullptr;
    QString m_substitute_name;
    FollowedStack m_target;
    FollowedStack m_substitute;
    double m_marked_lift_mm = 0;
    double m_working_lift_mm = 0;
    WishHandles m_wish;
    bool m_pulling = false; ///< by the mouse
};

} // namespace shimledger::desk
