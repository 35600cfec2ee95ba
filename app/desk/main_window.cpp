// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/main_window.h"

#include "app/desk/app_settings.h"
#include "app/desk/books/stock_value_dialog.h"
#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/shim_grid_dialog.h"
#include "app/desk/guard.h"
#include "app/desk/import/import_flow.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/kit/kit_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/own_data/new_part_dialog.h"
#include "app/desk/own_data/own_data_dialog.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/readings/readings_dialog.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/shop_session.h"
#include "app/desk/start_page.h"
#include "app/desk/workshop/workshop_page.h"
#include "app/services/shop_demo.h"
#include "inventory/shop_address.h"

#include <QCloseEvent>
#include <QDragEnterEvent>
#include <QFileInfo>
#include <QLabel>
#include <QListView>
#include <QMenu>
#include <QMimeData>
#include <QScreen>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTabWidget>
#include <QTableView>
#include <QUrl>
#include <QVBoxLayout>

namespace shimledger::desk {

MainWindow::MainWindow(AppSettings& settings, UserPrompts& prompts, QWidget* parent)
    : QMainWindow(parent), m_settings(settings), m_prompts(prompts), m_session(new ShopSession(this)),
      m_actions(new DeskActions(this)), m_stack(new QStackedWidget), m_start([this] { return makeStart(); }),
      m_pages(new QTabWidget), m_jobs([this] { return makeJobs(); }),
      m_workshop([this] { return makeWorkshop(); }), m_drawers([this] { return makeDrawers(); }),
      m_reorder([this] { return makeReorder(); }), m_kit([this] { return makeKit(); }),
      m_strip(new MessageStrip), m_print(new PrintFlow(*m_session, prompts, settings, this)),
      m_import(new ImportFlow(*m_session, settings, this)), m_place(new QLabel) {
    m_pages->setDocumentMode(true);
    m_pages->addTab(m_jobs.holder(), tr("Jobs"));
    m_pages->addTab(m_workshop.holder(), tr("Bench"));
    m_pages->addTab(m_drawers.holder(), tr("Drawers"));
    m_pages->addTab(m_reorder.holder(), tr("Reorder"));
    m_pages->addTab(m_kit.holder(), tr("Kit"));
    m_stack->addWidget(m_start.holder());
    m_stack->addWidget(m_pages);
    auto* centre = new QWidget;
    auto* layout = new QVBoxLayout(centre);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);
    layout->addWidget(m_stack, 1);
    layout->addWidget(m_strip);
    setCentralWidget(centre);
    statusBar()->addPermanentWidget(m_place);
    m_theme.apply(settings.choices());
    makeMenus();
    connectFileActions();
    connectGoActions();
    connectToolActions();
    guarded(m_session, &ShopSession::opened, this, &MainWindow::showShop);
    guarded(m_session, &ShopSession::changed, this, &MainWindow::reloadPages);
    guarded(m_session, &ShopSession::failed, this, &MainWindow::showProblem);
    guarded(m_session, &ShopSession::answersAgain, this, [this] {
        m_strip->showDone(
            tr("The shop answers again: what is shown is read anew, what was typed is as it was."));
    });
    guarded(m_pages, &QTabWidget::currentChanged, this, &MainWindow::pageShown);
    guarded(&m_demo_run, &BackgroundRun::failed, this, &MainWindow::showProblem);
    setAcceptDrops(true);
    fillRecent();
    setWindowTitle(tr("Shimledger"));
    constexpr QSize frame(8, 40); // the bar with the title is not ours, and comes on top
    resize(QSize(1280, 800).boundedTo(screen()->availableSize() - frame));
    restoreGeometry(settings.windowGeometry());
}

MainWindow::~MainWindow() = default;

template <typename Page>
Page* MainWindow::started(Page* page) {
    if (m_session->isOpen()) {
        guard(this, [page] { page->reload(); });
    }
    return page;
}

StartPage* MainWindow::makeStart() {
    auto* page = new StartPage(*m_actions);
    guarded(page, &StartPage::recentShopPicked, this, &MainWindow::openShop);
    page->setRecentShops(m_settings.recentShops());
    return page;
}

JobsPage* MainWindow::makeJobs() {
    auto* page = new JobsPage(*m_session, *m_actions, m_prompts, m_settings);
    guarded(&page->flow(), &JobFlow::wroteTo, this,
            [this](const QString& folder) { m_settings.setLastFolder(folder); });
    page->setActive(m_pages->currentWidget() == m_jobs.holder());
    return started(page);
}

WorkshopPage* MainWindow::makeWorkshop() {
    auto* page = new WorkshopPage(*m_session, *m_actions, m_prompts, m_settings);
    page->setActive(m_pages->currentWidget() == m_workshop.holder());
    return started(page);
}

DrawersPage* MainWindow::makeDrawers() {
    auto* page = new DrawersPage(*m_session, *m_actions, m_prompts, m_settings);
    if (m_large_bytes) page->setReadInBackgroundFrom(*m_large_bytes);
    guarded(page, &DrawersPage::linesShown, this, [this] {
        if (m_search != nullptr && m_search->isVisible()) { // asked before a large shop was read
            m_search->setHits(everything());
        }
    });
    return started(page);
}

ReorderPage* MainWindow::makeReorder() {
    auto* page = new ReorderPage(*m_session, *m_actions, m_prompts, m_settings);
    guarded(page, &ReorderPage::jobAsked, this, [this](const QString& job) {
        goTo(m_jobs.holder(), jobs().jobList());
        jobs().pickJob(job.toStdString());
    });
    guarded(page, &ReorderPage::partAsked, this, [this](const QString& part) {
        goTo(m_drawers.holder(), drawers().table());
        drawers().pickLine(part, {});
    });
    page->setActive(m_pages->currentWidget() == m_reorder.holder());
    return started(page);
}

KitPage* MainWindow::makeKit() {
    return started(new KitPage(*m_session, *m_actions, m_prompts, m_settings));
}

JobsPage& MainWindow::jobs() {
    return m_jobs.page();
}
WorkshopPage& MainWindow::workshop() {
    return m_workshop.page();
}
ReorderPage& MainWindow::reorder() {
    return m_reorder.page();
}

KitPage& MainWindow::kit() {
    return m_kit.page();
}

DrawersPage& MainWindow::drawers() {
    DrawersPage& page = m_drawers.page();
    page.freshen();
    return page;
}

/// The page that is looked at is built, and the keys of the bench mean something only there.
void MainWindow::pageShown() {
    const QWidget* shown = m_pages->currentWidget();
    if (!m_session->isOpen()) {
        return;
    }
    if (shown == m_jobs.holder()) {
        (void)m_jobs.page();
    } else if (shown == m_workshop.holder()) {
        (void)m_workshop.page();
    } else if (shown == m_drawers.holder()) {
        (void)m_drawers.page();
    } else if (shown == m_kit.holder()) {
        (void)m_kit.page();
    } else {
        (void)m_reorder.page();
    }
    const auto activate = [&](auto& page) {
        if (page.built() != nullptr) page.built()->setActive(shown == page.holder());
    };
    activate(m_jobs);
    activate(m_workshop);
    activate(m_reorder);
}

void MainWindow::commitTyping() {
    if (QWidget* typing = focusWidget()) typing->clearFocus();
}

namespace {

// An address of a server stays as it is; a path no longer depends on the folder of this program.
std::filesystem::path shopAt(const QString& path) {
    std::filesystem::path shop = pathOf(path);
    return inventory::isServerAddress(shop) ? shop : pathOf(QFileInfo(path).absoluteFilePath());
}

} // namespace

void MainWindow::openShop(const QString& path) {
    m_strip->clear();
    commitTyping();
    guard(this, [&] { m_session->open(shopAt(path)); });
}

void MainWindow::makeNewShop(const QString& path) {
    m_strip->clear();
    commitTyping();
    guard(this, [&] { m_session->create(pathOf(QFileInfo(path).absoluteFilePath())); });
}

void MainWindow::makeDemo(const QString& folder) {
    m_strip->showMessage(MessageStrip::Kind::note,
                         tr("The demo shop is being made; this takes a few seconds."));
    m_demo_run.start([this, folder](const RunControl& /*control*/) -> RunDelivery {
        const services::DemoShop demo = services::makeDemoShop(pathOf(folder));
        return [this, path = pathText(demo.shop_file)] { openShop(path); };
    });
}

/// Targets, proposals, packs and messages of one shop mean nothing in another, where codes may be the same:
/// so the pages go, and new ones are built.
void MainWindow::leaveShop() {
    delete m_search;
    m_search = nullptr;
    if (m_shim_grid) m_shim_grid->close();
    delete m_shim_grid.data();
    delete m_own_data.data();
    delete m_new_part.data();
    delete m_readings.data();
    delete m_stock_value.data();
    m_jobs.drop();
    m_workshop.drop();
    m_drawers.drop();
    m_reorder.drop();
    m_kit.drop();
    disablePageActions();
}

void MainWindow::showShop() {
    leaveShop();
    const QString path = pathText(m_session->path());
    m_settings.addRecentShop(path);
    m_settings.drafts().setShop(path);
    if (!inventory::isServerAddress(m_session->path()))
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
    fillRecent();
    const bool server = inventory::isServerAddress(m_session->path());
    const QString place = QString::fromStdString(inventory::shownPlace(m_session->path()));
    setWindowTitle(tr("%1 - Shimledger").arg(server ? place : QFileInfo(path).completeBaseName()));
    m_place->setText(server ? place : path);
    enableShopActions(true);
    m_stack->setCurrentWidget(m_pages);
    reloadPages();
    goTo(m_jobs.holder(), jobs().jobList());
}

/// The drawers and the plan read anew when they are looked at next; a page that is not built yet does so
/// then.
void MainWindow::reloadPages() {
    if (!m_session->isOpen()) {
        return;
    }
    const auto reload = [this](auto* page) { // one that cannot be read keeps none of the others from it
        if (page != nullptr) guard(this, [page] { page->reload(); });
    };
    reload(m_jobs.built());
    reload(m_workshop.built());
    reload(m_drawers.built());
    reload(m_reorder.built());
    reload(m_kit.built());
}

SearchEverywhere* MainWindow::search() {
    if (m_search == nullptr) {
        m_search = new SearchEverywhere(this);
    }
    return m_search;
}

void MainWindow::fillRecent() {
    const QStringList paths = m_settings.recentShops();
    if (m_start.built() != nullptr) {
        m_start.built()->setRecentShops(paths);
    }
    m_recent->clear();
    for (const QString& path : paths) {
        guarded(m_recent->addAction(path), &QAction::triggered, this, [this, path] { openShop(path); });
    }
    m_recent->setEnabled(!paths.isEmpty());
}

void MainWindow::showProblem(const QString& sentence) {
    m_strip->showMessage(MessageStrip::Kind::problem, sentence);
}

void MainWindow::tellProblem(const Problem& problem) {
    showProblem(problem.sentence);
}

bool MainWindow::shopShown() const {
    return m_stack->currentWidget() == m_pages;
}

bool MainWindow::busy() const {
    const bool jobs_busy = m_jobs.built() != nullptr && m_jobs.built()->busy();
    const bool drawers_busy = m_drawers.built() != nullptr && m_drawers.built()->busy();
    const bool reorder_busy = m_reorder.built() != nullptr && m_reorder.built()->busy();
    const bool kit_busy = m_kit.built() != nullptr && m_kit.built()->busy();
    return m_demo_run.running() || m_session->busy() || jobs_busy || drawers_busy || reorder_busy ||
           kit_busy || m_print->busy() || m_import->busy();
}

void MainWindow::showEvent(QShowEvent* event) {
    guard(this, [this] {
        if (!m_session->isOpen()) m_start.page().setFocus();
    });
    QMainWindow::showEvent(event);
}

void MainWindow::closeEvent(QCloseEvent* event) {
    guard(this, [this] {
        commitTyping();
        m_settings.setWindowGeometry(saveGeometry());
    });
    QMainWindow::closeEvent(event);
}

void MainWindow::dragEnterEvent(QDragEnterEvent* event) {
    guard(this, [&] {
        const QList<QUrl> urls = event->mimeData()->urls();
        if (m_session->isOpen() && urls.size() == 1 && urls.front().isLocalFile())
            event->acceptProposedAction();
    });
}

void MainWindow::dropEvent(QDropEvent* event) {
    guard(this, [&] {
        event->acceptProposedAction();
        importSheet(event->mimeData()->urls().value(0).toLocalFile());
    });
}

} // namespace shimledger::desk
