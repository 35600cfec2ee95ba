// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/job_wishes.h"
#endif

#include <QWidget>

#include <vector>

class QLabel;
class QLineEdit;
class QTableWidget;

namespace shimledger::desk {

class DeskActions;

/// The stacks that were tried for a job, side by side: what was wished, what each gives, who made it and what
/// became of it. A picked one is laid out beside the target.
class TriesPanel : public QWidget {
    Q_OBJECT

public:
    explicit TriesPanel(const DeskActions& actions, QWidget* parent = nullptr);

    void show(std::vector<services::TryTold> tries);
    [[nodiscard]] const inventory::StackTry* picked() const;      ///< null: none
    [[nodiscard]] QLineEdit* nameField() const { return m_name; } ///< of the next one that is kept
    [[nodiscard]] QTableWidget* table() const { return m_table; }

    enum Column { name, given, wish, kept, made, stack, column_count };

signals:
    void tryPicked();

private:
    [[nodiscard]] static QString keptText(inventory::TryUse use);

    std::vector<services::TryTold> m_tries;
    QTableWidget* m_table;
    QLineEdit* m_name;
    QLabel* m_empty;
};

} // namespace shimledger::desk
