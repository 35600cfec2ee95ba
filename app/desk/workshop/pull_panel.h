// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/workshop/bench_step.h"

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/pick_list.h"
#include "inventory/stock_movement.h"
#endif

#include <optional>
#include <string>
#include <vector>

class QLabel;
class QLineEdit;
class QListWidget;
class QProgressBar;
class QPushButton;

namespace shimledger::desk {

class ScaledLabel;

/// Pulling at the bench, in type that is read from an arm's length: which drawer is next, how many of what,
/// and what for. A scan of the drawer or Return books it; short, wrong and undo are one key each.
class PullPanel : public BenchStep {
    Q_OBJECT

public:
    PullPanel(ShopSession& session, const DeskActions& actions, QWidget* parent = nullptr);

    /// Reads what is open for the component of that job; the steps of the same one stay.
    void show(const std::optional<std::string>& at_bench);

    [[nodiscard]] QLineEdit* scan() const { return m_scan; }
    [[nodiscard]] QString nextBin() const;
    [[nodiscard]] QListWidget* list() const { return m_list; }
    [[nodiscard]] QString purpose() const; ///< what the next line is for
    [[nodiscard]] int openLines() const { return static_cast<int>(m_open.size()); }

signals:
    void pulledAll();

protected:
    bool event(QEvent* event) override;

private:
    /// A line still to be pulled, and the valve that it is for.
    struct OpenLine {
        services::PickLine line;
        std::string job;                                 ///< of the valve
        QString valve;                                   ///< empty where it need not be said
        std::vector<std::optional<std::int64_t>> by_leg; ///< of the component
        std::vector<services::BuildRow> rows;            ///< of the stack to be built
    };
    /// What was done with one line, so that it can be taken back.
    struct Step {
        inventory::PostedBatch batch;
        QString text;       ///< as the line stood in the list
        bool pulled = true; ///< else given up: short or wrong
        QString outcome{};  ///< "pulled", "short", "wrong discs"
    };
    void connectActions();
    void read();
    QString readWhatWent();
    void refresh();
    void fillList();
    void pull();
    void giveUpShort();
    void giveUp(int found, const QString& outcome, const QString& why, const std::string& reason);
    void setType();
    void tellNext();
    [[nodiscard]] QString purposeOf(const OpenLine& open) const;
    void takeBack();
    void enableActions() override;
    template <typename Work>
    bool book(Work&& work); ///< shows what the shop refuses; false then
    [[nodiscard]] static QString whatText(const services::PickLine& line);
    [[nodiscard]] static QString lineText(const OpenLine& open); ///< with the bin before it

    std::vector<OpenLine> m_open; ///< of all valves of the component, in walking order
    bool m_known = true;          ///< what is open could be read
    std::vector<Step> m_steps;
    QLabel* m_caption;
    QProgressBar* m_progress;
    ScaledLabel* m_bin;
    ScaledLabel* m_what;
    ScaledLabel* m_for;
    ScaledLabel* m_then; ///< the drawer after this one
    QLineEdit* m_scan;
    QPushButton* m_done;
    QListWidget* m_list;
};

} // namespace shimledger::desk
