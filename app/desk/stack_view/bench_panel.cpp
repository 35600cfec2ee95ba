// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/bench_panel.h"

#include "app/desk/guard.h"
#include "app/desk/stack_view/curve_panel.h"
#include "app/desk/stack_view/force_panel.h"
#include "app/desk/stack_view/stack_section_widget.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLocale>
#include <QPlainTextEdit>
#include <QSlider>
#include <QSplitter>
#include <QStackedWidget>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr double slider_step_mm = 0.01;
constexpr int warp_pause_ms = 200;

QString millimetres(double value) {
    return QLocale::c().toString(value, 'f', 2);
}

} // namespace

BenchPanel::BenchPanel(QWidget* parent)
    : QWidget(parent), m_section(new StackSectionWidget), m_curves(new CurvePanel), m_forces(new ForcePanel),
      m_plots(new QStackedWidget), m_slider(new QSlider(Qt::Horizontal)), m_lift_text(new QLabel),
      m_remarks(new QPlainTextEdit) {
    auto* caption = new QLabel(tr("&Lift"));
    caption->setBuddy(m_slider);
    m_slider->setAccessibleName(tr("Lift of the face shim's edge, in hundredths of a millimetre"));
    m_slider->setToolTip(tr("Bends the discs as computed for this lift, and reads the curves there"));
    m_slider->setPageStep(5);
    m_slider->setTickInterval(5);
    m_slider->setTickPosition(QSlider::TicksBelow);
    m_lift_text->setMinimumWidth(m_lift_text->fontMetrics().horizontalAdvance(QStringLiteral("0.00 mm ")));
    m_remarks->setReadOnly(true);
    m_remarks->setTabChangesFocus(true);
    m_remarks->setFrameShape(QFrame::NoFrame);
    m_remarks->document()->setDocumentMargin(2);
    m_remarks->setFixedHeight(3 * m_remarks->fontMetrics().lineSpacing() +
                              2); // whole lines; longer remarks scroll
    m_remarks->setAccessibleName(tr("Remarks on the stacks"));
    auto* slider_row = new QHBoxLayout;
    slider_row->addWidget(caption);
    slider_row->addWidget(m_slider, 1);
    slider_row->addWidget(m_lift_text);

    auto* upper = new QWidget;
    auto* upper_layout = new QVBoxLayout(upper);
    upper_layout->setContentsMargins(0, 0, 0, 0);
    upper_layout->setSpacing(4);
    upper_layout->addWidget(m_section, 1);
    upper_layout->addLayout(slider_row);
    upper_layout->addWidget(m_remarks);
    auto* splitter = new QSplitter(Qt::Vertical);
    splitter->setChildrenCollapsible(false);
    splitter->addWidget(upper);
    m_plots->addWidget(m_curves);
    m_plots->addWidget(m_forces);
    splitter->addWidget(m_plots);
    splitter->setStretchFactor(0, 11);
    splitter->setStretchFactor(1, 9);
    splitter->setSizes({550, 450});
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(splitter);

    guarded(m_slider, &QSlider::valueChanged, this, &BenchPanel::sliderMoved);
    guarded(m_slider, &QSlider::actionTriggered, this, [this] { m_lift_chosen = true; });
    guarded(m_section, &StackSectionWidget::targetRowPicked, this, &BenchPanel::targetRowPicked);
    guarded(m_curves, &CurvePanel::wishPulled, this, &BenchPanel::wishPulled);
    for (BackgroundRun* run : {&m_target_run, &m_substitute_run}) {
        guarded(run, &BackgroundRun::finished, this, &BenchPanel::showCurves);
        guarded(run, &BackgroundRun::failed, this, [this](const QString& sentence) { m_failure = sentence; });
    }
    guarded(&m_force_run, &BackgroundRun::finished, this, &BenchPanel::showForces);
    guarded(&m_force_run, &BackgroundRun::failed, this,
            [this](const QString& sentence) { m_failure = sentence; });
    m_warp_pause.setSingleShot(true);
    m_warp_pause.setInterval(warp_pause_ms);
    guarded(&m_warp_pause, &QTimer::timeout, this, &BenchPanel::followWarps);
    for (BackgroundRun* run : {&m_target_warp_run, &m_substitute_warp_run}) {
        guarded(run, &BackgroundRun::finished, this, &BenchPanel::showWarps);
        guarded(run, &BackgroundRun::failed, this, [this](const QString& sentence) { m_failure = sentence; });
    }
    setTarget(std::nullopt);
}

void BenchPanel::setTarget(std::optional<BenchInput> input, const CurveSettings& settings) {
    m_settings = settings;
    m_target.reset();
    m_target_warp.reset();
    m_target_stack.reset();
    m_readings = {};
    m_section->setTarget(input ? std::optional(input->side) : std::nullopt);
    m_curves->setWorkingLift(settings.working_lift_mm);
    m_slider->setRange(0, static_cast<int>(std::lround(settings.working_lift_mm / slider_step_mm)));
    m_slider->setEnabled(input.has_value());
    if (!m_lift_chosen) { // what is asked first is how the stacks stand at the working lift
        m_slider->setValue(m_slider->maximum());
    }
    sliderMoved(m_slider->value());
    setSubstitute(std::nullopt);
    if (input) {
        m_target_stack = input->measured.value_or(input->side.stack);
        m_target_run.startWhenIdle(following(*input, m_target));
    } else {
        m_target_run.cancel();
    }
    showCurves();
    followForces();
}

void BenchPanel::setSubstitute(std::optional<BenchInput> input, const QString& name) {
    m_substitute_name = name.isEmpty() ? tr("Substitute") : name;
    m_curves->setSubstituteName(m_substitute_name);
    m_substitute.reset();
    m_substitute_warp.reset();
    m_substitute_stack.reset();
    m_laid_out = input ? std::optional(input->side.stack) : std::nullopt;
    m_section->setSubstitute(input ? std::optional(input->side) : std::nullopt);
    if (input) {
        m_substitute_stack = input->measured.value_or(input->side.stack);
        m_substitute_run.start(following(*input, m_substitute));
    } else {
        m_substitute_run.cancel();
    }
    showCurves();
    followForces();
}

void BenchPanel::setValve(std::optional<ValveInput> valve) {
    if (valve == m_valve) return;
    m_valve = std::move(valve);
    followForces();
}

void BenchPanel::setForcesShown(bool shown) {
    if (shown == m_forces_shown) return;
    m_forces_shown = shown;
    m_plots->setCurrentWidget(shown ? static_cast<QWidget*>(m_forces) : m_curves);
    if (shown && !m_force_curves) followForces();
    showRemarks();
}

void BenchPanel::setReadings(BenchReadings readings) {
    m_readings = std::move(readings);
    followForces();
}

QString BenchPanel::table() const {
    return m_forces_shown && m_force_curves ? forceTable(*m_force_curves, m_substitute_name) : QString();
}

void BenchPanel::followForces() {
    m_force_curves.reset();
    if (m_forces_shown && m_valve && m_target_stack) {
        m_force_run.start([this, valve = *m_valve, target = *m_target_stack, substitute = m_substitute_stack,
                           readings = m_readings](const RunControl&) -> RunDelivery {
            auto curves =
                std::make_shared<const ForceCurves>(computeForceCurves(valve, target, substitute, readings));
            return [this, curves] { m_force_curves = curves; };
        });
    } else {
        m_force_run.cancel();
    }
    showForces();
}

void BenchPanel::showForces() {
    QString why;
    if (!m_force_curves && m_target_stack)
        why = m_force_run.running() ? tr("Forces are being computed.")
              : m_valve             ? m_failure
                                    : tr("No valve is known.");
    m_forces->setCurves(m_force_curves, m_substitute_name, why);
    if (m_forces_shown) showRemarks();
}

RunWork BenchPanel::following(const BenchInput& input, Curves& result) {
    m_failure.clear();
    return [stack = input.measured.value_or(input.side.stack), sums = input.sums,
            thicknesses = input.thicknesses, settings = m_settings,
            &result](const RunControl& control) -> RunDelivery {
        auto curves = std::make_shared<const StackCurves>(
            computeStackCurves(stack, sums, thicknesses, settings, control.stop));
        return [curves, &result] { result = curves; };
    };
}

// Later than the curves and after a pause, so that whoever types does not wait behind it.
void BenchPanel::followWarps() {
    const auto start = [this](BackgroundRun& run, const std::optional<planner::StackSpec>& stack,
                              Warp& result) {
        if (!stack || result || m_settings.regime == planner::Regime::small) return;
        run.start([stack = *stack, lift_mm = m_settings.working_lift_mm,
                   &result](const RunControl&) -> RunDelivery {
            auto warp = std::make_shared<const services::WarpDrawing>(services::drawWarp(stack, lift_mm));
            return [warp, &result] { result = warp; };
        });
    };
    start(m_target_warp_run, m_target_stack, m_target_warp);
    start(m_substitute_warp_run, m_substitute_stack, m_substitute_warp);
}

void BenchPanel::showWarps() {
    m_curves->setStacks({m_target, m_target_warp}, {m_substitute, m_substitute_warp});
    showRemarks();
}

void BenchPanel::showCurves() {
    m_section->setCurves(m_target, m_substitute);
    m_curves->setStacks({m_target, m_target_warp}, {m_substitute, m_substitute_warp});
    m_curves->setMarkedLift(m_slider->value() * slider_step_mm);
    m_target_warp_run.cancel();
    m_substitute_warp_run.cancel();
    m_warp_pause.start();
    showRemarks();
}

void BenchPanel::showRemarks() {
    const QString words = remarks();
    m_remarks->setPlainText(words);
    m_remarks->setVisible(!words.isEmpty());
}

QString BenchPanel::remarks() const {
    // By gravity: the panel shows the first few, and the rest by scrolling.
    struct Said {
        QStringList cannot, warnings, warping, gaps;
    };
    const auto tell = [](const QString& who, const Curves& curves, const Warp& warp) -> Said {
        if (!curves) {
            return {};
        }
        Said told;
        auto& [cannot, warnings, warping, gaps] = told;
        const auto said = [&who](const std::string& sentence) {
            return tr("%1: %2").arg(who, QString::fromStdString(sentence));
        };
        const planner::StackReport& report = curves->report;
        if (!report.converged) {
            cannot << tr("%1 cannot be followed further: %2").arg(who, QString::fromStdString(report.reason));
        }
        for (const std::string& warning : report.warnings) warnings << said(warning);
        if (warp && warp->onset) {
            warping << tr("%1: the discs warp from %2 mm (%3 MPa), %4 lobes, row %5 most.")
                           .arg(who, millimetres(warp->onset->lift_mm),
                                QLocale::c().toString(warp->onset->pressure_mpa, 'f', 3))
                           .arg(warp->onset->lobes)
                           .arg(warp->onset->row + 1);
        }
        if (warp) {
            for (const std::string& note : warp->notes) warping << said(note);
        } else if (!report.warp_warning.empty()) { // until the onset is known
            warping << said(report.warp_warning);
        }
        for (const planner::GapClosing& closing : report.closings) {
            gaps << tr("%1: the gap between rows %2 and %3 closes at %4 mm.")
                        .arg(who)
                        .arg(closing.lower_row + 1)
                        .arg(closing.upper_row + 1)
                        .arg(millimetres(closing.lift_mm));
        }
        return told;
    };
    const Said target = tell(tr("Target"), m_target, m_target_warp);
    const Said substitute = tell(m_substitute_name, m_substitute, m_substitute_warp);
    QStringList sentences;
    if (!m_failure.isEmpty()) sentences << m_failure;
    if (m_forces_shown) {
        sentences << (m_force_curves && m_valve ? forceRemarks(*m_force_curves, *m_valve, m_substitute_name)
                                                : forceCautions());
        return sentences.join(QLatin1Char('\n'));
    }
    for (const auto kind : {&Said::cannot, &Said::warnings, &Said::warping, &Said::gaps}) {
        for (qsizetype i = 0; i < std::max((target.*kind).size(), (substitute.*kind).size()); ++i) {
            for (const Said* side : {&target, &substitute}) { // by turns, so that neither hides the other's
                if (i < (side->*kind).size()) sentences << (side->*kind)[i];
            }
        }
    }
    return sentences.join(QLatin1Char('\n'));
}

QImage BenchPanel::picture() {
    constexpr int fineness = 2;
    const int width = std::max(m_section->width(), m_plots->width());
    QImage image(QSize(width, m_section->height() + m_plots->height()) * fineness, QImage::Format_RGB32);
    image.setDevicePixelRatio(fineness);
    image.fill(palette().color(QPalette::Base));
    m_section->render(&image);
    m_plots->currentWidget()->render(&image, QPoint(0, m_section->height()));
    return image;
}

void BenchPanel::setTargetNotes(const QStringList& notes) {
    m_section->setTargetNotes(notes);
}

void BenchPanel::setTargetRows(const std::vector<int>& rows) {
    m_section->setTargetRows(rows);
}

void BenchPanel::setHighlightedRow(int target_row) {
    m_section->setHighlightedRow(target_row);
}

void BenchPanel::setWish(const WishHandles::Points& points) {
    m_curves->setWish(points);
}

void BenchPanel::setOverlays(std::vector<DeviationOverlay> overlays) {
    m_curves->setOverlays(std::move(overlays));
}

std::vector<double> BenchPanel::handleLifts() const {
    return m_curves->handleLifts();
}

void BenchPanel::setLift(double lift_mm) {
    m_lift_chosen = true;
    m_slider->setValue(static_cast<int>(std::lround(lift_mm / slider_step_mm)));
}

void BenchPanel::sliderMoved(int step) {
    const double lift_mm = step * slider_step_mm;
    m_lift_text->setText(tr("%1 mm").arg(millimetres(lift_mm)));
    m_section->setLift(lift_mm);
    m_curves->setMarkedLift(lift_mm);
    m_forces->setMarkedLift(lift_mm);
}

} // namespace shimledger::desk
