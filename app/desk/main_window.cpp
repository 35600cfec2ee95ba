#include "app/desk/main_window.h"

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/start_page.h"
#include "app/desk/user_prompts.h"
#include "app/services/shop_demo.h"
#include "inventory/inventory_error.h"

#include <QCloseEvent>
#include <QFileInfo>
#include <QLabel>
#include <QListView>
#include <QMenuBar>
#include <QSlider>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

MainWindow::MainWindow(AppSettings& settings, UserPrompts& prompts, QWidget* parent)
    : QMainWindow(parent), m_settings(settings), m_prompts(prompts), m_session(new ShopSession(this)),
      m_actions(new DeskActions(this)), m_stack(new QStackedWidget), m_start(new StartPage(*m_actions)),
      m_pages(new QTabWidget), m_jobs(new JobsPage(*m_session, *m_actions, prompts, settings)),
      m_drawers(new DrawersPage(*m_session)), m_strip(new MessageStrip), m_place(new QLabel) {
    m_pages->setDocumentMode(true);
    m_pages->addTab(m_jobs, tr("Jobs"));
    m_pages->addTab(m_drawers, tr("Drawers"));
    m_stack->addWidget(m_start);
    m_stack->addWidget(m_pages);
    auto* centre = new QWidget;
    auto* layout = new QVBoxLayout(centre);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);
    layout->addWidget(m_strip);
    layout->addWidget(m_stack, 1);
    setCentralWidget(centre);
    statusBar()->addPermanentWidget(m_place);
    makeMenus();
    connectFileActions();
    connectGoActions();
    connect(m_session, &ShopSession::opened, this, &MainWindow::showShop);
    connect(m_session, &ShopSession::changed, this, &MainWindow::reloadPages);
    connect(m_session, &ShopSession::failed, this, &MainWindow::showProblem);
    connect(m_start, &StartPage::recentShopPicked, this, &MainWindow::openShop);
    connect(&m_demo_run, &BackgroundRun::failed, this, &MainWindow::showProblem);
    fillRecent();
    setWindowTitle(tr("Shimledger"));
    resize(1280, 800);
    restoreGeometry(settings.windowGeometry());
    m_start->setFocus();
}

MainWindow::~MainWindow() = default;

void MainWindow::makeMenus() {
    const DeskActions& actions = *m_actions;
    QMenu* file = menuBar()->addMenu(tr("&File"));
    file->addAction(actions[ActionId::open_shop]);
    m_recent = file->addMenu(tr("&Last used"));
    file->addAction(actions[ActionId::new_shop]);
    file->addAction(actions[ActionId::make_demo]);
    file->addSeparator();
    file->addAction(actions[ActionId::quit]);
    QMenu* edit = menuBar()->addMenu(tr("&Edit"));
    for (const ActionId id :
         {ActionId::undo_edit, ActionId::redo_edit, ActionId::insert_row, ActionId::delete_row,
          ActionId::row_up, ActionId::row_down, ActionId::discard_target, ActionId::save_target}) {
        edit->addAction(actions[id]);
    }
    QMenu* job = menuBar()->addMenu(tr("Jo&b"));
    for (const ActionId id :
         {ActionId::find_substitutes, ActionId::stop_search, ActionId::edit_rules, ActionId::reserve_proposal,
          ActionId::release_reservation, ActionId::export_pick_list, ActionId::export_reorder}) {
        job->addAction(actions[id]);
    }
    QMenu* go = menuBar()->addMenu(tr("&Go"));
    for (const ActionId id :
         {ActionId::go_jobs, ActionId::go_target, ActionId::go_proposals, ActionId::go_lift,
          ActionId::go_drawers, ActionId::go_find_stock, ActionId::refresh}) {
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
    on(ActionId::go_drawers, m_drawers, m_drawers->table());
    connect((*m_actions)[ActionId::go_find_stock], &QAction::triggered, this, [this] {
        goTo(m_drawers, nullptr);
        m_drawers->focusFind();
    });
    connect((*m_actions)[ActionId::refresh], &QAction::triggered, this, &MainWindow::reloadPages);
    for (const ActionId id :
         {ActionId::go_jobs, ActionId::go_target, ActionId::go_proposals, ActionId::go_lift,
          ActionId::go_drawers, ActionId::go_find_stock, ActionId::refresh}) {
        (*m_actions)[id]->setEnabled(false); // until a shop is open
    }
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

void MainWindow::openShop(const QString& path) {
    try {
        m_strip->clear();
        m_session->open(pathOf(QFileInfo(path).absoluteFilePath()));
    } catch (const InputError& problem) {
        showProblem(QString::fromUtf8(problem.what()));
    } catch (const inventory::ShopFileFault& fault) {
        showProblem(QString::fromUtf8(fault.what()));
    }
}

void MainWindow::makeNewShop(const QString& path) {
    try {
        m_strip->clear();
        m_session->create(pathOf(QFileInfo(path).absoluteFilePath()));
    } catch (const InputError& problem) {
        showProblem(QString::fromUtf8(problem.what()));
    } catch (const inventory::ShopFileFault& fault) {
        showProblem(QString::fromUtf8(fault.what()));
    }
}

void MainWindow::makeDemo(const QString& folder) {
    m_strip->showMessage(MessageStrip::Kind::note,
                         tr("The demo shop is being made; this takes a few seconds."));
    m_demo_run.start([this, folder](const RunControl& /*control*/) -> RunDelivery {
        const services::DemoShop demo = services::makeDemoShop(pathOf(folder));
        return [this, path = pathText(demo.shop_file)] { openShop(path); };
    });
}

void MainWindow::showShop() {
    const QString path = pathText(m_session->path());
    m_settings.addRecentShop(path);
    m_settings.drafts().setShop(path);
    m_settings.setLastFolder(QFileInfo(path).absolutePath());
    fillRecent();
    setWindowTitle(tr("%1 - Shimledger").arg(QFileInfo(path).completeBaseName()));
    m_place->setText(path);
    for (const ActionId id :
         {ActionId::go_jobs, ActionId::go_target, ActionId::go_proposals, ActionId::go_lift,
          ActionId::go_drawers, ActionId::go_find_stock, ActionId::refresh}) {
        (*m_actions)[id]->setEnabled(true);
    }
    m_stack->setCurrentWidget(m_pages);
    reloadPages();
    goTo(m_jobs, m_jobs->jobList());
}

void MainWindow::reloadPages() {
    if (!m_session->isOpen()) {
        return;
    }
    try {
        m_jobs->reload();
        m_drawers->reload();
    } catch (const inventory::ShopFileFault& fault) {
        showProblem(QString::fromUtf8(fault.what()));
    }
}

void MainWindow::fillRecent() {
    const QStringList paths = m_settings.recentShops();
    m_start->setRecentShops(paths);
    m_recent->clear();
    for (const QString& path : paths) {
        m_recent->addAction(path, this, [this, path] { openShop(path); });
    }
    m_recent->setEnabled(!paths.isEmpty());
}

void MainWindow::showProblem(const QString& sentence) {
    m_strip->showMessage(MessageStrip::Kind::problem, sentence);
}

bool MainWindow::shopShown() const {
    return m_stack->currentWidget() == m_pages;
}

bool MainWindow::busy() const {
    return m_demo_run.running() || m_jobs->busy();
}

void MainWindow::closeEvent(QCloseEvent* event) {
    m_settings.setWindowGeometry(saveGeometry());
    QMainWindow::closeEvent(event);
}

} // namespace shimledger::desk
