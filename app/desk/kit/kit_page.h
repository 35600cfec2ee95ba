// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#include "app/desk/kit/kit_grid_model.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/kit_plan.h"
#endif

#include <QWidget>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

class QComboBox;
class QDoubleSpinBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QTableView;
class QTableWidget;
class QTabWidget;

namespace shimledger::desk {

class AppSettings;
class DeskActions;
class KitCurveView;
class MessageStrip;
class ShopSession;
class UserPrompts;
struct PrintJob;

/// Which sizes to keep and how many, for a budget and the coming season: what it comes to over money, the
/// grid of sizes, what each is for, what to buy now, what may run out, which drawers to free. What if:
/// another budget, other drawers, another x, other recipes, sizes locked in or out. Reorder points are set
/// from it, and taken back.
class KitPage : public QWidget {
    Q_OBJECT

public:
    KitPage(ShopSession& session, DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
            QWidget* parent = nullptr);

    void reload(); ///< the shop has changed: the plan that is shown is told to be older
    void plan();   ///< by what stands in the fields
    void stop();
    void writeSheet();
    void setPoints(); ///< after a question
    void takePointsBack();
    void takeRecipes();                 ///< of a file, for this plan alone; a second time: without them
    void recipesOfJobs();               ///< keeps what closed jobs asked for as recipes
    void lock(KitGridModel::Lock lock); ///< of the picked size, for the next plan

    [[nodiscard]] bool busy() const { return m_run.running(); }
    [[nodiscard]] PrintJob printJob() const;
    [[nodiscard]] std::shared_ptr<const services::KitResult> kit() const { return m_kit; }
    [[nodiscard]] KitGridModel& grid() const { return *m_grid; }
    [[nodiscard]] QTableView* gridTable() const { return m_grid_table; }
    [[nodiscard]] KitCurveView& curve() const { return *m_curve; }
    [[nodiscard]] QLineEdit* budgetEdit() const { return m_budget; }
    [[nodiscard]] QLineEdit* drawersEdit() const { return m_drawers; }
    [[nodiscard]] QDoubleSpinBox* withinBox() const { return m_within; }
    [[nodiscard]] QComboBox* demandBox() const { return m_demand; }
    [[nodiscard]] QString told() const;  ///< the plan in sentences, or why there is none
    [[nodiscard]] QString about() const; ///< of the picked size
    [[nodiscard]] QTabWidget* lists() const { return m_lists; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }
    /// What the fields ask for; throws InputError that names the field.
    [[nodiscard]] services::KitOptions options() const;

private:
    void layOut(DeskActions& actions);
    void show(std::shared_ptr<const services::KitResult> kit);
    void showAbout();
    void fillLists();
    [[nodiscard]] QModelIndex firstKept() const;
    void enable();
    void attempt(const std::function<void()>& step);

    ShopSession& m_session;
    DeskActions& m_actions;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    KitGridModel* m_grid;
    KitCurveView* m_curve;
    QTableView* m_grid_table;
    QLineEdit *m_budget, *m_drawers, *m_season;
    QDoubleSpinBox* m_within;
    QComboBox *m_demand, *m_bore;
    QPushButton *m_plan, *m_stop, *m_sheet, *m_set, *m_back, *m_file, *m_of_jobs, *m_keep, *m_out, *m_free;
    QLabel *m_told, *m_about;
    QTabWidget* m_lists;
    QTableWidget *m_buy, *m_spared, *m_dead;
    MessageStrip* m_strip;
    BackgroundRun m_run;
    std::shared_ptr<const services::KitResult> m_kit;
    std::vector<planner::WantedStack> m_recipes; ///< of a file
    bool m_older = false;                        ///< the shop has changed since the plan
    std::optional<bool> m_stop_was_on;           ///< Stop, before the planning under way made it so
};

} // namespace shimledger::desk
