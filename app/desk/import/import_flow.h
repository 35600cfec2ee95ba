// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QPointer>

namespace shimledger::desk {

class AppSettings;
class ImportDialog;
class ShopSession;

/// Sheets as people write them, or in the exchange format, into the open shop: shown first, in a dialog of
/// their own, and imported as a whole or not at all.
class ImportFlow : public QObject {
    Q_OBJECT

public:
    ImportFlow(ShopSession& session, AppSettings& settings, QObject* parent = nullptr);

    void import(const QString& path, QWidget* window); ///< a file, or a folder of them
    [[nodiscard]] bool busy() const;
    [[nodiscard]] ImportDialog* dialog() const; ///< null: none is open

signals:
    void done(const QString& sentence);

private:
    ShopSession& m_session;
    AppSettings& m_settings;
    QPointer<ImportDialog> m_dialog;
};

} // namespace shimledger::desk
