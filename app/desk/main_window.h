// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"

#include "app/desk/desk_theme.h"
#include "app/desk/guard.h"
#include "app/desk/lazy_page.h"

#include <QMainWindow>
#include <QPointer>

#include <cstdint>
#include <optional>
#include <vector>

class QLabel;
class QMenu;
class QStackedWidget;
class QTabWidget;

namespace shimledger::desk {

class AppSettings;
class DeskActions;
class DrawersPage;
class HelpDialog;
class ImportFlow;
class JobsPage;
class MessageStrip;
class ReadingsDialog;
class KitPage;
class ReorderPage;
class NewPartDialog;
class OwnDataDialog;
class PrintFlow;
class SearchEverywhere;
class ShimGridDialog;
class ShopSession;
class StartPage;
class StockValueDialog;
class UserPrompts;
class WorkshopPage;
struct PrintJob;
struct SearchHit;

/// The window: a start page until a shop is open, then its jobs and its drawers. What any of its slots could
/// not do is told in its strip (guard.h). Settings and prompts must outlive it.
class MainWindow : public QMainWindow, public ProblemTeller {
    Q_OBJECT

public:
    MainWindow(AppSettings& settings, UserPrompts& prompts, QWidget* parent = nullptr);
    ~MainWindow() override;

    /// What goes wrong is shown in the strip; the shop that was open stays.
    void openShop(const QString& path);
    /// Makes the demo shop in that folder, in the background, and opens it.
    void makeDemo(const QString& folder);

    [[nodiscard]] DeskActions& actions() const { return *m_actions; }
    [[nodiscard]] ShopSession& session() const { return *m_session; }
    // The pages, built when they are first asked for; what they show is up to date.
    [[nodiscard]] JobsPage& jobs();
    [[nodiscard]] DrawersPage& drawers();
    [[nodiscard]] WorkshopPage& workshop();
    [[nodiscard]] ReorderPage& reorder();
    [[nodiscard]] KitPage& kit();
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }
    [[nodiscard]] SearchEverywhere* search();
    [[nodiscard]] HelpDialog* help(); ///< built when it is first asked for
    [[nodiscard]] ImportFlow* importing() const { return m_import; }
    [[nodiscard]] OwnDataDialog* ownData() const;       ///< null: not open
    [[nodiscard]] NewPartDialog* newPart() const;       ///< null: not open
    [[nodiscard]] ReadingsDialog* readings() const;     ///< null: not open
    [[nodiscard]] StockValueDialog* stockValue() const; ///< null: not open
    [[nodiscard]] ShimGridDialog* shimGrid() const;     ///< null: not open
    /// From what size of the shop file on the drawers are read in the background.
    void setReadInBackgroundFrom(std::uintmax_t bytes) { m_large_bytes = bytes; }
    [[nodiscard]] bool shopShown() const;
    [[nodiscard]] bool busy() const;
    void tellProblem(const Problem& problem) override; ///< in the strip

protected:
    void showEvent(QShowEvent* event) override;
    void closeEvent(QCloseEvent* event) override;
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dropEvent(QDropEvent* event) override; ///< sheets that are dropped are imported

private:
    [[nodiscard]] QWidget* seekerOfPart() const; ///< a PartSeeker; null: none is shown
    void makePart();
    [[nodiscard]] StartPage* makeStart();
    [[nodiscard]] JobsPage* makeJobs();
    [[nodiscard]] WorkshopPage* makeWorkshop();
    [[nodiscard]] DrawersPage* makeDrawers();
    [[nodiscard]] ReorderPage* makeReorder();
    [[nodiscard]] KitPage* makeKit();
    template <typename Page>
    [[nodiscard]] Page* started(Page* page); ///< has a new page read the shop, where one is open
    void pageShown();
    void makeMenus();
    void connectFileActions();
    void connectGoActions();
    void connectToolActions();
    void enableShopActions(bool open);
    void disablePageActions(); ///< of pages that are not built
    [[nodiscard]] PrintJob sheetOfPage();
    [[nodiscard]] std::vector<SearchHit> everything();
    void makeNewShop(const QString& path);
    void commitTyping(); ///< a cell that is being typed into takes what was typed, and it is kept as a draft
    void leaveShop();    ///< nothing of it is left in the window
    void showShop();
    void reloadPages();
    void fillRecent();
    void goTo(QWidget* page, QWidget* focus);
    void importSheet(const QString& path); ///< shows it first
    void goToBench(QWidget* step);
    void showProblem(const QString& sentence);

    AppSettings& m_settings;
    UserPrompts& m_prompts;
    ShopSession* m_session;
    DeskActions* m_actions;
    QStackedWidget* m_stack;
    LazyPage<StartPage> m_start;
    QTabWidget* m_pages;
    LazyPage<JobsPage> m_jobs;
    LazyPage<WorkshopPage> m_workshop;
    LazyPage<DrawersPage> m_drawers;
    LazyPage<ReorderPage> m_reorder;
    LazyPage<KitPage> m_kit;
    MessageStrip* m_strip;
    SearchEverywhere* m_search = nullptr; ///< built when it is first asked for
    HelpDialog* m_help = nullptr;
    PrintFlow* m_print;
    ImportFlow* m_import;
    QPointer<OwnDataDialog> m_own_data;
    QPointer<NewPartDialog> m_new_part;
    QPointer<StockValueDialog> m_stock_value;
    QPointer<ReadingsDialog> m_readings;
    QPointer<ShimGridDialog> m_shim_grid;
    std::optional<std::uintmax_t> m_large_bytes; ///< none: as the page has it
    DeskTheme m_theme;
    QMenu* m_recent = nullptr;
    QLabel* m_place;
    BackgroundRun m_demo_run;
};

} // namespace shimledger::desk
