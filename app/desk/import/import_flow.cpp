// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/import/import_flow.h"

#include "app/desk/app_settings.h"
#include "app/desk/guard.h"
#include "app/desk/import/import_dialog.h"
#include "app/desk/shop_session.h"

#include <QFileInfo>

namespace shimledger::desk {

ImportFlow::ImportFlow(ShopSession& session, AppSettings& settings, QObject* parent)
    : QObject(parent), m_session(session), m_settings(settings) {}

void ImportFlow::import(const QString& path, QWidget* window) {
    if (m_dialog) m_dialog->close();
    m_settings.setLastFolder(QFileInfo(path).absolutePath());
    m_dialog = new ImportDialog(m_session, m_settings, path, window);
    m_dialog->setAttribute(Qt::WA_DeleteOnClose);
    guarded(m_dialog.data(), &ImportDialog::imported, this, [this](const QString& sentence) {
        m_session.announceChange();
        emit done(sentence);
    });
    m_dialog->open();
    m_dialog->activateWindow(); // keys go to it at once
}

ImportDialog* ImportFlow::dialog() const {
    return m_dialog;
}

bool ImportFlow::busy() const {
    return m_dialog && m_dialog->busy();
}

} // namespace shimledger::desk
