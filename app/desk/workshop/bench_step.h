// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/desk_actions.h"

#include <QWidget>

#include <initializer_list>
#include <optional>
#include <string>

class QHBoxLayout;
class QPushButton;

namespace shimledger::desk {

class MessageStrip;
class ShopSession;

/// What the steps at the bench share: the job they are at, a strip for messages above, large buttons below,
/// and keys that mean something only while the step is shown.
class BenchStep : public QWidget {
    Q_OBJECT

public:
    void setActive(bool active); ///< whether the step is shown, and its keys are meant
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

protected:
    BenchStep(ShopSession& session, const DeskActions& actions, QWidget* parent);

    virtual void enableActions() = 0;
    /// An action of this step: on only while the step is shown.
    void enable(ActionId id, bool on) const { m_actions[id]->setEnabled(m_active && on); }
    /// Makes room on a button for a gloved finger, and around its words.
    static void enlarge(QPushButton& button, int height);
    /// Buttons that can be hit with gloves on.
    [[nodiscard]] QHBoxLayout* buttonRow(std::initializer_list<ActionId> ids) const;
    void showProblem(const QString& sentence) const;
    void showDone(const QString& sentence) const;

    ShopSession& m_session;
    const DeskActions& m_actions;
    std::optional<std::string> m_job;
    MessageStrip* m_strip;

private:
    bool m_active = false;
};

} // namespace shimledger::desk
