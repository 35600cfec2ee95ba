#include "app/desk/workshop/pull_panel.h"

#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/state_mark.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

namespace shimledger::desk {

PullPanel::PullPanel(ShopSession& session, const DeskActions& actions, QWidget* parent)
    : BenchStep(session, actions, parent), m_caption(new QLabel), m_bin(new ScaledLabel(7)),
      m_what(new ScaledLabel(2.6)), m_for(new ScaledLabel(1.4, false)), m_scan(new QLineEdit),
      m_done(new QPushButton(tr("Pulled (Return)"))), m_list(new QListWidget) {
    for (QLabel* label : std::initializer_list<QLabel*>{m_caption, m_bin, m_what, m_for}) {
        label->setTextFormat(Qt::PlainText);
        label->setWordWrap(true);
    }
    m_bin->setAccessibleName(tr("Next drawer"));
    m_scan->setPlaceholderText(tr("Scan the drawer, or press Return when the discs are in your hand"));
    m_scan->setAccessibleName(tr("Scan the drawer"));
    m_scan->setMinimumHeight(56);
    m_list->setAccessibleName(tr("All lines of the pick list"));
    m_list->setFocusPolicy(Qt::NoFocus); // the scanner's keys must not go astray
    m_list->setWordWrap(true);
    auto* buttons = new QHBoxLayout;
    connect(m_done, &QPushButton::clicked, this, &PullPanel::pull);
    buttons->addWidget(m_done);
    for (const ActionId id : {ActionId::pull_short, ActionId::pull_wrong, ActionId::pull_undo}) {
        buttons->addWidget(actions.button(id));
    }
    for (int i = 0; i < buttons->count(); ++i) { // gloves
        buttons->itemAt(i)->widget()->setMinimumHeight(60);
        buttons->itemAt(i)->widget()->setFocusPolicy(Qt::NoFocus);
    }
    auto* left = new QVBoxLayout;
    left->addWidget(m_caption);
    left->addWidget(m_bin);
    left->addWidget(m_what);
    left->addWidget(m_for);
    left->addStretch();
    left->addWidget(m_scan);
    left->addLayout(buttons);
    auto* columns = new QHBoxLayout;
    columns->addLayout(left, 3);
    columns->addWidget(m_list, 2);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(columns, 1);
    setFocusProxy(m_scan);
    connect(m_scan, &QLineEdit::returnPressed, this, &PullPanel::pull);
    connectActions();
    refresh();
}

void PullPanel::connectActions() {
    connect(m_actions[ActionId::pull_short], &QAction::triggered, this, [this] {
        giveUp(tr("is short: count it (Drawers), then search again for the job"),
               "short: the drawer held less than its books");
    });
    connect(m_actions[ActionId::pull_wrong], &QAction::triggered, this, [this] {
        giveUp(tr("holds something else: put it right and count it (Drawers), then search again for the job"),
               "wrong: the drawer held other discs");
    });
    connect(m_actions[ActionId::pull_undo], &QAction::triggered, this, &PullPanel::takeBack);
}

void PullPanel::show(const std::optional<std::string>& job) {
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
    if (!m_job || !m_session.isOpen()) {
        return;
    }
    try {
        m_open = services::pickList(m_session.shop(), *m_job).lines;
    } catch (const InputError&) {
        // nothing is reserved: there is nothing to pull
    } catch (const inventory::ShopFileFault& fault) {
        showProblem(QString::fromUtf8(fault.what()));
    }
}

QString PullPanel::nextBin() const {
    return m_open.empty() ? QString() : textOf(m_open.front().bin);
}

QString PullPanel::lineText(const services::PickLine& line) {
    const QString text =
        line.unit == "piece"
            ? tr("%1: %2 x %3").arg(textOf(line.bin)).arg(line.quantity).arg(textOf(line.what))
            : tr("%1: %2 %3 of %4")
                  .arg(textOf(line.bin))
                  .arg(line.quantity)
                  .arg(textOf(line.unit), textOf(line.what));
    return line.used ? text + tr(", used") : text;
}

void PullPanel::refresh() {
    fillList();
    enableActions();
    m_scan->setEnabled(!m_open.empty());
    if (m_open.empty()) {
        const bool some = !m_steps.empty();
        m_caption->clear();
        m_bin->setText(some ? QString(QChar(0x2713)) : QString());
        m_what->setText(!m_job ? tr("No job is at the bench.")
                        : some ? tr("Everything is pulled.")
                               : tr("Nothing is reserved for %1.").arg(textOf(*m_job)));
        m_for->setText(some ? tr("The build sheet has both stacks in the order in which they go together.")
                            : tr("A stack is accepted and reserved on the jobs page first."));
        return;
    }
    const services::PickLine& next = m_open.front();
    m_caption->setText(
        tr("Next drawer, %1")
            .arg(counted(static_cast<qint64>(m_open.size()), tr("the last line"), tr("%1 lines to go"))));
    m_bin->setText(textOf(next.bin));
    QString what = next.unit == "piece"
                       ? tr("%1 x %2").arg(next.quantity).arg(textOf(next.what))
                       : tr("%1 %2 of %3").arg(next.quantity).arg(textOf(next.unit), textOf(next.what));
    m_what->setText(next.used ? what + tr(", used") : what);
    QStringList purpose{tr("for %1").arg(textOf(*m_job))};
    for (std::size_t leg = 0; leg < next.per_leg.size(); ++leg) {
        purpose << tr("leg %1: %2").arg(leg + 1).arg(next.per_leg[leg]);
    }
    if (!next.replaces.empty()) {
        purpose << tr("in place of %1").arg(textOf(next.replaces));
    }
    if (next.measured) {
        purpose << tr("they measure %1 mm").arg(textOf(next.measured->text(3)));
    }
    m_for->setText(purpose.join(QStringLiteral(", ")));
}

void PullPanel::fillList() {
    m_list->clear();
    const auto add = [this](const QString& text, StateMark mark) {
        m_list->addItem(new QListWidgetItem(stateMarkIcon(mark, palette()), text));
    };
    for (const Step& step : m_steps) {
        add(step.pulled ? tr("pulled  %1").arg(step.text) : tr("given up  %1").arg(step.text),
            step.pulled ? StateMark::good : StateMark::missing);
    }
    const int next = m_list->count();
    for (const services::PickLine& line : m_open) {
        add(lineText(line), StateMark::unknown);
    }
    if (next < m_list->count()) {
        QFont bold = m_list->font();
        bold.setBold(true);
        m_list->item(next)->setFont(bold);
        m_list->item(next)->setText(QString(QChar(0x25B6)) + QLatin1Char(' ') + m_list->item(next)->text());
        m_list->scrollToItem(m_list->item(next), QAbstractItemView::PositionAtCenter);
    }
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
    const services::PickLine next = m_open.front();
    const bool good = book([&] {
        const services::FlowStep step =
            m_scan->text().trimmed().isEmpty()
                ? services::pullFromBin(m_session.shop(), *m_job, next.bin, next.part)
                : services::pullFromBin(m_session.shop(), *m_job, scanned);
        QStringList sentences;
        for (const std::string& sentence : step.sentences) {
            sentences << textOf(sentence);
        }
        const QString text = sentences.join(QLatin1Char(' '));
        m_steps.push_back({step.batch, text, true});
        showDone(text);
    });
    m_scan->clear();
    if (!good) {
        return;
    }
    m_session.announceChange();
    if (m_open.empty()) {
        emit pulledAll();
    }
}

/// What the drawer does not hold is promised to nobody any more, so that the drawer can be counted.
void PullPanel::giveUp(const QString& why, const std::string& reason) {
    if (!m_job || m_open.empty()) {
        return;
    }
    const services::PickLine next = m_open.front();
    const bool good = book([&] {
        std::vector<inventory::MovementLine> lines;
        inventory::StockLedger ledger(m_session.shop());
        for (const inventory::Reservation& reservation : ledger.reservationsOf(*m_job)) {
            if (reservation.part == next.part && reservation.bin == next.bin &&
                (reservation.condition == inventory::Condition::used) == next.used) {
                inventory::MovementLine line;
                line.kind = inventory::MovementKind::release;
                line.part = reservation.part;
                line.bin = reservation.bin;
                line.condition = reservation.condition;
                line.quantity = reservation.quantity;
                line.job = *m_job;
                line.wanted_part = reservation.wanted_part;
                line.reason = reason;
                lines.push_back(line);
            }
        }
        m_steps.push_back({ledger.post(lines), lineText(next), false});
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("%1 %2; F4 takes it back.").arg(textOf(next.bin), why));
    });
    if (good) {
        m_session.announceChange();
    }
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

void PullPanel::enableActions() {
    m_done->setEnabled(!m_open.empty());
    enable(ActionId::pull_short, !m_open.empty());
    enable(ActionId::pull_wrong, !m_open.empty());
    enable(ActionId::pull_undo, !m_steps.empty());
}

} // namespace shimledger::desk
