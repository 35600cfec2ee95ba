// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/draft_store.h"

#include <QCryptographicHash>

namespace shimledger::desk {

DraftStore::DraftStore(const QString& ini_path) : m_file(ini_path, QSettings::IniFormat) {}

/// A path holds characters that mean something in an ini file; its hash holds none.
QString DraftStore::key(const QString& topic) const {
    const QByteArray shop = QCryptographicHash::hash(m_shop.toUtf8(), QCryptographicHash::Sha1).toHex();
    return QString::fromLatin1(shop) + QLatin1Char('/') + topic;
}

QString DraftStore::text(const QString& topic) const {
    return m_file.value(key(topic)).toString();
}

void DraftStore::keep(const QString& topic, const QString& text) {
    if (this->text(topic) == text) { // the file is written, and waited for, only for what is new
        return;
    }
    if (text.isEmpty()) {
        m_file.remove(key(topic));
    } else {
        m_file.setValue(key(topic), text);
    }
}

} // namespace shimledger::desk
