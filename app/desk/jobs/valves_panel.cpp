// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/valves_panel.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/wrapping_layout.h"
#include "app/services/component_valves.h"
#include "inventory/component_model.h"
#include "inventory/job_end.h"
#include "inventory/job_valves.h"

#include <QComboBox>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalBlocker>
#include <QSpinBox>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

enum Column { job_code, valve, situation, column_count };

QSpinBox* legBox(const QString& name) {
    auto* box = new QSpinBox;
    box->setRange(1, 4);
    box->setAccessibleName(name);
    return box;
}

} // namespace

ValvesPanel::ValvesPanel(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_table(new QTableWidget(0, column_count)),
      m_words(new SentenceLabel), m_name(new QComboBox), m_first_leg(legBox(tr("First leg of the valve"))),
      m_last_leg(legBox(tr("Last leg of the valve"))),
      m_from_leg(legBox(tr("First leg with a stack of its own"))), m_other(new QLineEdit),
      m_add(new QPushButton(tr("Add this valve"))), m_add_all(new QPushButton(tr("Add all of the model"))),
      m_split(new QPushButton(tr("Give it a stack of its own"))),
      m_join(new QPushButton(tr("Join that job"))), m_separate(new QPushButton(tr("A job by itself"))) {
    m_words->setText(
        tr("A fork's valves come apart together: one strip form, one inspection, one walk through "
           "the drawers, one build sheet. Legs may differ, as with compression in one and rebound in the "
           "other (common practice): each then has a stack and a wish of its own. Return goes to the "
           "picked valve."));
    m_table->setHorizontalHeaderLabels({tr("Job"), tr("Valve"), tr("Situation")});
    m_table->setAccessibleName(tr("Valves of the component"));
    m_table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    dressTable(*m_table);
    m_name->setEditable(true);
    m_name->setMinimumContentsLength(16);
    m_other->setMinimumWidth(24 * m_other->fontMetrics().averageCharWidth());
    m_name->setAccessibleName(tr("Name of the valve to be added"));
    m_name->lineEdit()->setPlaceholderText(tr("Valve: rebound, base, mid ..."));
    m_other->setPlaceholderText(tr("Job of the same component"));
    m_other->setAccessibleName(tr("Job that becomes a valve of this component"));
    m_add->setToolTip(
        tr("Sizes are those that the model lists for it; change the job (Ctrl+E) corrects them."));
    m_split->setToolTip(
        tr("The picked valve keeps the legs before; those from this one on get its target, to be "
           "changed or wished apart."));
    m_join->setToolTip(tr("That job keeps its stacks and discs and becomes a valve of this component."));

    const auto row = [](std::initializer_list<QWidget*> widgets) {
        auto* line = new WrappingLayout;
        for (QWidget* widget : widgets) line->addWidget(widget);
        return line;
    };
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(6, 6, 6, 6);
    layout->setSpacing(5);
    layout->addWidget(m_words);
    layout->addWidget(m_table, 1);
    layout->addLayout(row(
        {m_name, new QLabel(tr("legs")), m_first_leg, new QLabel(tr("to")), m_last_leg, m_add, m_add_all}));
    layout->addLayout(row({new QLabel(tr("The picked valve, from leg")), m_from_leg, m_split, m_separate}));
    layout->addLayout(row({m_other, m_join}));
    setFocusProxy(m_table);

    guarded(m_table, &QTableWidget::currentCellChanged, this, &ValvesPanel::enable);
    guarded(m_table, &QTableWidget::cellActivated, this, &ValvesPanel::wantPicked);
    guarded(m_add, &QPushButton::clicked, this, &ValvesPanel::add);
    guarded(m_name->lineEdit(), &QLineEdit::returnPressed, this, &ValvesPanel::add);
    guarded(m_name, &QComboBox::editTextChanged, this, &ValvesPanel::enable);
    guarded(m_add_all, &QPushButton::clicked, this, &ValvesPanel::addAll);
    guarded(m_split, &QPushButton::clicked, this, &ValvesPanel::split);
    guarded(m_join, &QPushButton::clicked, this, &ValvesPanel::join);
    guarded(m_other, &QLineEdit::returnPressed, this, &ValvesPanel::join);
    guarded(m_other, &QLineEdit::textChanged, this, &ValvesPanel::enable);
    guarded(m_separate, &QPushButton::clicked, this, &ValvesPanel::separate);
    enable();
}

void ValvesPanel::show(const std::optional<std::string>& job) {
    const bool other = !job || *job != m_job;
    std::vector<inventory::Job> valves;
    QStringList names;
    if (job) {
        valves = inventory::componentValves(m_session.shop(), *job);
        if (const auto model = inventory::ComponentModels(m_session.shop()).find(valves.front().model)) {
            for (const inventory::JobValve& known : model->valves) names << textOf(known.name);
        }
    }
    const QSignalBlocker quiet(m_table);
    m_job = job.value_or(std::string());
    m_valves = std::move(valves);
    const int legs = inventory::componentLegs(m_valves);
    m_table->setRowCount(static_cast<int>(m_valves.size()));
    int row = 0;
    for (const inventory::Job& each : m_valves) {
        const QStringList cells{textOf(each.code), textOf(services::valveText(each, legs)),
                                textOf(inventory::jobStatusName(each.status))};
        for (int column = 0; column < column_count; ++column)
            m_table->setItem(row, column, new QTableWidgetItem(cells[column]));
        if (each.code == m_job && (other || m_table->currentRow() < 0))
            m_table->setCurrentCell(row, job_code);
        ++row;
    }
    m_table->resizeColumnsToContents();
    if (other) {
        const QSignalBlocker unasked(m_name);
        m_name->clear();
        m_name->addItems(names);
        m_name->setCurrentIndex(-1);
        m_name->clearEditText();
        m_other->clear();
        m_first_leg->setValue(1);
        m_last_leg->setValue(std::max(1, legs));
        m_from_leg->setValue(std::max(2, legs));
    }
    enable();
}

std::string ValvesPanel::pickedCode() const {
    const int row = m_table->currentRow();
    return row >= 0 && row < static_cast<int>(m_valves.size()) ? m_valves[static_cast<std::size_t>(row)].code
                                                               : std::string();
}

void ValvesPanel::enable() {
    const bool at_work = !m_valves.empty() && !hasEnded(m_valves.front().status);
    const std::string picked = pickedCode();
    const auto valve_at = std::find_if(m_valves.begin(), m_valves.end(),
                                       [&](const inventory::Job& each) { return each.code == picked; });
    const bool living = valve_at != m_valves.end() && !hasEnded(valve_at->status);
    m_add->setEnabled(at_work && !m_name->currentText().trimmed().isEmpty());
    m_add_all->setEnabled(at_work && m_name->count() > 0);
    m_split->setEnabled(living && valve_at->legs > 1);
    m_from_leg->setEnabled(m_split->isEnabled());
    m_separate->setEnabled(living && !valve_at->valve_of.empty());
    m_join->setEnabled(at_work && !m_other->text().trimmed().isEmpty());
}

template <typename Work>
void ValvesPanel::book(Work&& work) {
    QString sentence;
    if (const auto problem = problemOf([&] { sentence = work(); })) {
        emit failed(*problem);
        return;
    }
    m_session.announceChange();
    emit done(sentence);
}

void ValvesPanel::add() {
    const std::string name = m_name->currentText().trimmed().toStdString();
    if (m_valves.empty() || name.empty()) return;
    book([&] {
        inventory::ShopFile& shop = m_session.shop();
        const auto model = inventory::ComponentModels(shop).get(m_valves.front().model);
        const auto known = std::find_if(model.valves.begin(), model.valves.end(),
                                        [&](const inventory::JobValve& each) { return each.name == name; });
        inventory::JobValve sizes = known != model.valves.end() ? *known : m_valves.front().valve;
        sizes.name = name;
        const int first = m_first_leg->value();
        const std::string code =
            inventory::addJobValve(shop, m_job, sizes, first, m_last_leg->value() - first + 1);
        m_name->clearEditText();
        return known != model.valves.end()
                   ? tr("%1 is open, with the sizes that the model lists.").arg(textOf(code))
                   : tr("%1 is open. The model lists no such valve: it has the sizes of %2 until they are "
                        "measured "
                        "(go there, then Ctrl+E).")
                         .arg(textOf(code), textOf(m_valves.front().code));
    });
}

void ValvesPanel::addAll() {
    book([&] {
        QStringList codes;
        for (const std::string& code : services::addModelValves(m_session.shop(), m_job))
            codes << textOf(code);
        return codes.isEmpty() ? tr("The component has all valves that its model lists.")
                               : tr("%1: open, with the sizes that the model lists.")
                                     .arg(codes.join(QStringLiteral(", ")));
    });
}

void ValvesPanel::split() {
    const std::string picked = pickedCode();
    if (picked.empty()) return;
    book([&] {
        const std::string code = inventory::splitJobLegs(m_session.shop(), picked, m_from_leg->value());
        return tr("%1 has a stack of its own now, for the present as %2 has it.")
            .arg(textOf(code), textOf(picked));
    });
}

void ValvesPanel::join() {
    const std::string other = m_other->text().trimmed().toStdString();
    if (m_valves.empty() || other.empty()) return;
    book([&] {
        inventory::joinJob(m_session.shop(), other, m_valves.front().code);
        m_other->clear();
        return tr("%1 is a valve of %2 now.").arg(textOf(other), textOf(m_valves.front().code));
    });
}

void ValvesPanel::separate() {
    const std::string picked = pickedCode();
    if (picked.empty()) return;
    book([&] {
        inventory::separateJob(m_session.shop(), picked);
        return tr("%1 is a job by itself.").arg(textOf(picked));
    });
}

void ValvesPanel::wantPicked() {
    const std::string picked = pickedCode();
    if (!picked.empty() && picked != m_job) emit valveWanted(textOf(picked));
}

} // namespace shimledger::desk
