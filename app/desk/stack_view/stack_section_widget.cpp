// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/stack_section_widget.h"

#include "planner/stack/stack_text.h"

#include <QEvent>
#include <QLocale>
#include <QMouseEvent>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr double title_pixels = 26; // line above the section
constexpr double foot_pixels = 50;  // piston, and the line that states the scale
constexpr double clamp_headroom = 30;

double widestRadius(const planner::StackSpec& stack) {
    double widest = stack.valve().port_outer_diameter.millimetres() / 2;
    for (const planner::DiscRow& row : stack.rows()) {
        widest = std::max(widest, row.od.millimetres() / 2);
    }
    return widest + 0.8;
}

} // namespace

StackSectionWidget::StackSectionWidget(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Stacks on the bench"));
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
    describe();
}

void StackSectionWidget::setTarget(std::optional<BenchSide> side) {
    m_target = {std::move(side), nullptr};
    describe();
    update();
}

void StackSectionWidget::setTargetNotes(const QStringList& notes) {
    if (m_target.side) {
        m_target.side->row_notes = notes;
        update();
    }
}

void StackSectionWidget::setTargetRows(const std::vector<int>& rows) {
    if (m_target.side) {
        m_target.side->target_rows = rows;
        update();
    }
}

void StackSectionWidget::setSubstitute(std::optional<BenchSide> side) {
    m_substitute = {std::move(side), nullptr};
    describe();
    update();
}

void StackSectionWidget::setCurves(std::shared_ptr<const StackCurves> target,
                                   std::shared_ptr<const StackCurves> substitute) {
    m_target.curves = std::move(target);
    m_substitute.curves = std::move(substitute);
    update();
}

void StackSectionWidget::setLift(double lift_mm) {
    m_lift_mm = lift_mm;
    update();
}

void StackSectionWidget::setHighlightedRow(int target_row) {
    m_highlighted_row = target_row;
    update();
}

SectionGeometry StackSectionWidget::geometryOf(const Half& half, double lift_mm) const {
    if (!half.curves || half.curves->shapes.empty()) {
        return sectionGeometry(half.side->stack, {});
    }
    return sectionGeometry(half.side->stack, half.curves->shapes[half.curves->nearestShape(lift_mm)]);
}

/// As wide as the rows' names, or their notes where there is room, as long as the discs keep theirs.
double StackSectionWidget::labelWidth() const {
    QFont bold = font();
    bold.setBold(true);
    const QFontMetricsF marked(bold);
    const QFontMetricsF metrics(font());
    double names = 0;
    double notes = 0;
    for (const Half* half : {&m_target, &m_substitute}) {
        if (!half->side) continue;
        const auto& rows = half->side->stack.rows();
        for (std::size_t i = 0; i < rows.size(); ++i) {
            names =
                std::max(names, marked.horizontalAdvance(SectionPainter::rowName(rows, static_cast<int>(i))));
        }
        for (const QString& note : half->side->row_notes) {
            notes = std::max(notes, metrics.horizontalAdvance(note));
        }
    }
    constexpr double leader = 4;
    constexpr double least_for_discs = 78;
    const double most = std::max(0.0, (width() - least_for_discs) / 2.0);
    return std::min(std::max(names, std::min(notes, 0.30 * width())) + leader, most);
}

std::optional<SectionScale> StackSectionWidget::scale() const {
    if (!m_target.side) {
        return std::nullopt;
    }
    double radius = 1;
    double height = 0.1;
    for (const Half* half : {&m_target, &m_substitute}) {
        if (!half->side) {
            continue;
        }
        radius = std::max(radius, widestRadius(half->side->stack));
        // The scale must not jump while the slider moves, so room is kept for the last shape.
        const double last =
            half->curves && !half->curves->shapes.empty() ? half->curves->shape_lifts_mm.back() : 0;
        height = std::max({height, geometryOf(*half, last).top_mm, half->side->stack.height().millimetres()});
    }
    const double room = this->height() - title_pixels - clamp_headroom - foot_pixels;
    SectionScale result;
    result.pixels_per_mm = std::max(1.0, (width() - 2 * labelWidth() - 24) / (2 * radius));
    result.height_factor = heightFactor(height, result.pixels_per_mm, room);
    const double drawn = height * result.pixels_per_mm * result.height_factor;
    const double slack = std::max(0.0, (room - drawn) / 2);
    result.face = {width() / 2.0, this->height() - foot_pixels - slack};
    return result;
}

double StackSectionWidget::tallestStack() const {
    double tallest = 0;
    for (const Half* half : {&m_target, &m_substitute}) {
        if (half->side) {
            tallest = std::max(tallest, half->side->stack.height().millimetres());
        }
    }
    return tallest;
}

int StackSectionWidget::shownHeightFactor() const {
    const auto current = scale();
    return current ? current->height_factor : 0;
}

void StackSectionWidget::drawHalf(QPainter& painter, const Half& half, const SectionScale& scale) {
    SectionStyle style{DeskColours::of(palette()), palette(), m_highlighted_row, {}};
    const double label = labelWidth();
    style.labels =
        QRectF(scale.right ? width() - label : 0.0, title_pixels, label, height() - title_pixels - 22);
    const SectionGeometry section = geometryOf(half, m_lift_mm);
    SectionPainter section_painter(painter, scale, style);
    section_painter.drawPiston(half.side->stack.valve(), section.outer_radius_mm);
    section_painter.drawDiscs(*half.side, section);
    section_painter.drawClamp(half.side->stack.valve(), section.height_mm, tallestStack());
    section_painter.drawTouches(section);
    section_painter.drawLabels(*half.side, section);
}

void StackSectionWidget::drawFrame(QPainter& painter, const SectionScale& scale) {
    const DeskColours colours = DeskColours::of(palette());
    painter.setPen(QPen(colours.quiet, 1, Qt::DashDotLine));
    painter.drawLine(QPointF(scale.face.x(), title_pixels), QPointF(scale.face.x(), height() - 22.0));
    QFont bold = font();
    bold.setBold(true);
    painter.setFont(bold);
    const double half = width() / 2.0 - 10;
    const QFontMetricsF metrics(bold);
    painter.setPen(colours.target);
    painter.drawText(QRectF(4, 2, half, title_pixels), Qt::AlignLeft | Qt::AlignVCenter,
                     metrics.elidedText(m_target.side->title, Qt::ElideRight, half));
    if (m_substitute.side) {
        painter.setPen(colours.substitute);
        painter.drawText(QRectF(width() / 2.0 + 6, 2, half, title_pixels), Qt::AlignRight | Qt::AlignVCenter,
                         metrics.elidedText(m_substitute.side->title, Qt::ElideRight, half));
    }
    painter.setFont(font());
    painter.setPen(colours.quiet);
    const QString lift = QLocale::c().toString(m_lift_mm, 'f', 2);
    const QString whole =
        tr("Heights drawn %1 times taller than radii. Lift %2 mm.").arg(scale.height_factor).arg(lift);
    const bool fits = QFontMetricsF(font()).horizontalAdvance(whole) <= width();
    painter.drawText(QRectF(0, height() - 20.0, width(), 20), Qt::AlignCenter,
                     fits ? whole : tr("Heights x %1, lift %2 mm").arg(scale.height_factor).arg(lift));
}

void StackSectionWidget::paintEvent(QPaintEvent* /*event*/) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(rect(), palette().color(QPalette::Base));
    auto current = scale();
    if (!current) {
        painter.setPen(DeskColours::of(palette()).quiet);
        painter.drawText(rect().adjusted(20, 20, -20, -20),
                         static_cast<int>(Qt::AlignCenter) | Qt::TextWordWrap,
                         tr("Nothing to draw: pick a job that has a target stack."));
        return;
    }
    drawFrame(painter, *current);
    drawHalf(painter, m_target, *current);
    current->right = true;
    if (m_substitute.side) {
        drawHalf(painter, m_substitute, *current);
        return;
    }
    painter.setPen(DeskColours::of(palette()).quiet);
    painter.drawText(
        QRectF(width() / 2.0 + 30, title_pixels, width() / 2.0 - 50, height() - title_pixels - foot_pixels),
        static_cast<int>(Qt::AlignCenter) | Qt::TextWordWrap,
        tr("A substitute is laid out here when you pick one of the proposals."));
}

void StackSectionWidget::mousePressEvent(QMouseEvent* event) {
    auto current = scale();
    if (!current) {
        return;
    }
    for (const Half* half : {&m_target, &m_substitute}) {
        current->right = half == &m_substitute;
        if (!half->side) {
            continue;
        }
        for (const DiscOutline& disc : geometryOf(*half, m_lift_mm).discs) {
            QPolygonF paper;
            for (const QPointF& point : disc.outline) {
                paper << current->at(point);
            }
            if (!paper.containsPoint(event->position(), Qt::OddEvenFill)) {
                continue;
            }
            const auto row = static_cast<std::size_t>(disc.row);
            const auto& rows = half->side->target_rows;
            const int target_row = row < rows.size() ? rows[row] : disc.row;
            if (target_row >= 0) emit targetRowPicked(target_row);
            return;
        }
    }
}

void StackSectionWidget::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) {
        update();
    }
    QWidget::changeEvent(event);
}

/// The same in words, for screen readers.
void StackSectionWidget::describe() {
    QString words;
    for (const Half* half : {&m_target, &m_substitute}) {
        if (!half->side) {
            continue;
        }
        words += tr("%1, from the piston face: %2. ")
                     .arg(half->side->title,
                          QString::fromStdString(planner::stackText(half->side->stack.rows(), ", ")));
    }
    setAccessibleDescription(words.isEmpty() ? tr("Nothing is drawn.") : words.trimmed());
}

} // namespace shimledger::desk
