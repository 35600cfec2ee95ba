#pragma once

#include <QSettings>
#include <QStringList>

namespace shimledger::desk {

/// What the window remembers between runs. Tests hand in a file of their own.
class AppSettings {
public:
    AppSettings(); ///< of this user
    explicit AppSettings(const QString& ini_path);

    [[nodiscard]] QStringList recentShops() const; ///< newest first, at most eight, only files that exist
    void addRecentShop(const QString& path);
    [[nodiscard]] QString lastFolder() const; ///< where sheets and shops were last looked for
    void setLastFolder(const QString& folder);
    [[nodiscard]] QByteArray windowGeometry() const;
    void setWindowGeometry(const QByteArray& geometry);

private:
    QSettings m_settings;
};

} // namespace shimledger::desk
