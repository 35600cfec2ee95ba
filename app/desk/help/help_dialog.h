// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>
#include <QString>

class QListWidget;
class QTextBrowser;

namespace shimledger::desk {

/// The pages of app/help, which are installed as well and can be read without the program: a list of them,
/// and the one that is picked.
class HelpDialog : public QDialog {
    Q_OBJECT

public:
    explicit HelpDialog(QWidget* parent = nullptr);

    void open(const QString& page); ///< "tuner"; the first one where there is none of that name
    [[nodiscard]] QString page() const;
    [[nodiscard]] QTextBrowser* text() const { return m_text; }
    [[nodiscard]] QListWidget* list() const { return m_list; }

private:
    void showPicked();

    QListWidget* m_list;
    QTextBrowser* m_text;
};

} // namespace shimledger::desk
