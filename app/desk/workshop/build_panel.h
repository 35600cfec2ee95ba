// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/workshop/bench_step.h"

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/build_state.h"
#endif

class QLabel;
class QListWidget;
class QPlainTextEdit;

namespace shimledger::desk {

class AppSettings;
class CautionBand;
class ScaledLabel;
class StackChecklist;
class UserPrompts;
struct SheetTable;

/// Both stacks of a job in the order in which they go together, in large type, with a box to tick for each
/// row and leg, what of it still lies in the drawers, and the cautions. When it is built, one key records it
/// and ends the job. Ticks are kept until then, whatever is looked at in between.
class BuildPanel : public BenchStep {
    Q_OBJECT

public:
    BuildPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
               QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job);
    [[nodiscard]] SheetTable sheet() const; ///< to be printed once nothing is reserved any more
    [[nodiscard]] StackChecklist* checklist() const { return m_build; }
    [[nodiscard]] QString stage() const; ///< how far the pull is; empty: nothing is promised
    [[nodiscard]] QString open() const;  ///< what is not there yet, in a sentence; empty: all is

protected:
    bool event(QEvent* event) override;

private:
    void layOut();
    void setType();
    void fill();
    void record();
    void keepTicks();
    void restoreTicks();
    void tellProgress();
    void enableActions() override;
    [[nodiscard]] QString topic() const;
    [[nodiscard]] QString signature() const; ///< of the stack that the ticks belong to

    UserPrompts& m_prompts;
    AppSettings& m_settings;
    services::BuildState m_state;
    int m_legs = 1;
    int m_first_leg = 1;
    bool m_recordable = false; ///< discs were promised or pulled for the job
    ScaledLabel* m_title;
    CautionBand* m_open;
    StackChecklist* m_build;
    QListWidget* m_target;
    QPlainTextEdit* m_consumables;
    QPlainTextEdit* m_cautions;
    QLabel* m_heights;
    QLabel* m_progress;
    QPushButton* m_laid;
};

} // namespace shimledger::desk
