// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/state_mark.h"

#include <QList>
#include <QStringList>
#include <QTableWidget>

namespace shimledger::desk {

/// The stack to be built, piston face first, with a box to tick for every row and leg, in the largest type
/// that lets it be seen at one look. Space ticks the row that is laid and goes on to the next one, leg after
/// leg; on a ticked row it takes the tick back. A press on a box does so too, and a press elsewhere on a row
/// stands for the leg in work.
class StackChecklist : public QTableWidget {
    Q_OBJECT

public:
    struct Row {
        QString discs;  ///< "3 x 24.0 x 0.10"
        QString remark; ///< what it stands in for, or where it still lies
        StateMark mark = StateMark::none;
    };

    explicit StackChecklist(QWidget* parent = nullptr);

    /// Nothing is ticked then. The first of the legs is called by its number in the component.
    void setStack(const QList<Row>& rows, int legs, int first_of_component = 1);
    void setTicks(const QStringList& ticks); ///< as ticks() gives them; others are left out
    [[nodiscard]] QStringList ticks() const; ///< a text of 0 and 1 for each leg, a letter a row
    [[nodiscard]] bool ticked(int row, int leg) const;
    [[nodiscard]] int legs() const { return m_legs; }
    /// What leg 1, 2, ... of the stack is called: its number in the component.
    [[nodiscard]] int legNumber(int leg) const { return m_first_of_component + leg - 1; }
    [[nodiscard]] QList<int> open(int leg) const; ///< rows that are not ticked, 0-based
    void lay();                                   ///< as Space does

signals:
    void ticksChanged();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    bool event(QEvent* event) override;

private:
    void toggle(int row, int leg);
    void goToNextOpen(int row, int leg);
    void fitType();
    [[nodiscard]] bool fits(int pixels, int longest_remark);
    [[nodiscard]] int remarkColumn() const;

    int m_legs = 0;
    int m_first_of_component = 1;
    int m_leg = 1; ///< in work
};

} // namespace shimledger::desk
