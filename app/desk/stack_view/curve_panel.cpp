// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/curve_panel.h"

#include "app/desk/sentence_label.h"
#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/warped_pressure.h"

#include <QEvent>
#include <QLabel>
#include <QLocale>
#include <QMouseEvent>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

QString number(double value, int decimals) {
    return QLocale::c().toString(value, 'f', decimals);
}

QString signedPerCent(double per_cent) {
    return (per_cent >= 0 ? QStringLiteral("+") : QString()) + number(per_cent, 1) + QStringLiteral(" %");
}

QString rimWords(const std::optional<RimLifts>& rim) {
    return CurvePanel::tr("%1 to %2 mm").arg(number(rim->least_mm, 3), number(rim->greatest_mm, 3));
}

} // namespace

CurvePanel::CurvePanel(QWidget* parent)
    : QWidget(parent), m_plot(std::make_unique<CurvePlot>(this)), m_reading(new SentenceLabel(this)),
      m_substitute_name(tr("Substitute")) {
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
    redraw();
}

CurvePanel::~CurvePanel() = default;

void CurvePanel::setStacks(FollowedStack target, FollowedStack substitute) {
    m_target = std::move(target);
    m_substitute = std::move(substitute);
    redraw();
}

void CurvePanel::setSubstituteName(const QString& name) {
    m_substitute_name = name;
}

void CurvePanel::redraw() {
    m_plot->show(target(), substitute(), m_substitute_name);
    m_plot->fit(font());
    hover(std::nullopt);
}

void CurvePanel::setMarkedLift(double lift_mm) {
    m_marked_lift_mm = lift_mm;
    hover(std::nullopt);
}

void CurvePanel::setWorkingLift(double lift_mm) {
    m_plot->setWorkingLift(lift_mm);
}

DrawnStack CurvePanel::target() const {
    return {m_target.curves.get(), m_target.warp.get()};
}

DrawnStack CurvePanel::substitute() const {
    return {m_substitute.curves.get(), m_substitute.warp.get()};
}

QString CurvePanel::reading(double lift_mm) const {
    const auto wanted = pressureWithWarping(target(), lift_mm);
    if (!wanted) {
        return {};
    }
    QString words = tr("At %1 mm: target %2 MPa").arg(number(lift_mm, 3), number(*wanted, 3));
    if (const auto built = pressureWithWarping(substitute(), lift_mm)) {
        words += tr(", %1 %2 MPa, deviation %3")
                     .arg(m_substitute_name.toLower(), number(*built, 3),
                          signedPerCent(100 * (*built / *wanted - 1)));
    }
    const auto target_rim = rimLifts(target(), lift_mm);
    const auto substitute_rim = rimLifts(substitute(), lift_mm);
    QStringList rims;
    if (target_rim) rims << tr("target's rim %1").arg(rimWords(target_rim));
    if (substitute_rim) rims << tr("%1's rim %2").arg(m_substitute_name.toLower(), rimWords(substitute_rim));
    if (!rims.isEmpty()) words += tr("; warped, %1").arg(rims.join(QStringLiteral(", ")));
    return words + QLatin1Char('.');
}

void CurvePanel::hover(std::optional<double> lift_mm) {
    const double lift = lift_mm.value_or(m_marked_lift_mm);
    m_plot->mark(lift);
    showReading(lift);
}

void CurvePanel::showReading(double lift_mm) {
    QString words = reading(lift_mm);
    if (words.isEmpty() && m_target.curves) {
        words = tr("Move the lift slider, or point at the curves, to read values.");
    }
    m_reading->setText(words);
}

bool CurvePanel::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::MouseMove) {
        hover(m_plot->liftAt(static_cast<QMouseEvent*>(event)->position().x()));
    } else if (event->type() == QEvent::Leave) {
        hover(std::nullopt);
    } else if (event->type() == QEvent::Resize) {
        m_plot->fit(font());
    }
    return QWidget::eventFilter(watched, event);
}

void CurvePanel::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) {
        m_plot->dress(palette(), font());
        m_plot->fit(font());
    }
    QWidget::changeEvent(event);
}

} // namespace shimledger::desk
