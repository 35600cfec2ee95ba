// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

class QListWidget;
class QPushButton;

namespace shimledger::desk {

class DeskActions;

/// What is there before a shop is open: a new shop, a shop file, the demo, or one of the last ones.
class StartPage : public QWidget {
    Q_OBJECT

public:
    explicit StartPage(const DeskActions& actions, QWidget* parent = nullptr);

    void setRecentShops(const QStringList& paths);

signals:
    void recentShopPicked(const QString& path);

protected:
    void changeEvent(QEvent* event) override;

private:
    void setWidth();

    QWidget* m_middle = nullptr;
    QListWidget* m_recent;
    QWidget* m_recent_box;
};

} // namespace shimledger::desk
