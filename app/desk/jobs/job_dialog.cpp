// SPDX-License-Identifier: GPL-3.0-or-later
// What the job dialog does; how it is laid out is in job_dialog_layout.cpp.
#include "app/desk/jobs/job_dialog.h"

#include "app/desk/attempt.h"
#include "app/desk/length_edit.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "planner/units/input_error.h"

#include <QComboBox>
#include <QFormLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>

#include <algorithm>

namespace shimledger::desk {

namespace {

enum TargetChoice { comes_later, as_earlier };

/// The field takes the focus, since it is there that something is to be put right.
[[noreturn]] void refuse(QWidget& field, const QString& sentence) {
    field.setFocus(Qt::OtherFocusReason);
    throw InputError(sentence.toStdString());
}

std::string textIn(const QLineEdit& field) {
    return field.text().trimmed().toStdString();
}

std::string textIn(const QComboBox& box) {
    return box.currentText().trimmed().toStdString();
}

QString sizeText(const std::optional<Length>& length, SizeUnit bare) {
    return length ? lengthText(*length, bare) : QString();
}

} // namespace

Fields JobDialog::fields() const {
    return {{QStringLiteral("code"), m_code},
            {QStringLiteral("customer"), m_customer},
            {QStringLiteral("component"), m_component},
            {QStringLiteral("model"), m_model},
            {QStringLiteral("kind"), m_kind},
            {QStringLiteral("description"), m_description},
            {QStringLiteral("valve"), m_valve},
            {QStringLiteral("legs"), m_legs},
            {QStringLiteral("due"), m_due},
            {QStringLiteral("priority"), m_priority},
            {QStringLiteral("note"), m_note},
            {QStringLiteral("clamp_od_mm"), m_sizes[clamp]->field()},
            {QStringLiteral("port_inner_diameter_mm"), m_sizes[port_inner]->field()},
            {QStringLiteral("port_outer_diameter_mm"), m_sizes[port_outer]->field()},
            {QStringLiteral("shim_id_mm"), m_sizes[shim_id]->field()},
            {QStringLiteral("seat_diameter_mm"), m_sizes[seat]->field()},
            {QStringLiteral("preload_mm"), m_sizes[preload]->field()},
            {QStringLiteral("target"), m_target}};
}

QString JobDialog::sizesFrom() const {
    return m_lent_words->text();
}

QString JobDialog::problem() const {
    return m_strip->kind() == MessageStrip::Kind::problem ? m_strip->sentence() : QString();
}

void JobDialog::fill(const inventory::Job& job) {
    m_code->setText(textOf(job.code));
    m_customer->setText(textOf(job.customer));
    m_component->setText(textOf(job.component));
    m_model->setCurrentText(textOf(job.model));
    m_valve->setCurrentText(textOf(job.valve.name));
    m_legs->setValue(job.legs);
    m_due->setText(job.due ? textOf(job.due->text()) : QString());
    m_priority->setValue(job.priority);
    m_note->setText(textOf(job.note));
    lend(job.valve);
}

bool JobDialog::knownModel() const {
    const std::string typed = textIn(*m_model);
    return std::any_of(m_question.models.begin(), m_question.models.end(),
                       [&typed](const inventory::ComponentModel& model) { return model.code == typed; });
}

int JobDialog::newKindLegs() const {
    return services::usualLegs(static_cast<inventory::ComponentKind>(m_kind->currentData().toInt()));
}

void JobDialog::lendLegs(int legs) {
    if (!m_question.before && m_legs->value() == m_lent_legs) m_legs->setValue(legs);
    m_lent_legs = legs;
}

void JobDialog::lookAtModel() {
    const std::string typed = textIn(*m_model);
    const auto known =
        std::find_if(m_question.models.begin(), m_question.models.end(),
                     [&](const inventory::ComponentModel& model) { return model.code == typed; });
    const bool new_model = known == m_question.models.end() && !typed.empty();
    m_job_form->setRowVisible(m_kind, new_model);
    m_job_form->setRowVisible(m_description, new_model);
    if (known != m_question.models.end()) {
        m_model_words->setText(textOf(known->description));
        lendLegs(known->legs);
    } else {
        lendLegs(newKindLegs());
        m_model_words->setText(new_model ? tr("New to this shop: it is written down with the job.")
                                         : QString());
    }
    lookAtEarlier();
}

void JobDialog::lookAtEarlier() {
    if (m_question.before) {
        return;
    }
    m_earlier.reset();
    if (knownModel()) {
        const auto problem =
            problemOf([this] { m_earlier = m_question.earlier(textIn(*m_model), textIn(*m_valve)); });
        if (problem) m_strip->showMessage(MessageStrip::Kind::problem, *problem);
    }
    lend(m_earlier ? std::optional(m_earlier->job.valve) : std::nullopt);
    m_lent_words->setText(m_earlier
                              ? tr("Sizes as in %1 of %2: measure them again.")
                                    .arg(textOf(m_earlier->job.code), textOf(m_earlier->job.opened.text()))
                              : tr("As measured, in %1.").arg(typingHelp(m_question.size_unit)));
    while (m_target->count() > as_earlier) {
        m_target->removeItem(as_earlier);
    }
    if (m_earlier && !m_earlier->target.empty()) {
        m_target->addItem(
            tr("as in %1, %2 rows").arg(textOf(m_earlier->job.code)).arg(m_earlier->target.size()));
    }
    m_target->setEnabled(m_target->count() > as_earlier);
}

/// Fields that a person has typed into keep what was typed.
void JobDialog::lend(const std::optional<inventory::JobValve>& valve) {
    std::array<QString, sizes> texts;
    if (valve) {
        const SizeUnit bare = m_question.size_unit;
        texts = {lengthText(valve->clamp_od, bare),
                 lengthText(valve->port_inner_diameter, bare),
                 lengthText(valve->port_outer_diameter, bare),
                 lengthText(valve->shim_id, bare),
                 sizeText(valve->seat_diameter, bare),
                 sizeText(valve->preload, bare)};
    }
    for (std::size_t i = 0; i < sizes; ++i) {
        if (m_sizes[i]->text() == m_lent[i]) m_sizes[i]->setText(texts[i]);
        m_lent[i] = texts[i];
    }
}

Length JobDialog::size(Size which) {
    if (const auto length = m_sizes[which]->value()) return *length;
    QLineEdit& field = *m_sizes[which]->field();
    refuse(field, tr("%1 is missing, or is no length: measure it, in %2.")
                      .arg(field.accessibleName().remove(tr(", if any")), typingHelp(m_question.size_unit)));
}

std::optional<Length> JobDialog::optionalSize(Size which) {
    if (m_sizes[which]->text().trimmed().isEmpty()) return std::nullopt;
    return size(which);
}

services::JobIntake JobDialog::read() {
    services::JobIntake intake;
    inventory::Job& job = intake.job;
    if (m_question.before) job = *m_question.before;
    job.code = textIn(*m_code);
    if (!m_question.before && job.code == m_question.next_code) {
        job.code.clear(); // another desk may have taken it meanwhile: the next one then
    }
    job.customer = textIn(*m_customer);
    job.component = textIn(*m_component);
    job.model = textIn(*m_model);
    job.valve.name = textIn(*m_valve);
    job.legs = m_legs->value();
    job.priority = m_priority->value();
    job.note = textIn(*m_note);
    if (job.model.empty()) refuse(*m_model, tr("The model is missing: which fork or shock is it?"));
    if (job.valve.name.empty()) {
        refuse(*m_valve, tr("The valve is missing: compression, rebound, base or mid?"));
    }
    if (!knownModel()) {
        if (m_kind->currentIndex() < 0) {
            refuse(*m_kind, tr("The model is new: say whether it is a fork or a shock."));
        }
        intake.new_model =
            inventory::ComponentModel{job.model,
                                      static_cast<inventory::ComponentKind>(m_kind->currentData().toInt()),
                                      textIn(*m_description),
                                      job.legs,
                                      {},
                                      {}};
    }
    job.valve.clamp_od = size(clamp);
    job.valve.port_inner_diameter = size(port_inner);
    job.valve.port_outer_diameter = size(port_outer);
    job.valve.shim_id = size(shim_id);
    job.valve.seat_diameter = optionalSize(seat);
    job.valve.preload = optionalSize(preload);
    const std::string due = textIn(*m_due);
    job.due.reset();
    if (!due.empty()) {
        const auto problem = problemOf([&] { job.due = inventory::CalendarDate::parse(due); });
        if (problem) refuse(*m_due, *problem);
    }
    if (m_target->currentIndex() == as_earlier && m_earlier) intake.target = m_earlier->target;
    return intake;
}

void JobDialog::book() {
    std::optional<services::JobIntake> intake;
    std::optional<QString> problem = problemOf([&] { intake = read(); });
    if (!problem) problem = m_question.book(*intake);
    if (problem) {
        m_strip->showMessage(MessageStrip::Kind::problem, *problem);
        return;
    }
    if (m_question.keep) m_question.keep({});
    accept();
}

void JobDialog::restore(const QVariantMap& values) {
    setValues(fields(), values);
    setValues(fields(), values); // again, since model and valve bring what an earlier job had
}

void JobDialog::startAfresh() {
    m_question.keep({});
    m_kind->setCurrentIndex(-1);
    restore(m_blank);
    m_strip->clear();
    m_afresh->hide();
    m_model->setFocus(Qt::OtherFocusReason);
}

void JobDialog::tellProblem(const Problem& problem) {
    m_strip->showMessage(MessageStrip::Kind::problem, problem.sentence);
}

void JobDialog::reject() {
    guard(this, [this] { keepWhatIsLeft(); });
    QDialog::reject();
}

void JobDialog::keepWhatIsLeft() {
    if (m_question.keep) {
        QVariantMap left = valuesOf(fields());
        if (left == m_blank) left.clear();
        if (left.value(QStringLiteral("code")) == m_blank.value(QStringLiteral("code"))) {
            left.remove(QStringLiteral("code")); // the next time another one is next
        }
        m_question.keep(left);
    }
}

void JobDialog::keyPressEvent(QKeyEvent* event) {
    if (event->key() != Qt::Key_Return && event->key() != Qt::Key_Enter) {
        QDialog::keyPressEvent(event);
        return;
    }
    if (event->modifiers().testFlag(Qt::ControlModifier)) {
        guard(this, [this] { book(); });
    } else if (auto* button = qobject_cast<QPushButton*>(focusWidget())) {
        button->click();
    } else {
        focusNextChild();
    }
}

} // namespace shimledger::desk
