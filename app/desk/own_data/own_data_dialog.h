// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>

#include <vector>

class QTabWidget;

namespace shimledger::desk {

class AppSettings;
class MessageStrip;
class OwnDataPanel;
class ShopSession;

/// What the shop says of itself: parts, drawers, suppliers, offers, component models, reorder classes. Stands
/// beside the window, so that what is wanted while doing something else can be made without losing that.
class OwnDataDialog : public QDialog {
    Q_OBJECT

public:
    OwnDataDialog(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    [[nodiscard]] OwnDataPanel& panel(int tab) const { return *m_panels[static_cast<std::size_t>(tab)]; }
    [[nodiscard]] QTabWidget* tabs() const { return m_tabs; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

private:
    std::vector<OwnDataPanel*> m_panels;
    QTabWidget* m_tabs;
    MessageStrip* m_strip;
};

} // namespace shimledger::desk
