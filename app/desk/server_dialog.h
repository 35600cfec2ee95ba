// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"

#include <QDialog>

class QComboBox;
class QLabel;
class QPushButton;

namespace shimledger::desk {

/// Asks for the address of a shop on a server. What is wrong with what is typed is said at once, beneath the
/// field; whether the shop can be opened there is tried before the dialog ends, and what was typed stays
/// where it cannot. An address with a password in it is refused; passwords are PostgreSQL's, and none is
/// asked for or kept.
class ServerDialog : public QDialog {
    Q_OBJECT

public:
    /// `recent`: addresses that were opened, the last one first.
    explicit ServerDialog(const QStringList& recent, QWidget* parent = nullptr);

    [[nodiscard]] QString address() const;
    void accept() override; ///< tries first; the dialog ends when the shop has answered

    [[nodiscard]] QComboBox* field() const { return m_field; }
    [[nodiscard]] QString sentence() const; ///< that is shown beneath the field
    [[nodiscard]] QPushButton* openButton() const { return m_open; }
    [[nodiscard]] bool busy() const { return m_try.running(); }

private:
    void typed();
    void tell(const QString& sentence, bool problem);

    QComboBox* m_field;
    QLabel* m_sentence;
    QPushButton* m_open;
    BackgroundRun m_try;
};

} // namespace shimledger::desk
