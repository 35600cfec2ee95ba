// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/curve_panel.h"

#include "app/desk/guard.h"
#include "app/desk/sentence_label.h"

#include <QEvent>
#include <QKeyEvent>
#include <QLabel>
#include <QLocale>
#include <QMouseEvent>
#include <QVBoxLayout>

#include <cmath>

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
    if (!m_pulling) hover(std::nullopt);
}

void CurvePanel::setMarkedLift(double lift_mm) {
    m_marked_lift_mm = lift_mm;
    hover(std::nullopt);
}

void CurvePanel::setWorkingLift(double lift_mm) {
    m_working_lift_mm = lift_mm;
    m_plot->setWorkingLift(lift_mm);
}

void CurvePanel::setWish(const WishHandles::Points& points) {
    if (points == m_wish.points()) return; // as it was pulled here
    m_wish.set(points, m_working_lift_mm);
    m_plot->view()->setFocusPolicy(points.empty() ? Qt::NoFocus : Qt::StrongFocus);
    m_plot->setWish(points, m_wish.picked(), m_pulling);
    redraw();
}

std::vector<double> CurvePanel::handleLifts() const {
    constexpr double apart_mm = 0.02;
    std::vector<double> lifts{0};
    if (m_target.curves && !m_target.curves->report.closings.empty()) {
        const double closing = std::round(100 * m_target.curves->report.closings.front().lift_mm) / 100;
        if (closing > apart_mm && closing < m_working_lift_mm - apart_mm) lifts.push_back(closing);
    }
    if (m_working_lift_mm > apart_mm) lifts.push_back(m_working_lift_mm);
    return lifts;
}

void CurvePanel::focusWish() {
    m_plot->view()->setFocus(Qt::OtherFocusReason);
    showWish();
}

void CurvePanel::showWish() {
    m_plot->setWish(m_wish.points(), m_wish.picked(), m_pulling);
    m_plot->show(target(), substitute(), m_substitute_name);
    m_reading->setText(handleText());
    emit wishPulled(m_wish.points());
}

QString CurvePanel::handleText() const {
    if (m_wish.points().empty()) return {};
    const planner::WantedPoint& point = m_wish.points()[m_wish.picked()];
    const double per_cent = 100 * (point.factor - 1);
    const QString what =
        std::abs(per_cent) < 0.05
            ? tr("the same")
            : (per_cent < 0 ? tr("%1 % softer") : tr("%1 % stiffer")).arg(number(std::abs(per_cent), 1));
    return tr("Handle %1 of %2, at %3 mm: %4. Arrow keys move it, Insert sets one more, Delete takes it "
              "away.")
        .arg(m_wish.picked() + 1)
        .arg(m_wish.points().size())
        .arg(number(point.lift_mm, 3), what);
}

bool CurvePanel::handleMouse(const QMouseEvent& event) {
    const QPointF at = event.position();
    const bool left = event.button() == Qt::LeftButton;
    if (event.type() == QEvent::MouseButtonPress && left && m_plot->wishPointAt(at) >= 0) {
        m_wish.pick(static_cast<std::size_t>(m_plot->wishPointAt(at)));
        m_pulling = true;
    } else if (event.type() == QEvent::MouseMove && m_pulling) {
        const double fineness = event.modifiers().testFlag(Qt::ShiftModifier) ? 1000 : 100;
        const double factor = std::round((1 + m_plot->perCentAt(at.y()) / 100) * fineness) / fineness;
        m_wish.moveTo(m_plot->liftAt(at.x()), factor);
    } else if (event.type() == QEvent::MouseButtonRelease && m_pulling) {
        m_pulling = false;
    } else if (event.type() == QEvent::MouseButtonDblClick && left && m_plot->inDeviation(at) &&
               m_plot->wishPointAt(at) < 0) {
        if (!m_wish.add(m_plot->liftAt(at.x()))) return false;
    } else {
        return false;
    }
    showWish();
    return true;
}

bool CurvePanel::isHandleKey(const QKeyEvent& event) {
    switch (event.key()) {
    case Qt::Key_Left:
    case Qt::Key_Right:
    case Qt::Key_Up:
    case Qt::Key_Down:
        return !event.modifiers().testAnyFlags(Qt::AltModifier | Qt::MetaModifier);
    case Qt::Key_Insert:
    case Qt::Key_Delete:
        return event.modifiers() == Qt::NoModifier;
    default:
        return false;
    }
}

void CurvePanel::handleKey(const QKeyEvent& event) {
    const planner::WantedPoint point = m_wish.points()[m_wish.picked()];
    const int side = event.key() == Qt::Key_Left ? -1 : event.key() == Qt::Key_Right ? 1 : 0;
    const int height = event.key() == Qt::Key_Down ? -1 : event.key() == Qt::Key_Up ? 1 : 0;
    if (event.key() == Qt::Key_Insert) {
        m_wish.addBesidePicked();
    } else if (event.key() == Qt::Key_Delete) {
        m_wish.remove();
    } else if (side != 0 && event.modifiers().testFlag(Qt::ControlModifier)) {
        constexpr double step_mm = 0.01;
        m_wish.moveTo(point.lift_mm + side * step_mm, point.factor);
    } else if (side != 0) {
        m_wish.pickBeside(side);
    } else {
        const double step = event.modifiers().testFlag(Qt::ShiftModifier) ? 0.001 : 0.01;
        m_wish.moveTo(point.lift_mm, point.factor + height * step);
    }
    showWish();
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
    if (!m_wish.points().empty()) {
        if (event->type() == QEvent::ShortcutOverride || event->type() == QEvent::KeyPress) {
            const auto& key = *static_cast<QKeyEvent*>(event);
            if (isHandleKey(key)) { // before the actions of the window that have these keys
                event->accept();
                if (event->type() == QEvent::KeyPress) guard(this, [&] { handleKey(key); });
                return true;
            }
        }
        bool taken = false;
        if (auto* mouse = dynamic_cast<QMouseEvent*>(event))
            guard(this, [&] { taken = handleMouse(*mouse); });
        if (taken) return true;
    }
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
