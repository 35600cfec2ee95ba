// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN
#include "planner/substitute/wanted_factor.h"
#endif

#include <QTimer>
#include <QWidget>

#include <optional>
#include <string>
#include <vector>

class QLabel;
class QLineEdit;

namespace shimledger::desk {

class AppSettings;
class DeskActions;

/// What is wanted of a job's curve other than the target's own, as it is typed in per cent, with the same in
/// words beside it. It is nobody's target until a proposal is taken; what is typed outlives the window.
class WishEditor : public QWidget {
    Q_OBJECT

public:
    using Points = std::vector<planner::WantedPoint>;

    WishEditor(const DeskActions& actions, AppSettings& settings, QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job, bool may_wish); ///< with what was kept of it
    /// Shows what can be taken hold of at these lifts, where nothing is wished yet, and takes the focus.
    void begin(const std::vector<double>& handle_lifts_mm);
    void setPoints(const Points& points); ///< as they were pulled on the plot
    void drop();

    [[nodiscard]] const Points& points() const { return m_points; } ///< none: nothing to take hold of
    [[nodiscard]] bool wishes() const;                              ///< something else than the target's own
    [[nodiscard]] planner::WantedFactor wanted() const;             ///< 1 everywhere where nothing is wished
    [[nodiscard]] QLineEdit* field() const { return m_field; }
    [[nodiscard]] QString sentence() const;

signals:
    void changed(); ///< points() is new
    void settled(); ///< and has stood for a moment
    void entered(); ///< with Return: whoever typed it waits for what comes of it

private:
    void takeTyped();
    void take(Points points); ///< and keeps them
    void showWords();
    void keep();
    [[nodiscard]] QString topic() const;

    AppSettings& m_settings;
    QLineEdit* m_field;
    QLabel* m_words;
    std::optional<std::string> m_job;
    Points m_points;
    QString m_problem; ///< of what is typed
    QTimer m_pause;
};

} // namespace shimledger::desk
