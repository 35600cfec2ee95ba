// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "inventory/job.h"
#endif

#include <QWidget>

#include <optional>
#include <string>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QSpinBox;
class QTableWidget;

namespace shimledger::desk {

class ShopSession;

/// The valves of a job's component: which there are, in which legs they lie and where each stands. More are
/// added, legs get a stack of their own, and jobs of one component are joined here.
class ValvesPanel : public QWidget {
    Q_OBJECT

public:
    explicit ValvesPanel(ShopSession& session, QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job);
    [[nodiscard]] QTableWidget* table() const { return m_table; }
    [[nodiscard]] QComboBox* nameField() const { return m_name; }  ///< of the valve to be added
    [[nodiscard]] QLineEdit* otherJob() const { return m_other; }  ///< to be joined
    [[nodiscard]] QSpinBox* fromLeg() const { return m_from_leg; } ///< that gets a stack of its own
    [[nodiscard]] QPushButton* addButton() const { return m_add; }
    [[nodiscard]] QPushButton* modelButton() const { return m_add_all; }
    [[nodiscard]] QPushButton* splitButton() const { return m_split; }
    [[nodiscard]] QPushButton* joinButton() const { return m_join; }
    [[nodiscard]] QPushButton* separateButton() const { return m_separate; }

signals:
    void valveWanted(const QString& job); ///< to be looked at
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    void add();
    void addAll();
    void split();
    void join();
    void separate();
    void wantPicked();
    void enable();
    [[nodiscard]] std::string pickedCode() const; ///< empty: none
    template <typename Work>
    void book(Work&& work); ///< work() gives the sentence of what was done

    ShopSession& m_session;
    std::string m_job; ///< that is shown; empty: none
    std::vector<inventory::Job> m_valves;
    QTableWidget* m_table;
    QLabel* m_words;
    QComboBox* m_name;
    QSpinBox* m_first_leg;
    QSpinBox* m_last_leg;
    QSpinBox* m_from_leg;
    QLineEdit* m_other;
    QPushButton* m_add;
    QPushButton* m_add_all;
    QPushButton* m_split;
    QPushButton* m_join;
    QPushButton* m_separate;
};

} // namespace shimledger::desk
