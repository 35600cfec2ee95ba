#include "app/desk/app_settings.h"

#include <QDir>
#include <QFileInfo>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int most_recent = 8;
constexpr QLatin1String recent_key("recent_shops");
constexpr QLatin1String folder_key("last_folder");
constexpr QLatin1String geometry_key("window_geometry");

} // namespace

AppSettings::AppSettings()
    : m_settings(QSettings::IniFormat, QSettings::UserScope, QStringLiteral("shimledger"),
                 QStringLiteral("desk")) {}

AppSettings::AppSettings(const QString& ini_path) : m_settings(ini_path, QSettings::IniFormat) {}

QStringList AppSettings::recentShops() const {
    QStringList paths = m_settings.value(recent_key).toStringList();
    paths.erase(std::remove_if(paths.begin(), paths.end(),
                               [](const QString& path) { return !QFileInfo::exists(path); }),
                paths.end());
    return paths;
}

void AppSettings::addRecentShop(const QString& path) {
    QStringList paths = m_settings.value(recent_key).toStringList();
    paths.removeAll(path);
    paths.prepend(path);
    m_settings.setValue(recent_key, QStringList(paths.mid(0, most_recent)));
}

QString AppSettings::lastFolder() const {
    return m_settings.value(folder_key, QDir::homePath()).toString();
}

void AppSettings::setLastFolder(const QString& folder) {
    m_settings.setValue(folder_key, folder);
}

QByteArray AppSettings::windowGeometry() const {
    return m_settings.value(geometry_key).toByteArray();
}

void AppSettings::setWindowGeometry(const QByteArray& geometry) {
    m_settings.setValue(geometry_key, geometry);
}

} // namespace shimledger::desk
