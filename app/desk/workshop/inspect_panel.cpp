// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/inspect_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/services/component_valves.h"
#include "app/services/wanted_part.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/part_catalogue.h"

#include <QComboBox>
#include <QKeyEvent>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QScopedValueRollback>
#include <QSignalBlocker>
#include <QSpinBox>
#include <QTableWidget>

#include <algorithm>

namespace shimledger::desk {

namespace {

using inventory::WearDecision;
using inventory::WearState;

constexpr int not_said = -1; // of a worn percentage

QString decisionText(WearDecision decision) {
    return decision == WearDecision::replace ? InspectPanel::tr("replace")
           : decision == WearDecision::defer ? InspectPanel::tr("defer")
                                             : InspectPanel::tr("keep");
}

QString foundText(const inventory::WearFinding& finding) {
    if (finding.worn_percent) return InspectPanel::tr("%1 % worn").arg(*finding.worn_percent);
    return finding.state == WearState::notSaid ? QString() : textOf(inventory::wearStateName(finding.state));
}

QString kitText(const services::JobKit& kit) {
    QStringList words;
    const auto tell = [&words](const QString& head, const std::vector<services::KitLine>& lines) {
        if (lines.empty()) return;
        words << head;
        for (const services::KitLine& line : lines) {
            words << QStringLiteral("  %1 %2 %3: %4")
                         .arg(line.quantity)
                         .arg(line.unit == "piece" ? QStringLiteral("x") : textOf(line.unit),
                              textOf(line.what), textOf(line.reason));
        }
    };
    tell(InspectPanel::tr("The kit:"), kit.wanted);
    tell(InspectPanel::tr("Put off, and expected to be asked for:"), kit.deferred);
    if (!kit.open.empty()) words << InspectPanel::tr("Not looked at yet: %1").arg(kit.open.size());
    return words.join(QLatin1Char('\n'));
}

} // namespace

InspectPanel::InspectPanel(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                           QWidget* parent)
    : BenchStep(session, actions, parent), m_settings(settings), m_table(new QTableWidget(0, 6)),
      m_leg(new QSpinBox), m_place(new QLineEdit), m_percent(new QSpinBox), m_state(new QComboBox),
      m_decision(new QComboBox), m_pieces(new QSpinBox), m_reason(new QLineEdit), m_note(new QLineEdit),
      m_kit(new QPlainTextEdit) {
    layOut();
    m_table->installEventFilter(this);
    setFocusProxy(m_table);
    guarded(m_table, &QTableWidget::currentCellChanged, this, [this](int row, int, int before, int) {
        if (row != before) fillForm();
    });
    for (QLineEdit* edit : {m_place, m_reason, m_note})
        guarded(edit, &QLineEdit::textEdited, this, &InspectPanel::keepDraft);
    for (QSpinBox* box : {m_leg, m_percent, m_pieces})
        guarded(box, &QSpinBox::valueChanged, this, &InspectPanel::keepDraft);
    for (QComboBox* box : {m_state, m_decision})
        guarded(box, &QComboBox::currentIndexChanged, this, &InspectPanel::keepDraft);
    for (QLineEdit* edit : {m_reason, m_note})
        guarded(edit, &QLineEdit::returnPressed, this, &InspectPanel::writeDown);
    guarded(actions[ActionId::inspect_write], &QAction::triggered, this, &InspectPanel::writeDown);
    guarded(actions[ActionId::inspect_kit], &QAction::triggered, this, &InspectPanel::makeKit);
    InspectPanel::enableActions();
}

void InspectPanel::enableActions() {
    enable(ActionId::inspect_write, m_job.has_value());
    enable(ActionId::inspect_kit, m_job.has_value());
}

void InspectPanel::show(const std::optional<std::string>& job) {
    const bool other = job != m_job;
    if (other) { // no job's sheet stands here while this one's cannot be read
        m_strip->clear();
        m_job.reset();
        read();
        enableActions();
    }
    m_job = job;
    try {
        read();
    } catch (...) {
        if (other) m_job.reset();
        throw;
    }
    enableActions();
}

void InspectPanel::read() {
    const int row = std::max(0, m_table->currentRow());
    // All of it before anything is shown: what stands here stays where it cannot be read anew.
    std::vector<services::InspectionLine> lines;
    QString kit;
    int legs = 1;
    if (m_job && m_session.isOpen()) {
        legs = inventory::componentLegs(inventory::componentValves(m_session.shop(), *m_job));
        lines = services::inspectionSheet(m_session.shop(), *m_job);
        kit = kitText(services::jobKit(m_session.shop(), *m_job));
    }
    {
        const QSignalBlocker quiet(m_table);
        m_table->setRowCount(0);
        m_lines = std::move(lines);
        m_kit->setPlainText(kit);
        if (m_job) {
            const QSignalBlocker unasked(m_leg);
            m_leg->setMaximum(legs);
        }
        m_table->setRowCount(m_job ? static_cast<int>(m_lines.size()) + 1 : 0);
        for (int at = 0; at < m_table->rowCount(); ++at) {
            QStringList cells{QString(), tr("another place or part ...")};
            if (at < static_cast<int>(m_lines.size())) {
                const services::InspectionLine& line = m_lines[static_cast<std::size_t>(at)];
                cells = {line.leg > 0 ? QString::number(line.leg) : QString(),
                         line.part.empty()   ? textOf(line.place)
                         : line.quantity > 1 ? tr("%1 x %2").arg(line.quantity).arg(textOf(line.what))
                                             : textOf(line.what),
                         line.finding ? foundText(*line.finding) : QString(),
                         line.finding ? decisionText(line.finding->decision)
                                      : QString(QChar(0x25CB)) + tr(" not looked at"),
                         line.finding ? textOf(line.finding->reason) : QString(),
                         textOf(line.trend)};
            }
            for (int column = 0; column < cells.size(); ++column)
                m_table->setItem(at, column, new QTableWidgetItem(cells[column]));
        }
        m_table->setCurrentCell(std::min(row, m_table->rowCount() - 1), 0);
    }
    m_table->resizeColumnsToContents();
    fillForm();
}

const services::InspectionLine* InspectPanel::picked() const {
    const int row = m_table->currentRow();
    return row >= 0 && row < static_cast<int>(m_lines.size()) ? &m_lines[static_cast<std::size_t>(row)]
                                                              : nullptr;
}

QString InspectPanel::topic() const {
    const services::InspectionLine* line = picked();
    const QString subject = line ? textOf(line->part.empty() ? line->place : line->part) : QString();
    return QStringLiteral("inspect/%1/%2/%3").arg(textOf(*m_job)).arg(line ? line->leg : 0).arg(subject);
}

void InspectPanel::fillForm() {
    const QScopedValueRollback filling(m_filling, true);
    const services::InspectionLine* line = picked();
    inventory::WearFinding shown;
    if (line) {
        shown = line->finding.value_or(shown);
        shown.leg = line->leg;
        shown.place = line->place;
        if (!line->finding) shown.quantity = line->quantity;
    }
    const bool bushing = line && line->takes_percent;
    m_leg->setEnabled(m_job && !line);
    m_place->setEnabled(m_job && !line);
    m_place->setPlaceholderText(line ? QString() : tr("such as: slider, chrome; or the code of a part"));
    m_percent->setEnabled(bushing);
    m_state->setEnabled(m_job && !bushing);
    for (QWidget* field : {static_cast<QWidget*>(m_decision), static_cast<QWidget*>(m_pieces),
                           static_cast<QWidget*>(m_reason), static_cast<QWidget*>(m_note)})
        field->setEnabled(m_job.has_value());
    m_leg->setValue(shown.leg);
    m_place->setText(textOf(shown.place));
    m_percent->setValue(shown.worn_percent.value_or(not_said));
    m_state->setCurrentIndex(m_state->findData(static_cast<int>(shown.state)));
    m_decision->setCurrentIndex(m_decision->findData(static_cast<int>(shown.decision)));
    m_pieces->setValue(static_cast<int>(shown.quantity));
    m_reason->setText(textOf(shown.reason));
    m_note->setText(textOf(shown.note));
    const QStringList kept =
        m_job ? m_settings.drafts().text(topic()).split(QLatin1Char('\n')) : QStringList();
    if (kept.size() == 8) {
        m_leg->setValue(kept[0].toInt());
        m_place->setText(kept[1]);
        m_percent->setValue(kept[2].toInt());
        m_state->setCurrentIndex(kept[3].toInt());
        m_decision->setCurrentIndex(kept[4].toInt());
        m_pieces->setValue(kept[5].toInt());
        m_reason->setText(kept[6]);
        m_note->setText(kept[7]);
    }
}

void InspectPanel::keepDraft() {
    if (m_filling || !m_job) return;
    m_settings.drafts().keep(
        topic(),
        QStringList{QString::number(m_leg->value()), m_place->text(), QString::number(m_percent->value()),
                    QString::number(m_state->currentIndex()), QString::number(m_decision->currentIndex()),
                    QString::number(m_pieces->value()), m_reason->text(), m_note->text()}
            .join(QLatin1Char('\n')));
}

inventory::WearFinding InspectPanel::typed() const {
    inventory::WearFinding finding;
    finding.job = services::componentJob(m_session.shop(), *m_job).code;
    const services::InspectionLine* line = picked();
    finding.leg = line ? line->leg : m_leg->value();
    if (line) finding.part = line->part;
    if (!line || line->part.empty()) finding.place = m_place->text().trimmed().toStdString();
    // Where the line for another place names a part, the finding is of that part, and can call for a new one.
    if (!line && inventory::PartCatalogue(m_session.shop()).find(finding.place))
        std::swap(finding.part, finding.place);
    if (m_percent->isEnabled() && m_percent->value() != not_said) finding.worn_percent = m_percent->value();
    if (m_state->isEnabled()) finding.state = static_cast<WearState>(m_state->currentData().toInt());
    finding.decision = static_cast<WearDecision>(m_decision->currentData().toInt());
    finding.quantity = m_pieces->value();
    finding.reason = m_reason->text().trimmed().toStdString();
    finding.note = m_note->text().trimmed().toStdString();
    return finding;
}

std::optional<inventory::Part> InspectPanel::partWanted() {
    if (!m_job) return std::nullopt;
    const std::string typed = picked() != nullptr ? std::string() : m_place->text().toStdString();
    return services::wantedPart(typed, inventory::PartKind::oilSeal, m_settings.choices().size_unit);
}

void InspectPanel::takePart(const QString& code) {
    if (picked() != nullptr) m_table->setCurrentCell(m_table->rowCount() - 1, 0);
    m_place->setText(code);
    keepDraft();
    m_place->setFocus(Qt::OtherFocusReason);
}

void InspectPanel::writeDown() {
    if (!m_job) return;
    if (const auto problem = problemOf([&] { inventory::WearBook(m_session.shop()).record(typed()); })) {
        showProblem(*problem);
        return;
    }
    m_settings.drafts().keep(topic(), {});
    const int next = m_table->currentRow() + 1;
    m_strip->clear();
    m_session.announceChange(); // reads the sheet anew
    m_table->setCurrentCell(std::min(next, m_table->rowCount() - 1), 0);
    m_table->setFocus(Qt::OtherFocusReason);
}

void InspectPanel::makeKit() {
    if (!m_job) return;
    std::optional<inventory::Job> job;
    if (const auto problem = problemOf([&] {
            job = inventory::JobBook(m_session.shop()).find(*m_job);
            services::applyKit(m_session.shop(), *m_job);
        })) {
        showProblem(*problem);
        return;
    }
    m_session.announceChange();
    const bool promised = job && job->status != inventory::JobStatus::open;
    const QString done = tr("The kit is now the list of consumables of %1.").arg(textOf(*m_job));
    showDone(promised ? done + tr(" What is reserved is still as before: release it (F7) and reserve again.")
                      : done);
}

void InspectPanel::decide(WearDecision what) {
    m_decision->setCurrentIndex(m_decision->findData(static_cast<int>(what)));
    const auto* line = picked();
    const bool decided = line && line->finding && line->finding->decision != what;
    if (what == WearDecision::keep && line && !decided) {
        writeDown();
        return;
    }
    if (decided) { // nothing that was found is thrown over by one key
        m_strip->showMessage(MessageStrip::Kind::note, tr("It is written down as \"%1\": put the form right "
                                                          "and write it down (Return there), or leave it.")
                                                           .arg(decisionText(line->finding->decision)));
    }
    QWidget* field = !picked()                ? static_cast<QWidget*>(m_place)
                     : m_percent->isEnabled() ? static_cast<QWidget*>(m_percent)
                                              : static_cast<QWidget*>(m_reason);
    field->setFocus(Qt::TabFocusReason);
}

bool InspectPanel::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) setType();
    return BenchStep::event(event);
}

bool InspectPanel::eventFilter(QObject* watched, QEvent* event) {
    if (watched == m_table && event->type() == QEvent::KeyPress && m_job) {
        switch (static_cast<QKeyEvent*>(event)->key()) {
        case Qt::Key_K:
            guard(this, [this] { decide(WearDecision::keep); });
            return true;
        case Qt::Key_R:
            guard(this, [this] { decide(WearDecision::replace); });
            return true;
        case Qt::Key_D:
            guard(this, [this] { decide(WearDecision::defer); });
            return true;
        default:
            break;
        }
    }
    return QWidget::eventFilter(watched, event);
}

} // namespace shimledger::desk
