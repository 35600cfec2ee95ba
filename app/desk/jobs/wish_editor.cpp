// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/wish_editor.h"

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "app/services/typed_wish.h"
#include "planner/units/input_error.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

constexpr int pause_ms = 150; // between the last change and a search for it

} // namespace

WishEditor::WishEditor(const DeskActions& actions, AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_settings(settings), m_field(new QLineEdit), m_words(new SentenceLabel) {
    m_field->setAccessibleName(tr("Wish for another curve, in per cent of the target's pressure"));
    m_field->setPlaceholderText(tr("the target's own curve; or -10, or 0.12 -10; 0.20 0"));
    m_field->setToolTip(
        tr("Per cent at every lift, as -10; or points of a lift in mm and per cent, as 0.12 -10; "
           "0.20 0. - is softer, + stiffer. The handles on the deviation's plot are the same."));
    m_field->setClearButtonEnabled(true);
    m_words->setAccessibleName(tr("The wish in words"));
    auto* row = new QHBoxLayout;
    row->addWidget(actions.button(ActionId::wish_curve));
    row->addWidget(m_field, 1);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(2);
    layout->addLayout(row);
    layout->addWidget(m_words);
    m_pause.setSingleShot(true);
    m_pause.setInterval(pause_ms);
    guarded(&m_pause, &QTimer::timeout, this, &WishEditor::settled);
    guarded(m_field, &QLineEdit::textEdited, this, &WishEditor::takeTyped);
    guarded(m_field, &QLineEdit::textChanged, this, [this](const QString& text) {
        if (text.isEmpty() && !m_points.empty()) drop(); // by its button
    });
    guarded(m_field, &QLineEdit::returnPressed, this, [this] {
        if (!m_problem.isEmpty()) return;
        m_pause.stop();
        emit entered();
    });
    showWords();
}

QString WishEditor::topic() const {
    return QStringLiteral("wish/%1").arg(textOf(m_job.value_or(std::string())));
}

void WishEditor::show(const std::optional<std::string>& job, bool may_wish) {
    m_field->setEnabled(may_wish);
    if (job == m_job) return;
    m_job = job;
    m_problem.clear();
    m_points.clear();
    m_pause.stop();
    const QString kept = m_job ? m_settings.drafts().text(topic()) : QString();
    const QSignalBlocker quiet(m_field);
    m_field->setText(kept);
    if (!kept.isEmpty()) {
        try {
            m_points = services::typedWish(kept.toStdString()).points();
        } catch (const InputError& problem) {
            m_problem = QString::fromUtf8(problem.what());
        }
    }
    showWords();
    emit changed();
}

void WishEditor::begin(const std::vector<double>& handle_lifts_mm) {
    if (m_points.empty() && m_problem.isEmpty()) {
        for (const double lift : handle_lifts_mm) m_points.push_back({lift, 1});
        showWords();
        emit changed();
    }
    m_field->setFocus(Qt::ShortcutFocusReason);
    m_field->selectAll();
}

void WishEditor::takeTyped() {
    m_problem.clear();
    const QString text = m_field->text();
    Points points;
    if (!text.trimmed().isEmpty()) {
        try {
            points = services::typedWish(text.toStdString()).points();
        } catch (const InputError& problem) {
            m_problem = QString::fromUtf8(problem.what());
        }
    }
    if (m_problem.isEmpty())
        take(std::move(points));
    else
        m_pause.stop(); // half a number is nothing to search for
    keep();
    showWords();
}

void WishEditor::setPoints(const Points& points) {
    if (points == m_points) return;
    m_problem.clear();
    {
        const QSignalBlocker quiet(m_field);
        m_field->setText(textOf(services::wishForm(planner::WantedFactor::of(points))));
    }
    take(points);
    keep();
    showWords();
}

void WishEditor::drop() {
    m_problem.clear();
    m_field->clear();
    take({});
    keep();
    showWords();
}

void WishEditor::take(Points points) {
    if (points == m_points) return;
    m_points = std::move(points);
    m_pause.start();
    emit changed();
}

void WishEditor::keep() {
    if (m_job) m_settings.drafts().keep(topic(), m_field->text().trimmed());
}

bool WishEditor::wishes() const {
    return !wanted().changesNothing();
}

planner::WantedFactor WishEditor::wanted() const {
    return m_points.empty() ? planner::WantedFactor() : planner::WantedFactor::of(m_points);
}

QString WishEditor::sentence() const {
    if (!m_problem.isEmpty()) return m_problem;
    return wishes() ? tr("Wanted: %1.").arg(textOf(wanted().words())) : QString();
}

void WishEditor::showWords() {
    const QString words = sentence();
    m_words->setText(words);
    m_words->setVisible(!words.isEmpty());
}

} // namespace shimledger::desk
