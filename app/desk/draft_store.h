// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QSettings>
#include <QString>

namespace shimledger::desk {

/// Keeps what was typed and not booked yet, so that closing the window in the middle loses nothing. Texts are
/// kept by shop file and topic ("target/JOB-1002", "strip/JOB-1002") in a file beside the settings.
class DraftStore {
public:
    explicit DraftStore(const QString& ini_path);

    void setShop(const QString& shop_path) { m_shop = shop_path; }
    [[nodiscard]] QString text(const QString& topic) const; ///< empty: nothing is kept
    void keep(const QString& topic, const QString& text);   ///< empty: forget it

private:
    [[nodiscard]] QString key(const QString& topic) const;

    QSettings m_file;
    QString m_shop;
};

} // namespace shimledger::desk
