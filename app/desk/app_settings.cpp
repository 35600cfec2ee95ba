// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/app_settings.h"

#include "app/desk/path_text.h"
#include "inventory/shop_address.h"

#include <QDir>
#include <QFileInfo>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int most_recent = 8;
constexpr int most_sheets = 100;
constexpr QLatin1String recent_key("recent_shops");
constexpr QLatin1String folder_key("last_folder");
constexpr QLatin1String geometry_key("window_geometry");
constexpr QLatin1String sheets_key("sheet_answers");
constexpr QLatin1String theme_key("choices/theme");
constexpr QLatin1String text_size_key("choices/text_size_percent");
constexpr QLatin1String paper_key("choices/paper");
constexpr QLatin1String size_unit_key("choices/size_unit");
constexpr QLatin1String working_lift_key("choices/working_lift_mm");
constexpr QLatin1String tolerance_key("choices/tolerance_class");
constexpr QLatin1String person_key("choices/person");
constexpr QLatin1String waiting_day_key("choices/waiting_day_hundredths");

QString draftsBeside(const QString& ini_path) {
    return QFileInfo(ini_path).absoluteDir().filePath(QStringLiteral("drafts.ini"));
}

QString themeName(Theme theme) {
    return theme == Theme::light  ? QStringLiteral("light")
           : theme == Theme::dark ? QStringLiteral("dark")
                                  : QStringLiteral("system");
}

} // namespace

AppSettings::AppSettings()
    : m_settings(QSettings::IniFormat, QSettings::UserScope, QStringLiteral("shimledger"),
                 QStringLiteral("desk")),
      m_drafts(draftsBeside(m_settings.fileName())) {}

AppSettings::AppSettings(const QString& ini_path)
    : m_settings(ini_path, QSettings::IniFormat), m_drafts(draftsBeside(ini_path)) {}

QStringList AppSettings::recentShops() const {
    QStringList paths = m_settings.value(recent_key).toStringList();
    paths.erase(std::remove_if(paths.begin(), paths.end(),
                               [](const QString& path) { return inventory::nothingIsAt(pathOf(path)); }),
                paths.end());
    return paths;
}

QStringList AppSettings::recentServers() const {
    QStringList addresses;
    for (const QString& shop : recentShops()) {
        if (inventory::isServerAddress(pathOf(shop))) addresses.append(shop);
    }
    return addresses;
}

void AppSettings::addRecentShop(const QString& path) {
    QStringList paths = m_settings.value(recent_key).toStringList();
    if (paths.value(0) == path) { // the file is written, and waited for, only for what is new
        return;
    }
    paths.removeAll(path);
    paths.prepend(path);
    m_settings.setValue(recent_key, QStringList(paths.mid(0, most_recent)));
}

QString AppSettings::lastFolder() const {
    return m_settings.value(folder_key, QDir::homePath()).toString();
}

void AppSettings::setLastFolder(const QString& folder) {
    if (m_settings.value(folder_key).toString() != folder) {
        m_settings.setValue(folder_key, folder);
    }
}

QByteArray AppSettings::windowGeometry() const {
    return m_settings.value(geometry_key).toByteArray();
}

void AppSettings::setWindowGeometry(const QByteArray& geometry) {
    m_settings.setValue(geometry_key, geometry);
}

DeskChoices AppSettings::choices() const {
    DeskChoices choices;
    const QString theme = m_settings.value(theme_key).toString();
    choices.theme = theme == QLatin1String("light")  ? Theme::light
                    : theme == QLatin1String("dark") ? Theme::dark
                                                     : Theme::system;
    choices.text_size_percent = std::clamp(m_settings.value(text_size_key, 100).toInt(), 80, 200);
    choices.paper =
        m_settings.value(paper_key).toString() == QLatin1String("letter") ? Paper::letter : Paper::a4;
    choices.size_unit = m_settings.value(size_unit_key).toString() == QLatin1String("in")
                            ? services::SizeUnit::inches
                            : services::SizeUnit::millimetres;
    const double lift = m_settings.value(working_lift_key, choices.working_lift_mm).toDouble();
    choices.working_lift_mm = lift >= 0.05 && lift <= 2.0 ? lift : choices.working_lift_mm;
    choices.tolerance = planner::parseToleranceClass(m_settings.value(tolerance_key).toString().toStdString())
                            .value_or(choices.tolerance);
    const qlonglong waiting =
        m_settings.value(waiting_day_key, QVariant::fromValue<qlonglong>(choices.waiting_day)).toLongLong();
    if (waiting >= 0 && waiting <= most_waiting_day) choices.waiting_day = waiting;
    choices.person = m_settings.value(person_key).toString();
    return choices;
}

void AppSettings::setChoices(const DeskChoices& choices) {
    m_settings.setValue(theme_key, themeName(choices.theme));
    m_settings.setValue(text_size_key, choices.text_size_percent);
    m_settings.setValue(paper_key,
                        choices.paper == Paper::letter ? QStringLiteral("letter") : QStringLiteral("a4"));
    m_settings.setValue(size_unit_key,
                        QString::fromStdString(std::string(services::unitSign(choices.size_unit))));
    m_settings.setValue(working_lift_key, choices.working_lift_mm);
    m_settings.setValue(tolerance_key,
                        QString::fromStdString(planner::toleranceClassName(choices.tolerance)));
    m_settings.setValue(person_key, choices.person);
    m_settings.setValue(waiting_day_key, QVariant::fromValue<qlonglong>(choices.waiting_day));
}

QVariantMap AppSettings::sheetAnswers(const QString& headings) const {
    const QVariantList known = m_settings.value(sheets_key).toList();
    for (const QVariant& sheet : known) {
        const QVariantMap said = sheet.toMap();
        if (said.value(QStringLiteral("headings")) == headings) return said;
    }
    return {};
}

void AppSettings::setSheetAnswers(const QString& headings, const QVariantMap& said) {
    QVariantList known = m_settings.value(sheets_key).toList();
    known.removeIf(
        [&](const QVariant& sheet) { return sheet.toMap().value(QStringLiteral("headings")) == headings; });
    if (!said.isEmpty()) {
        QVariantMap kept = said;
        kept[QStringLiteral("headings")] = headings;
        known.prepend(kept);
    }
    m_settings.setValue(sheets_key, known.mid(0, most_sheets));
}

} // namespace shimledger::desk
