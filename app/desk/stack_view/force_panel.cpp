// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/force_panel.h"

#include "app/desk/sentence_label.h"
#include "app/desk/stack_view/force_plot.h"

#include <QEvent>
#include <QLabel>
#include <QMouseEvent>
#include <QVBoxLayout>

namespace shimledger::desk {

ForcePanel::ForcePanel(QWidget* parent)
    : QWidget(parent), m_plot(std::make_unique<ForcePlot>(this)), m_reading(new SentenceLabel(this)) {
    setAccessibleName(tr("Force over shaft speed"));
    m_reading->setAccessibleName(tr("Values at the marked speed"));
    m_reading->setMinimumHeight(4 * m_reading->fontMetrics().height() + 4);
    m_reading->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(2);
    layout->addWidget(m_plot->view(), 1);
    layout->addWidget(m_reading);
    m_plot->dress(palette(), font());
    m_plot->view()->installEventFilter(this);
    setCurves(nullptr, {});
}

ForcePanel::~ForcePanel() = default;

void ForcePanel::setCurves(std::shared_ptr<const ForceCurves> curves, const QString& substitute_name,
                           const QString& why) {
    m_curves = std::move(curves);
    m_substitute_name = substitute_name;
    m_why = why;
    m_plot->show(m_curves.get(), m_substitute_name);
    m_plot->fit(font());
    hover(std::nullopt);
}

void ForcePanel::setMarkedLift(double lift_mm) {
    m_marked_lift_mm = lift_mm;
    hover(std::nullopt);
}

QString ForcePanel::reading(double speed_m_s) const {
    if (!m_curves) return {};
    const auto point = nearestSpeed(*m_curves, speed_m_s);
    return point ? forceReading(*m_curves, *point, m_substitute_name) : QString();
}

void ForcePanel::hover(std::optional<double> speed_m_s) {
    const double wanted = speed_m_s.value_or(m_curves ? speedAtLift(*m_curves, m_marked_lift_mm) : 0);
    const auto point = m_curves ? nearestSpeed(*m_curves, wanted) : std::nullopt;
    m_plot->mark(point ? m_curves->target.points[*point].speed_m_s : wanted);
    const QString words = reading(wanted);
    m_reading->setText(words.isEmpty() ? m_why : words);
}

bool ForcePanel::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::MouseMove) {
        hover(m_plot->speedAt(static_cast<QMouseEvent*>(event)->position().x()));
    } else if (event->type() == QEvent::Leave) {
        hover(std::nullopt);
    } else if (event->type() == QEvent::Resize) {
        m_plot->fit(font());
    }
    return QWidget::eventFilter(watched, event);
}

void ForcePanel::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) {
        m_plot->dress(palette(), font());
        m_plot->fit(font());
    }
    QWidget::changeEvent(event);
}

} // namespace shimledger::desk
