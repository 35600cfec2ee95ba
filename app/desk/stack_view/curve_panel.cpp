#include "app/desk/stack_view/curve_panel.h"

#include "app/desk/sentence_label.h"
#include "app/desk/stack_view/curve_plot.h"

#include <QEvent>
#include <QLabel>
#include <QLocale>
#include <QMouseEvent>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

QString number(double value, int decimals) {
    return QLocale::c().toString(value, 'f', decimals);
}

QString signedPerCent(double per_cent) {
    return (per_cent >= 0 ? QStringLiteral("+") : QString()) + number(per_cent, 1) + QStringLiteral(" %");
}

bool reaches(const std::shared_ptr<const StackCurves>& curves, double lift_mm) {
    return curves && lift_mm > 0 && lift_mm <= curves->report.curve.greatestLift() + 1e-9;
}

/// Words about the rim where the discs are no longer round; empty below the onset.
QString rimWords(const std::shared_ptr<const services::WarpDrawing>& warp, double lift_mm) {
    if (!warp || !warp->onset || lift_mm <= warp->onset->lift_mm) return {};
    const auto& means = warp->mean_lifts_mm;
    const auto next = std::lower_bound(means.begin(), means.end(), lift_mm);
    if (next == means.begin() || next == means.end()) return {};
    const auto i = static_cast<std::size_t>(next - means.begin());
    const double part = (lift_mm - means[i - 1]) / (means[i] - means[i - 1]);
    const auto between = [i, part](const std::vector<double>& column) {
        return column[i - 1] + part * (column[i] - column[i - 1]);
    };
    return CurvePanel::tr("%1 MPa warped (rim %2 to %3 mm)")
        .arg(number(between(warp->warped_pressures_mpa), 3), number(between(warp->min_lifts_mm), 3),
             number(between(warp->max_lifts_mm), 3));
}

double pressureAt(const StackCurves& curves, double lift_mm) {
    return curves.report.curve.pressureAt(std::min(lift_mm, curves.report.curve.greatestLift()));
}

} // namespace

CurvePanel::CurvePanel(QWidget* parent)
    : QWidget(parent), m_plot(std::make_unique<CurvePlot>(this)), m_reading(new SentenceLabel(this)) {
    setAccessibleName(tr("Curves"));
    m_reading->setAccessibleName(tr("Values at the marked lift"));
    m_reading->setMinimumHeight(2 * m_reading->fontMetrics().height() + 4);
    m_reading->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(2);
    layout->addWidget(m_plot->view(), 1);
    layout->addWidget(m_reading);
    m_plot->dress(palette(), font());
    m_plot->view()->installEventFilter(this);
    setCurves(nullptr, nullptr);
}

CurvePanel::~CurvePanel() = default;

void CurvePanel::setCurves(std::shared_ptr<const StackCurves> target,
                           std::shared_ptr<const StackCurves> substitute) {
    m_target = std::move(target);
    m_substitute = std::move(substitute);
    redraw();
}

void CurvePanel::setWarps(std::shared_ptr<const services::WarpDrawing> target,
                          std::shared_ptr<const services::WarpDrawing> substitute) {
    m_target_warp = std::move(target);
    m_substitute_warp = std::move(substitute);
    redraw();
}

void CurvePanel::redraw() {
    m_plot->show({m_target.get(), m_target_warp.get()}, {m_substitute.get(), m_substitute_warp.get()});
    hover(std::nullopt);
}

void CurvePanel::setMarkedLift(double lift_mm) {
    m_marked_lift_mm = lift_mm;
    hover(std::nullopt);
}

void CurvePanel::setWorkingLift(double lift_mm) {
    m_plot->setWorkingLift(lift_mm);
}

QString CurvePanel::reading(double lift_mm) const {
    if (!reaches(m_target, lift_mm)) {
        return {};
    }
    const double target = pressureAt(*m_target, lift_mm);
    QString words = tr("At %1 mm: target %2 MPa").arg(number(lift_mm, 3), number(target, 3));
    if (reaches(m_substitute, lift_mm)) {
        const double substitute = pressureAt(*m_substitute, lift_mm);
        words += tr(", substitute %1 MPa, deviation %2")
                     .arg(number(substitute, 3), signedPerCent(100 * (substitute / target - 1)));
    }
    words += QStringLiteral(".");
    const QString target_rim = rimWords(m_target_warp, lift_mm);
    const QString substitute_rim = rimWords(m_substitute_warp, lift_mm);
    if (!target_rim.isEmpty()) words += tr(" Target %1.").arg(target_rim);
    if (!substitute_rim.isEmpty()) words += tr(" Substitute %1.").arg(substitute_rim);
    return words;
}

void CurvePanel::hover(std::optional<double> lift_mm) {
    const double lift = lift_mm.value_or(m_marked_lift_mm);
    m_plot->mark(lift);
    showReading(lift);
}

void CurvePanel::showReading(double lift_mm) {
    QString words = reading(lift_mm);
    if (words.isEmpty() && m_target) {
        words = tr("Move the lift slider, or point at the curves, to read values.");
    }
    m_reading->setText(words);
}

bool CurvePanel::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::MouseMove) {
        hover(m_plot->liftAt(static_cast<QMouseEvent*>(event)->position().x()));
    } else if (event->type() == QEvent::Leave) {
        hover(std::nullopt);
    }
    return QWidget::eventFilter(watched, event);
}

void CurvePanel::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) {
        m_plot->dress(palette(), font());
    }
    QWidget::changeEvent(event);
}

} // namespace shimledger::desk
