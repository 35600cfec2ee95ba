// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/workshop_page.h"

#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/print/bench_html.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/services/component_valves.h"
#include "app/services/short_jobs.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/stock_ledger.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QShortcut>
#include <QTabWidget>
#include <QVBoxLayout>

#include <utility>
#include <vector>

namespace shimledger::desk {

WorkshopPage::WorkshopPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                           AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_job(new QComboBox), m_hint(new QLabel), m_steps(new QTabWidget),
      m_strip(new StripPanel(session, actions, settings)),
      m_inspect(new InspectPanel(session, actions, settings)), m_pull(new PullPanel(session, actions)),
      m_build(new BuildPanel(session, actions, prompts, settings)) {
    auto* caption = new QLabel(tr("&Job at the bench"));
    caption->setBuddy(m_job);
    m_job->setAccessibleName(tr("Job at the bench"));
    m_job->setPlaceholderText(tr("no open job"));
    m_job->setMinimumHeight(40);
    m_job->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    m_steps->addTab(m_strip, tr("1  Strip"));
    m_steps->addTab(m_inspect, tr("2  Inspect"));
    m_steps->addTab(m_pull, tr("3  Pull"));
    m_steps->addTab(m_build, tr("4  Build"));
    m_steps->setAccessibleName(tr("Steps at the bench"));
    auto* top = new QHBoxLayout;
    top->addWidget(caption);
    top->addWidget(m_job);
    m_hint->setWordWrap(true);
    top->addWidget(m_hint, 1);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(top);
    layout->addWidget(m_steps, 1);
    // As the steps are numbered; the keys that go to them from every page are in the menu.
    const std::pair<QWidget*, ActionId> steps[] = {{m_strip, ActionId::go_strip},
                                                   {m_inspect, ActionId::go_inspect},
                                                   {m_pull, ActionId::go_pull},
                                                   {m_build, ActionId::go_build}};
    for (int number = 1; number <= m_steps->count(); ++number) {
        const auto& [step, action] = steps[number - 1];
        const QKeySequence key(Qt::ALT | static_cast<Qt::Key>(Qt::Key_0 + number));
        auto* shortcut = new QShortcut(key, this);
        shortcut->setContext(Qt::WidgetWithChildrenShortcut);
        guarded(shortcut, &QShortcut::activated, this, [this, there = step] { goTo(there); });
        m_steps->setTabToolTip(number - 1,
                               tr("%1, from other pages %2")
                                   .arg(key.toString(QKeySequence::NativeText),
                                        actions[action]->shortcut().toString(QKeySequence::NativeText)));
    }
    guarded(m_job, &QComboBox::currentIndexChanged, this, &WorkshopPage::showJob);
    guarded(m_steps, &QTabWidget::currentChanged, this, &WorkshopPage::activate);
    guarded(m_pull, &PullPanel::pulledAll, this, [this] { goTo(m_build); });
    activate();
}

void WorkshopPage::reload() {
    const std::optional<std::string> picked = pickedJob();
    const std::vector<inventory::Job> jobs = inventory::JobBook(m_session.shop()).list();
    {
        const QSignalBlocker quiet(m_job);
        m_job->clear();
        const auto left_short = services::shortJobs(m_session.shop());
        for (const inventory::Job& job : jobs) {
            if (hasEnded(job.status)) continue;
            const QString name = nameOf(job);
            m_job->addItem(left_short.contains(job.code) ? tr("%1, short since a count").arg(name) : name,
                           textOf(job.code));
        }
        const int row = picked ? m_job->findData(textOf(*picked)) : -1;
        m_job->setCurrentIndex(row >= 0 ? row : (m_job->count() > 0 ? 0 : -1));
    }
    // A key too many is not meant for the job that comes after the one that went.
    if (picked && pickedJob() != picked && m_steps->isAncestorOf(focusWidget())) m_job->setFocus();
    showJob();
}

void WorkshopPage::pickJob(const std::string& job) {
    const int row = m_job->findData(textOf(job));
    if (row >= 0) {
        m_job->setCurrentIndex(row);
    }
}

std::optional<std::string> WorkshopPage::pickedJob() const {
    const QString code = m_job->currentData().toString();
    return code.isEmpty() ? std::nullopt : std::optional(code.toStdString());
}

void WorkshopPage::showJob() {
    const std::optional<std::string> job = pickedJob();
    // A step that cannot be read keeps none of the others from it.
    guard(this, [&] { m_strip->show(job); });
    guard(this, [&] { m_inspect->show(job); });
    guard(this, [&] { m_pull->show(job); });
    guard(this, [&] { m_build->show(job); });
    m_hint->setText(job ? m_build->stage()
                        : tr("No job is open. Ctrl+J opens one for a component that has come in."));
}

QString WorkshopPage::nameOf(const inventory::Job& job) {
    return tr("%1: %2, %3 (%4)")
        .arg(textOf(job.code), textOf(job.model), textOf(job.valve.name),
             textOf(inventory::jobStatusName(job.status)));
}

void WorkshopPage::setActive(bool active) {
    m_active = active;
    activate();
}

void WorkshopPage::activate() {
    m_strip->setActive(m_active && m_steps->currentWidget() == m_strip);
    m_inspect->setActive(m_active && m_steps->currentWidget() == m_inspect);
    m_pull->setActive(m_active && m_steps->currentWidget() == m_pull);
    m_build->setActive(m_active && m_steps->currentWidget() == m_build);
}

void WorkshopPage::goTo(QWidget* step) {
    m_steps->setCurrentWidget(step);
    // A focus proxy would make Tab pass over the leg, which stands before the entry.
    QWidget* field = step == m_strip ? static_cast<QWidget*>(m_strip->entry()) : step;
    field->setFocus(Qt::ShortcutFocusReason);
}

PrintJob WorkshopPage::printJob() const {
    const std::optional<std::string> job = pickedJob();
    const QWidget* step = m_steps->currentWidget();
    if (job && (step == m_strip || step == m_inspect)) {
        return {QStringLiteral("strip-form-%1").arg(textOf(*job)),
                [name = *job](inventory::ShopFile& shop) {
                    return stripFormHtml(services::stripForm(shop, services::componentJob(shop, name).code));
                },
                {}};
    }
    const std::string component = job ? services::componentJob(m_session.shop(), *job).code : std::string();
    if (job && !services::reservedForValves(m_session.shop(), component).empty()) {
        return {QStringLiteral("pick-list-%1").arg(textOf(component)),
                [name = component](inventory::ShopFile& shop) {
                    return pickSheetHtml(services::componentPickSheet(shop, name));
                },
                {}};
    }
    return {QStringLiteral("build-sheet-%1").arg(job ? textOf(*job) : QString()),
            [html = tableSheetHtml(m_build->sheet())](inventory::ShopFile&) { return html; },
            {}};
}

} // namespace shimledger::desk
