// What the window's menus and actions do; how it opens and shows shops is in main_window.cpp.

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_theme.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/import_flow.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/main_window.h"
#include "app/desk/message_strip.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/user_prompts.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QListView>
#include <QMenuBar>
#include <QSlider>
#include <QStatusBar>
#include <QTabWidget>
#include <QTableView>

namespace shimledger::desk {

namespace {

/// Everything that means nothing before a shop is open.
constexpr ActionId needs_shop[] = {
    ActionId::import_csv,       ActionId::import_folder, ActionId::print_sheet,  ActionId::save_pdf,
    ActionId::go_jobs,          ActionId::go_target,     ActionId::go_proposals, ActionId::go_lift,
    ActionId::go_strip,         ActionId::go_inspect,    ActionId::go_pull,      ActionId::go_build,
    ActionId::go_drawers,       ActionId::go_find_stock, ActionId::go_reorder,   ActionId::go_measure,
    ActionId::go_count,         ActionId::go_history,    ActionId::copy_picture, ActionId::refresh,
    ActionId::search_everywhere};

} // namespace

void MainWindow::makeMenus() {
    const DeskActions& actions = *m_actions;
    QMenu* file = menuBar()->addMenu(tr("&File"));
    file->addAction(actions[ActionId::open_shop]);
    m_recent = file->addMenu(tr("&Last used"));
    file->addAction(actions[ActionId::new_shop]);
    file->addAction(actions[ActionId::make_demo]);
    file->addAction(actions[ActionId::import_csv]);
    file->addAction(actions[ActionId::import_folder]);
    file->addSeparator();
    file->addAction(actions[ActionId::print_sheet]);
    file->addAction(actions[ActionId::save_pdf]);
    file->addSeparator();
    file->addAction(actions[ActionId::edit_settings]);
    file->addSeparator();
    file->addAction(actions[ActionId::quit]);
    QMenu* edit = menuBar()->addMenu(tr("&Edit"));
    for (const ActionId id :
         {ActionId::undo_edit, ActionId::redo_edit, ActionId::insert_row, ActionId::delete_row,
          ActionId::row_up, ActionId::row_down, ActionId::discard_target, ActionId::save_target}) {
        edit->addAction(actions[id]);
    }
    edit->addSeparator();
    edit->addAction(actions[ActionId::copy_picture]);
    QMenu* job = menuBar()->addMenu(tr("Jo&b"));
    for (const ActionId id :
         {ActionId::find_substitutes, ActionId::stop_search, ActionId::edit_rules, ActionId::reserve_proposal,
          ActionId::release_reservation, ActionId::plan_all_jobs, ActionId::reserve_all_jobs,
          ActionId::export_pick_list, ActionId::export_reorder, ActionId::plan_reorder,
          ActionId::mark_ordered, ActionId::receive_delivery}) {
        job->addAction(actions[id]);
    }
    QMenu* bench = menuBar()->addMenu(tr("Ben&ch"));
    for (const ActionId id :
         {ActionId::strip_next_leg, ActionId::strip_write, ActionId::strip_put_away, ActionId::inspect_write,
          ActionId::inspect_kit, ActionId::pull_short, ActionId::pull_wrong, ActionId::pull_undo}) {
        bench->addAction(actions[id]);
    }
    QMenu* go = menuBar()->addMenu(tr("&Go"));
    for (const ActionId id :
         {ActionId::go_jobs, ActionId::go_target, ActionId::go_proposals, ActionId::go_lift,
          ActionId::go_strip, ActionId::go_inspect, ActionId::go_pull, ActionId::go_build,
          ActionId::go_drawers, ActionId::go_find_stock, ActionId::go_reorder, ActionId::go_measure,
          ActionId::go_count, ActionId::go_history, ActionId::search_everywhere, ActionId::refresh}) {
        go->addAction(actions[id]);
    }
    menuBar()->addMenu(tr("&Help"))->addAction(actions[ActionId::show_keys]);
}

void MainWindow::connectFileActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        connect((*m_actions)[id], &QAction::triggered, this, slot);
    };
    on(ActionId::open_shop, [this] {
        const QString path = m_prompts.openShopPath(this, m_settings.lastFolder());
        if (!path.isEmpty()) {
            openShop(path);
        }
    });
    on(ActionId::new_shop, [this] {
        const QString path = m_prompts.newShopPath(this, m_settings.lastFolder());
        if (!path.isEmpty()) {
            makeNewShop(path);
        }
    });
    on(ActionId::make_demo, [this] {
        const QString folder = m_prompts.demoFolder(this, m_settings.lastFolder());
        if (!folder.isEmpty()) {
            makeDemo(folder);
        }
    });
    on(ActionId::quit, [this] { close(); });
    on(ActionId::show_keys,
       [this] { m_prompts.tell(this, tr("Keys and what they do"), m_actions->keyTable()); });
    on(ActionId::export_pick_list, [this] {
        if (const auto job = m_jobs->pickedJob()) {
            m_jobs->flow().exportPickList(*job, m_settings.lastFolder(), this);
        }
    });
    on(ActionId::export_reorder,
       [this] { m_jobs->flow().exportReorderSheet(m_settings.lastFolder(), this); });
    connect(&m_jobs->flow(), &JobFlow::wroteTo, this,
            [this](const QString& folder) { m_settings.setLastFolder(folder); });
}

void MainWindow::connectGoActions() {
    const auto on = [&](ActionId id, QWidget* page, QWidget* focus) {
        connect((*m_actions)[id], &QAction::triggered, this, [this, page, focus] { goTo(page, focus); });
    };
    on(ActionId::go_jobs, m_jobs, m_jobs->jobList());
    on(ActionId::go_target, m_jobs, m_jobs->stackTable());
    on(ActionId::go_proposals, m_jobs, m_jobs->proposalTable());
    on(ActionId::go_lift, m_jobs, m_jobs->bench().slider());
    connect((*m_actions)[ActionId::go_strip], &QAction::triggered, this,
            [this] { goToBench(&m_workshop->strip()); });
    connect((*m_actions)[ActionId::go_inspect], &QAction::triggered, this,
            [this] { goToBench(&m_workshop->inspect()); });
    connect((*m_actions)[ActionId::go_pull], &QAction::triggered, this,
            [this] { goToBench(&m_workshop->pull()); });
    connect((*m_actions)[ActionId::go_build], &QAction::triggered, this,
            [this] { goToBench(&m_workshop->build()); });
    on(ActionId::go_drawers, m_drawers, m_drawers->table());
    on(ActionId::go_reorder, m_reorder, m_reorder->planTable());
    const auto beside = [&](ActionId id, QWidget* side) {
        connect((*m_actions)[id], &QAction::triggered, this, [this, side] {
            m_pages->setCurrentWidget(m_drawers);
            m_drawers->goTo(side);
        });
    };
    beside(ActionId::go_measure, &m_drawers->measure());
    beside(ActionId::go_count, &m_drawers->count());
    beside(ActionId::go_history, &m_drawers->history());
    connect((*m_actions)[ActionId::go_find_stock], &QAction::triggered, this, [this] {
        goTo(m_drawers, nullptr);
        m_drawers->focusFind();
    });
    connect((*m_actions)[ActionId::refresh], &QAction::triggered, this, &MainWindow::reloadPages);
    enableShopActions(false);
}

void MainWindow::enableShopActions(bool open) {
    for (const ActionId id : needs_shop) {
        (*m_actions)[id]->setEnabled(open);
    }
}

void MainWindow::connectToolActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        connect((*m_actions)[id], &QAction::triggered, this, slot);
    };
    const auto import = [this](const QString& path) {
        if (!path.isEmpty()) {
            m_strip->clear();
            m_import->import(path, this);
        }
    };
    on(ActionId::import_csv, [this, import] { import(m_prompts.importPath(this, m_settings.lastFolder())); });
    on(ActionId::import_folder,
       [this, import] { import(m_prompts.importFolder(this, m_settings.lastFolder())); });
    on(ActionId::print_sheet, [this] { m_print->print(sheetOfPage(), this); });
    on(ActionId::save_pdf, [this] { m_print->savePdf(sheetOfPage(), this); });
    on(ActionId::edit_settings, [this] {
        if (const auto choices = m_prompts.editChoices(this, m_settings.choices())) {
            m_settings.setChoices(*choices);
            m_theme.apply(*choices);
            m_jobs->applyChoices();
        }
    });
    on(ActionId::search_everywhere, [this] { m_search->ask(everything()); });
    on(ActionId::copy_picture, [this] {
        QGuiApplication::clipboard()->setImage(m_jobs->bench().picture());
        statusBar()->showMessage(tr("Stacks and curves are on the clipboard as a picture."), 5000);
    });
    const auto tell = [this](MessageStrip::Kind kind) {
        return [this, kind](const QString& sentence) { m_strip->showMessage(kind, sentence); };
    };
    connect(m_print, &PrintFlow::done, this, tell(MessageStrip::Kind::done));
    connect(m_print, &PrintFlow::failed, this, tell(MessageStrip::Kind::problem));
    connect(m_import, &ImportFlow::done, this, tell(MessageStrip::Kind::done));
    connect(m_import, &ImportFlow::failed, this, tell(MessageStrip::Kind::problem));
}

PrintJob MainWindow::sheetOfPage() const {
    if (m_pages->currentWidget() == m_reorder) {
        return m_reorder->printJob();
    }
    if (m_pages->currentWidget() == m_workshop) {
        return m_workshop->printJob();
    }
    return m_pages->currentWidget() == m_drawers ? m_drawers->printJob() : m_jobs->printJob();
}

/// What the search finds: jobs and their pages, every line of the drawers, and what can be done now.
std::vector<SearchHit> MainWindow::everything() {
    std::vector<SearchHit> hits = m_jobs->searchHits();
    for (SearchHit& hit : hits) {
        hit.go = [this, go = std::move(hit.go)] {
            goTo(m_jobs, m_jobs->jobList());
            go();
        };
    }
    for (SearchHit& hit : m_drawers->searchHits()) {
        hit.go = [this, go = std::move(hit.go)] {
            goTo(m_drawers, m_drawers->table());
            go();
        };
        hits.push_back(std::move(hit));
    }
    for (const ActionEntry& entry : allActions()) {
        QAction* action = (*m_actions)[entry.id];
        if (action->isEnabled() && entry.id != ActionId::search_everywhere) {
            hits.push_back({action->text().remove(QLatin1Char('&')),
                            tr("do, %1").arg(action->shortcut().toString(QKeySequence::NativeText)),
                            [action] { action->trigger(); }});
        }
    }
    return hits;
}

/// The job that is looked at on the jobs page is the one that is worked on.
void MainWindow::goToBench(QWidget* step) {
    if (m_pages->currentWidget() == m_jobs) {
        if (const auto job = m_jobs->pickedJob()) {
            m_workshop->pickJob(*job);
        }
    }
    m_pages->setCurrentWidget(m_workshop);
    m_workshop->goTo(step);
}

void MainWindow::goTo(QWidget* page, QWidget* focus) {
    m_pages->setCurrentWidget(page);
    if (focus == nullptr) {
        return;
    }
    focus->setFocus(Qt::ShortcutFocusReason);
    auto* table = qobject_cast<QTableView*>(focus);
    if (table != nullptr && !table->currentIndex().isValid() && table->model()->rowCount() > 0) {
        table->selectRow(0);
    }
}

} // namespace shimledger::desk
