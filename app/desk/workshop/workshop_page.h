// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include <optional>
#include <string>

class QComboBox;
class QLabel;
class QTabWidget;

namespace shimledger::inventory {
struct Job;
}

namespace shimledger::desk {

class AppSettings;
class BuildPanel;
class DeskActions;
class InspectPanel;
class PullPanel;
class ShopSession;
class StripPanel;
class UserPrompts;
struct PrintJob;

/// The page of the tech at the bench, for one job: strip and write down, inspect, pull, build.
class WorkshopPage : public QWidget {
    Q_OBJECT

public:
    WorkshopPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                 AppSettings& settings, QWidget* parent = nullptr);

    void reload(); ///< reads the shop; keeps the job and what was typed
    void pickJob(const std::string& job);
    void setActive(bool active); ///< whether this page is shown, and its keys are meant
    [[nodiscard]] std::optional<std::string> pickedJob() const;
    [[nodiscard]] PrintJob printJob() const;

    [[nodiscard]] QTabWidget* steps() const { return m_steps; }
    [[nodiscard]] StripPanel& strip() const { return *m_strip; }
    [[nodiscard]] InspectPanel& inspect() const { return *m_inspect; }
    [[nodiscard]] PullPanel& pull() const { return *m_pull; }
    [[nodiscard]] BuildPanel& build() const { return *m_build; }
    void goTo(QWidget* step); ///< and puts the focus where one types there

private:
    void showJob();
    [[nodiscard]] static QString nameOf(const inventory::Job& job);
    void activate();

    ShopSession& m_session;
    bool m_active = false;
    QComboBox* m_job;
    QLabel* m_hint; ///< how far the job is, or where jobs come from
    QTabWidget* m_steps;
    StripPanel* m_strip;
    InspectPanel* m_inspect;
    PullPanel* m_pull;
    BuildPanel* m_build;
};

} // namespace shimledger::desk
