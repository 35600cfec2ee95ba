#include "app/desk/main_window.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/import_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/shop_session.h"
#include "app/desk/start_page.h"
#include "app/desk/workshop/workshop_page.h"
#include "app/services/shop_demo.h"
#include "inventory/inventory_error.h"

#include <QCloseEvent>
#include <QFileInfo>
#include <QLabel>
#include <QListView>
#include <QMenu>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTabWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

MainWindow::MainWindow(AppSettings& settings, UserPrompts& prompts, QWidget* parent)
    : QMainWindow(parent), m_settings(settings), m_prompts(prompts), m_session(new ShopSession(this)),
      m_actions(new DeskActions(this)), m_stack(new QStackedWidget), m_start(new StartPage(*m_actions)),
      m_pages(new QTabWidget), m_jobs(new JobsPage(*m_session, *m_actions, prompts, settings)),
      m_workshop(new WorkshopPage(*m_session, *m_actions, settings)), m_drawers(new DrawersPage(*m_session)),
      m_reorder(new ReorderPage(*m_session, *m_actions, prompts, settings)), m_strip(new MessageStrip),
      m_search(new SearchEverywhere(this)), m_print(new PrintFlow(*m_session, prompts, settings, this)),
      m_import(new ImportFlow(*m_session, prompts, this)), m_place(new QLabel) {
    m_pages->setDocumentMode(true);
    m_pages->addTab(m_jobs, tr("Jobs"));
    m_pages->addTab(m_workshop, tr("Bench"));
    m_pages->addTab(m_drawers, tr("Drawers"));
    m_pages->addTab(m_reorder, tr("Reorder"));
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
    m_theme.apply(settings.choices());
    makeMenus();
    connectFileActions();
    connectGoActions();
    connectToolActions();
    connect(m_session, &ShopSession::opened, this, &MainWindow::showShop);
    connect(m_session, &ShopSession::changed, this, &MainWindow::reloadPages);
    connect(m_session, &ShopSession::failed, this, &MainWindow::showProblem);
    connect(m_pages, &QTabWidget::currentChanged, this,
            [this] { m_workshop->setActive(m_pages->currentWidget() == m_workshop); });
    connect(m_start, &StartPage::recentShopPicked, this, &MainWindow::openShop);
    connect(&m_demo_run, &BackgroundRun::failed, this, &MainWindow::showProblem);
    fillRecent();
    setWindowTitle(tr("Shimledger"));
    resize(1280, 800);
    restoreGeometry(settings.windowGeometry());
    m_start->setFocus();
}

MainWindow::~MainWindow() = default;

void MainWindow::openShop(const QString& path) {
    m_strip->clear();
    const auto problem = problemOf([&] { m_session->open(pathOf(QFileInfo(path).absoluteFilePath())); });
    if (problem) showProblem(*problem);
}

void MainWindow::makeNewShop(const QString& path) {
    m_strip->clear();
    const auto problem = problemOf([&] { m_session->create(pathOf(QFileInfo(path).absoluteFilePath())); });
    if (problem) showProblem(*problem);
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
    enableShopActions(true);
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
        m_workshop->reload();
        m_drawers->reload();
        m_reorder->reload();
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
    return m_demo_run.running() || m_jobs->busy() || m_reorder->busy() || m_print->busy() || m_import->busy();
}

void MainWindow::closeEvent(QCloseEvent* event) {
    m_settings.setWindowGeometry(saveGeometry());
    QMainWindow::closeEvent(event);
}

} // namespace shimledger::desk
