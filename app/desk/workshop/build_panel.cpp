// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/build_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "app/desk/workshop/build_words.h"
#include "app/desk/workshop/caution_band.h"
#include "app/desk/workshop/stack_checklist.h"
#include "app/services/cautions.h"
#include "app/services/component_valves.h"
#include "app/services/stock_flow.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"

#include <QEvent>
#include <QLabel>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>

#include <algorithm>

namespace shimledger::desk {

BuildPanel::BuildPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                       AppSettings& settings, QWidget* parent)
    : BenchStep(session, actions, parent), m_prompts(prompts), m_settings(settings),
      m_title(new ScaledLabel(1.6)) {
    layOut();
    guarded(m_build, &StackChecklist::ticksChanged, this, [this] {
        keepTicks();
        tellProgress();
    });
    guarded(actions[ActionId::build_record], &QAction::triggered, this, &BuildPanel::record);
    BuildPanel::enableActions();
}

QString BuildPanel::topic() const {
    return QStringLiteral("build/%1").arg(textOf(*m_job));
}

QString BuildPanel::signature() const {
    QStringList rows;
    for (const services::BuildRowState& row : m_state.rows) rows << discsText(row.row);
    return rows.join(QStringLiteral(", "));
}

QString BuildPanel::stage() const {
    if (!m_recordable) return {};
    if (!m_state.to_pull.empty()) {
        return counted(static_cast<qint64>(m_state.to_pull.size()), tr("1 line is still to be pulled"),
                       tr("%1 lines are still to be pulled"));
    }
    return m_state.allThere() ? tr("everything is pulled") : tr("discs are missing, see the build sheet");
}

QString BuildPanel::open() const {
    return m_open->sentence();
}

void BuildPanel::show(const std::optional<std::string>& job) {
    if (job != m_job) m_strip->clear();
    m_job = job;
    m_state = {};
    m_recordable = false;
    m_title->setText(tr("No job is at the bench."));
    if (m_job && m_session.isOpen()) {
        const auto problem = problemOf([this] {
            const auto found = inventory::JobBook(m_session.shop()).get(*m_job);
            m_state = services::buildState(m_session.shop(), *m_job);
            m_legs = found.legs;
            m_first_leg = found.first_leg;
            m_recordable = found.status == inventory::JobStatus::reserved ||
                           found.status == inventory::JobStatus::pulled;
            const QString name = tr("%1, %2").arg(
                textOf(*m_job),
                textOf(services::valveText(
                    found, inventory::componentLegs(inventory::componentValves(m_session.shop(), *m_job)))));
            m_title->setText(m_state.rows.empty() ? tr("%1 has no target stack yet.").arg(name)
                             : !m_state.accepted
                                 ? tr("%1: nothing is accepted yet, so the target is shown").arg(name)
                             : m_legs == 1 ? tr("%1: build, 1 leg").arg(name)
                                           : tr("%1: build, %2 legs").arg(name).arg(m_legs));
        });
        if (problem) showProblem(*problem);
    }
    fill();
    enableActions();
}

void BuildPanel::fill() {
    m_target->clear();
    for (std::size_t row = 0; row < m_state.target.size(); ++row) {
        // A figure space keeps the tens in their column.
        m_target->addItem(QStringLiteral("%1.  %2")
                              .arg(static_cast<int>(row) + 1, 2, 10, QChar(0x2007))
                              .arg(discsText(m_state.target[row])));
    }
    m_build->setStack(checklistRows(m_state), m_job ? m_legs : 0, m_first_leg);
    restoreTicks();
    m_open->tell(m_recordable ? openText(m_state) : QString());
    m_heights->setText(m_state.rows.empty() ? QString() : heightsText(m_state));
    m_consumables->setPlainText(m_job ? consumablesText(m_state) : QString());
    tellProgress();
}

void BuildPanel::restoreTicks() {
    if (!m_job) return;
    QStringList kept = m_settings.drafts().text(topic()).split(QLatin1Char('\n'));
    // Ticks of another stack say nothing of this one.
    if (kept.takeFirst() == signature()) m_build->setTicks(kept);
}

void BuildPanel::keepTicks() {
    if (!m_job) return;
    const QStringList ticks = m_build->ticks();
    const bool any = std::any_of(ticks.begin(), ticks.end(),
                                 [](const QString& leg) { return leg.contains(QLatin1Char('1')); });
    m_settings.drafts().keep(topic(),
                             any ? (QStringList{signature()} + ticks).join(QLatin1Char('\n')) : QString());
}

void BuildPanel::tellProgress() {
    QStringList legs;
    for (int leg = 1; leg <= m_build->legs() && m_build->rowCount() > 0; ++leg) {
        const auto laid = m_build->rowCount() - static_cast<int>(m_build->open(leg).size());
        legs << (laid == m_build->rowCount() ? tr("leg %1 is laid").arg(m_build->legNumber(leg))
                                             : tr("leg %1: %2 of %3 rows laid")
                                                   .arg(m_build->legNumber(leg))
                                                   .arg(laid)
                                                   .arg(m_build->rowCount()));
    }
    QString text = legs.join(QStringLiteral(", "));
    if (!text.isEmpty()) text[0] = text[0].toUpper();
    m_progress->setText(text.isEmpty() ? text : tr("%1.").arg(text));
}

/// Everything that is not as the sheet says is named first; a person who built all the same may say so.
void BuildPanel::record() {
    if (!m_job || !m_recordable) return;
    // A component is built and closed as a whole.
    const std::string component = services::componentJob(m_session.shop(), *m_job).code;
    const QString job = textOf(component);
    QStringList sentences;
    for (const inventory::Job& valve : services::valvesOf(m_session.shop(), component)) {
        if (valve.code == *m_job) continue;
        sentences << (valve.status == inventory::JobStatus::pulled
                          ? tr("%1 is pulled, and ends as well.").arg(textOf(valve.code))
                          : tr("%1 is %2, and ends as well: nothing of it would be built.")
                                .arg(textOf(valve.code), textOf(inventory::jobStatusName(valve.status))));
    }
    for (int leg = 1; leg <= m_build->legs(); ++leg) {
        const QList<int> open = m_build->open(leg);
        if (!open.isEmpty())
            sentences << tr("Leg %1: %2 not ticked.").arg(m_build->legNumber(leg)).arg(rowsText(open));
    }
    if (!m_state.allThere()) sentences << openText(m_state);
    if (!m_state.to_pull.empty()) sentences << tr("What is not pulled yet is booked as pulled now.");
    if (m_state.not_put_away > 0) {
        sentences << tr("%1 reclaimed discs of the strip are not put away, and cannot be once the job is "
                        "closed.")
                         .arg(m_state.not_put_away);
    }
    sentences << tr("Record the build of %1 as done? The job is closed then.").arg(job);
    if (!m_prompts.confirm(this, tr("Record the build"), sentences.join(QLatin1Char('\n')),
                           tr("&Record the build"))) {
        return;
    }
    services::EndedJob ended;
    if (const auto problem = problemOf([&] {
            ended = services::closeJob(m_session.shop(), component, services::OpenReservations::issue);
        })) {
        showProblem(*problem);
        return;
    }
    m_settings.drafts().keep(topic(), {});
    QString done = tr("%1 is built and closed.").arg(job);
    if (ended.issued > 0) done += tr(" Booked as pulled with it: %1.").arg(ended.issued);
    m_session.announceChange(); // the next job comes to the bench
    showDone(done);
}

void BuildPanel::enableActions() {
    enable(ActionId::build_record, m_recordable);
    m_laid->setEnabled(m_build->rowCount() > 0);
}

bool BuildPanel::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) setType();
    return BenchStep::event(event);
}

SheetTable BuildPanel::sheet() const {
    SheetTable sheet;
    sheet.title = m_title->text();
    sheet.note = m_heights->text();
    sheet.columns = {tr("Laid"), tr("Build, piston face first"), tr("In place of"),
                     tr("Target, piston face first")};
    const auto build = static_cast<int>(m_state.rows.size());
    for (int row = 0; row < std::max(build, m_target->count()); ++row) {
        QStringList cells{{}, {}, {}, row < m_target->count() ? m_target->item(row)->text() : QString()};
        if (row < build) {
            const inventory::StackRow& discs = m_state.rows[static_cast<std::size_t>(row)].row;
            cells[0] = QString(m_legs, QChar(0x2610));
            cells[1] = QStringLiteral("%1.  %2").arg(row + 1).arg(discsText(discs));
            if (m_state.accepted && discs.replaces) cells[2] = tr("target row %1").arg(*discs.replaces);
        }
        sheet.rows.push_back(cells);
    }
    for (const QString& line : m_consumables->toPlainText().split(QLatin1Char('\n'), Qt::SkipEmptyParts)) {
        sheet.rows.push_back({QString(QChar(0x2610)), line, {}, {}});
    }
    for (const std::string& caution : services::workCautions()) {
        sheet.rows.push_back({{}, tr("Mind: %1").arg(textOf(caution)), {}, {}});
    }
    return sheet;
}

} // namespace shimledger::desk
