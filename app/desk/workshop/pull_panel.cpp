// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/pull_panel.h"

#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/bench_type.h"
#include "app/services/component_valves.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QProgressBar>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>
#include <utility>

namespace shimledger::desk {

namespace {

inventory::Condition conditionOf(const services::PickLine& line) {
    return line.used ? inventory::Condition::used : inventory::Condition::fresh;
}

} // namespace

PullPanel::PullPanel(ShopSession& session, const DeskActions& actions, QWidget* parent)
    : BenchStep(session, actions, parent), m_caption(new QLabel), m_progress(new QProgressBar),
      m_bin(new ScaledLabel(7)), m_what(new ScaledLabel(2.6)), m_for(new ScaledLabel(1.4, false)),
      m_then(new ScaledLabel(1.4, false)), m_scan(new QLineEdit),
      m_done(new QPushButton(tr("Pulled (Return)"))), m_list(new QListWidget) {
    for (QLabel* label : std::initializer_list<QLabel*>{m_caption, m_bin, m_what, m_for, m_then}) {
        label->setTextFormat(Qt::PlainText);
        label->setWordWrap(true);
    }
    m_bin->setAccessibleName(tr("Next drawer"));
    m_progress->setAccessibleName(tr("Lines that are done"));
    m_progress->setFormat(tr("%v of %m lines"));
    m_scan->setPlaceholderText(tr("Scan the drawer, or press Return when the discs are in your hand"));
    m_scan->setToolTip(tr("Where fewer are there: type how many, then say short."));
    m_scan->setAccessibleName(tr("Scan the drawer"));
    m_scan->setMinimumHeight(56);
    m_list->setAccessibleName(tr("All lines of the pick list"));
    m_list->setFocusPolicy(Qt::NoFocus); // the scanner's keys must not go astray
    m_list->setWordWrap(true);
    auto* buttons = new QHBoxLayout;
    guarded(m_done, &QPushButton::clicked, this, &PullPanel::pull);
    buttons->addWidget(m_done);
    for (const ActionId id : {ActionId::pull_short, ActionId::pull_wrong, ActionId::pull_undo}) {
        buttons->addWidget(actions.button(id));
    }
    for (int i = 0; i < buttons->count(); ++i) { // gloves
        auto* button = qobject_cast<QPushButton*>(buttons->itemAt(i)->widget());
        enlarge(*button, 60);
        button->setFocusPolicy(Qt::NoFocus);
    }
    auto* left = new QVBoxLayout;
    left->addWidget(m_caption);
    left->addWidget(m_bin);
    left->addWidget(m_what);
    left->addWidget(m_for);
    left->addStretch();
    left->addWidget(m_strip);
    left->addWidget(m_then);
    left->addWidget(m_progress);
    left->addWidget(m_scan);
    left->addLayout(buttons);
    auto* columns = new QHBoxLayout;
    columns->addLayout(left, 3);
    columns->addWidget(m_list, 2);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(columns, 1);
    setFocusProxy(m_scan);
    setType();
    guarded(m_scan, &QLineEdit::returnPressed, this, &PullPanel::pull);
    connectActions();
    refresh();
}

void PullPanel::connectActions() {
    guarded(m_actions[ActionId::pull_short], &QAction::triggered, this, &PullPanel::giveUpShort);
    guarded(m_actions[ActionId::pull_wrong], &QAction::triggered, this, [this] {
        giveUp(0, tr("wrong discs"), tr("holds something else"), "wrong: the drawer held other discs");
    });
    guarded(m_actions[ActionId::pull_undo], &QAction::triggered, this, &PullPanel::takeBack);
}

/// Whichever valve is at the bench, the drawers are walked once for all of its component.
void PullPanel::show(const std::optional<std::string>& at_bench) {
    std::optional<std::string> job = at_bench;
    (void)problemOf([&] {
        if (at_bench && m_session.isOpen()) job = services::componentJob(m_session.shop(), *at_bench).code;
    });
    if (job != m_job) {
        m_steps.clear();
        m_strip->clear();
    }
    m_job = job;
    read();
    refresh();
}

void PullPanel::read() {
    m_open.clear();
    m_known = true;
    if (!m_job || !m_session.isOpen()) {
        return;
    }
    try {
        const services::ComponentPick pick = services::componentPick(m_session.shop(), *m_job);
        for (const services::ComponentPick::Stop& stop : pick.walk()) {
            m_open.push_back({*stop.line, stop.valve->job, textOf(pick.purposeOf(stop)), pick.byLeg(stop),
                              stop.valve->build});
        }
    } catch (const InputError&) {
        // nothing is reserved: there is nothing to pull
    } catch (const inventory::ShopFileFault& fault) {
        showProblem(QString::fromUtf8(fault.what()));
        m_known = false;
    }
}

QString PullPanel::nextBin() const {
    return m_open.empty() ? QString() : textOf(m_open.front().line.bin);
}

template <typename Work>
bool PullPanel::book(Work&& work) {
    const auto problem = problemOf(work);
    if (problem) showProblem(*problem);
    return !problem;
}

/// A scan books every line of the drawer; Return alone books the line that is shown.
void PullPanel::pull() {
    if (!m_job || m_open.empty()) {
        return;
    }
    const std::string scanned = m_scan->text().toStdString();
    const OpenLine next = m_open.front();
    const bool good = book([&] {
        const services::FlowStep step = m_scan->text().trimmed().isEmpty()
                                            ? services::pullFromBin(m_session.shop(), *m_job, next.line.bin,
                                                                    {next.line.part, conditionOf(next.line),
                                                                     next.line.wanted_part, next.job})
                                            : services::pullFromBin(m_session.shop(), *m_job, scanned);
        const QString text = readWhatWent();
        if (!m_known) { // what is open no more cannot be told
            const QString what = scanned.empty() ? lineText(next) : textOf(scanned);
            m_steps.push_back({step.batch, what, true, tr("pulled")});
            showProblem(
                tr("%1 is booked as pulled; what is left cannot be read: %2").arg(what, m_strip->sentence()));
            return;
        }
        m_steps.push_back({step.batch, text, true, tr("pulled")});
        showDone(tr("%1, pulled.").arg(text));
    });
    if (!good) {
        m_scan->selectAll(); // it stays to be looked at, and the next scan takes its place
        return;
    }
    m_scan->clear();
    m_session.announceChange();
    if (m_open.empty() && m_known) {
        emit pulledAll();
    }
}

/// Reads the list again; the lines that are open no more.
QString PullPanel::readWhatWent() {
    const std::vector<OpenLine> before = m_open;
    read();
    QStringList lines;
    for (const OpenLine& each : before) {
        const services::PickLine& line = each.line;
        const bool open = std::any_of(m_open.begin(), m_open.end(), [&](const OpenLine& other) {
            return other.job == each.job && other.line.bin == line.bin && other.line.part == line.part &&
                   other.line.used == line.used && other.line.wanted_part == line.wanted_part;
        });
        if (!open) lines << lineText(each);
    }
    return lines.join(QStringLiteral("; "));
}

/// A number in the field says how many were there after all; those are pulled.
void PullPanel::giveUpShort() {
    const QString typed = m_scan->text().trimmed();
    bool whole = false;
    const int found = typed.toInt(&whole);
    if (!typed.isEmpty() && !whole) {
        showProblem(tr("\"%1\" is no number: type how many were in the drawer, or nothing where it was "
                       "empty, and say short.")
                        .arg(typed.left(40)));
        return;
    }
    if (found == 0) {
        giveUp(0, tr("short"), tr("is short"), "short: the drawer held less than its books");
    } else {
        giveUp(found, tr("%1 found, the rest short").arg(found), tr("held %1").arg(found),
               "short: the drawer held " + std::to_string(found));
    }
}

/// What the drawer does not hold is promised to nobody any more, so that the drawer can be counted.
void PullPanel::giveUp(int found, const QString& outcome, const QString& why, const std::string& reason) {
    if (!m_job || m_open.empty()) {
        return;
    }
    const OpenLine next = m_open.front();
    const bool good = book([&] {
        const services::FlowStep step =
            services::pullShort(m_session.shop(), *m_job, next.line.bin,
                                {next.line.part, conditionOf(next.line), {}, next.job}, found, reason);
        // One lot may serve several lines.
        m_steps.push_back({step.batch, readWhatWent(), false, outcome});
        m_strip->showMessage(MessageStrip::Kind::problem,
                             (found > 0 ? tr("%1 %2: these are pulled, the others are given up. ")
                                        : tr("%1 %2, so this line is given up. "))
                                     .arg(textOf(next.line.bin), why) +
                                 tr("Count the drawer (Ctrl+T), then release what is left (F7) and search "
                                    "again (F5). F4 takes "
                                    "it back."));
    });
    if (!good) {
        m_scan->selectAll();
        return;
    }
    m_scan->clear();
    m_session.announceChange();
}

void PullPanel::takeBack() {
    if (m_steps.empty()) {
        return;
    }
    const Step last = m_steps.back();
    const bool good = book([&] {
        inventory::StockLedger(m_session.shop()).reverseBatch(last.batch.batch, "taken back at the bench");
        m_steps.pop_back();
        showDone(tr("Taken back: %1").arg(last.text));
    });
    if (good) {
        m_session.announceChange();
    }
}

bool PullPanel::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) setType();
    return BenchStep::event(event);
}

/// Also after the text size was changed in the settings.
void PullPanel::setType() {
    setFont(benchFont(1.25));
    m_scan->setFont(benchFont(1.5));
}

void PullPanel::enableActions() {
    m_done->setEnabled(!m_open.empty());
    enable(ActionId::pull_short, !m_open.empty());
    enable(ActionId::pull_wrong, !m_open.empty());
    enable(ActionId::pull_undo, !m_steps.empty());
}

} // namespace shimledger::desk
