// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/force_curves.h"
#include "app/desk/stack_view/section_painter.h"
#include "app/desk/stack_view/stack_curves.h"
#include "app/desk/stack_view/wish_handles.h"
#include "app/services/warp_check.h"

#include <QImage>
#include <QTimer>
#include <QWidget>

#include <memory>
#include <optional>
#include <vector>

class QLabel;
class QPlainTextEdit;
class QSlider;
class QStackedWidget;

namespace shimledger::desk {

class CurvePanel;
class ForcePanel;
class StackSectionWidget;

/// A stack to lay out and to follow.
struct BenchInput {
    BenchSide side;
    std::vector<planner::RowThickness> thicknesses; ///< by row; empty: nominal
    /// The same rows as thick as their lots measure on average, to be followed in place of the nominal ones;
    /// to the whole micrometre ...
    std::optional<planner::StackSpec> measured{};
    std::vector<planner::GroupSums> sums{}; ///< ... and exactly, by group; empty: nominal
};

/// The bench and the curves beneath it, pressure over lift or force over shaft speed, with the lift slider
/// between them. Curves are computed in the background; the section is drawn at rest at once and bends when
/// they are there.
class BenchPanel : public QWidget {
    Q_OBJECT

public:
    explicit BenchPanel(QWidget* parent = nullptr);

    /// A new target takes the substitute away.
    void setTarget(std::optional<BenchInput> input, const CurveSettings& settings = {});
    void setTargetNotes(const QStringList& notes); ///< while the target itself stays
    /// Which row of an edited target each row is by now, -1 where it is gone; empty: none is edited.
    void setTargetRows(const std::vector<int>& rows);
    /// `name` is what it is called in curves and remarks; empty: "Substitute".
    void setSubstitute(std::optional<BenchInput> input, const QString& name = {});
    /// What lies beside the target, in nominal sizes; none: nothing.
    [[nodiscard]] const std::optional<planner::StackSpec>& laidOut() const { return m_laid_out; }
    /// The valve that both stacks work in; none: forces are not told.
    void setValve(std::optional<ValveInput> valve);
    /// Laid over the forces until another target is set.
    void setReadings(BenchReadings readings);
    /// Force over shaft speed in place of pressure over lift; computed when it is looked at.
    void setForcesShown(bool shown);
    [[nodiscard]] bool forcesShown() const { return m_forces_shown; }
    [[nodiscard]] QString table() const; ///< of the forces that are shown, parted by tabs; else empty
    void setHighlightedRow(int target_row);
    void setWish(const WishHandles::Points& points); ///< on the deviation's plot; none: no wish
    void setOverlays(std::vector<DeviationOverlay> overlays);
    [[nodiscard]] std::vector<double> handleLifts() const; ///< see CurvePanel
    [[nodiscard]] QImage picture(); ///< of section and curves, twice as fine as on screen
    void setLift(double lift_mm);   ///< moves the slider to the nearest step

    [[nodiscard]] bool busy() const {
        return m_target_run.running() || m_substitute_run.running() || m_force_run.running();
    }
    /// True while what lies past the onset of warping is being computed, which comes after the curves.
    [[nodiscard]] bool warping() const {
        return m_warp_pause.isActive() || m_target_warp_run.running() || m_substitute_warp_run.running();
    }
    [[nodiscard]] const StackSectionWidget* section() const { return m_section; }
    [[nodiscard]] const CurvePanel* curves() const { return m_curves; }
    [[nodiscard]] const ForcePanel* forces() const { return m_forces; }
    [[nodiscard]] QString remarksText() const { return remarks(); }
    [[nodiscard]] QSlider* slider() const { return m_slider; }

signals:
    void targetRowPicked(int target_row);
    void wishPulled(const WishHandles::Points& points);

private:
    using Curves = std::shared_ptr<const StackCurves>;
    using Warp = std::shared_ptr<const services::WarpDrawing>;
    [[nodiscard]] RunWork following(const BenchInput& input, Curves& result);
    void followWarps();
    void showCurves();
    void showWarps();
    void showRemarks();
    void followForces();
    void showForces();
    void sliderMoved(int step);
    [[nodiscard]] QString remarks() const; ///< closings, warnings, or why a stack cannot be followed

    StackSectionWidget* m_section;
    CurvePanel* m_curves;
    ForcePanel* m_forces;
    QStackedWidget* m_plots; ///< the curves, the forces
    QSlider* m_slider;
    QLabel* m_lift_text;
    QPlainTextEdit* m_remarks;
    CurveSettings m_settings;
    QString m_failure; ///< of the last run, a sentence
    QString m_substitute_name;
    bool m_lift_chosen = false; ///< by the person
    Curves m_target;
    Curves m_substitute;
    Warp m_target_warp;
    Warp m_substitute_warp;
    std::optional<planner::StackSpec> m_target_stack;
    std::optional<planner::StackSpec> m_substitute_stack;
    std::optional<planner::StackSpec> m_laid_out;
    std::optional<ValveInput> m_valve;
    BenchReadings m_readings;
    std::shared_ptr<const ForceCurves> m_force_curves;
    bool m_forces_shown = false;
    QTimer m_warp_pause; ///< between the last change and the work on warping, which takes far longer
    BackgroundRun m_target_run;
    BackgroundRun m_substitute_run;
    BackgroundRun m_target_warp_run;
    BackgroundRun m_substitute_warp_run;
    BackgroundRun m_force_run;
};

} // namespace shimledger::desk
