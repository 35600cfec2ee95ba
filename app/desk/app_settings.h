// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/draft_store.h"
#include "app/services/sheets/paper_size.h"
#include "app/services/typed_length.h"
#include "app/services/waiting_day.h"
#include "planner/mechanics/scatter_band.h"

#include <QSettings>
#include <QStringList>
#include <QVariantMap>

namespace shimledger::desk {

enum class Theme { system, light, dark };
using Paper = services::PaperSize;

inline constexpr inventory::Hundredths most_waiting_day = 1'000'000; ///< that can be set

/// What a person sets in the settings dialog.
struct DeskChoices {
    Theme theme = Theme::system;
    int text_size_percent = 100; ///< 80 to 200 of the system's size
    Paper paper = Paper::a4;
    /// Of sizes that are typed without a unit, and of what stands in the fields that they are typed into.
    services::SizeUnit size_unit = services::SizeUnit::millimetres;
    double working_lift_mm = 0.30; ///< 0.05 to 2.00
    planner::ToleranceClass tolerance = planner::ToleranceClass::precision;
    /// What a job costs that waits a day beyond its due day, in the suppliers' currency; 0: nobody minds.
    inventory::Hundredths waiting_day = services::usual_waiting_day;
    QString person; ///< name or initials of whoever is at this desk, kept with what they wish; may be empty

    bool operator==(const DeskChoices&) const = default;
};

/// What the window remembers between runs. Tests hand in a file of their own.
class AppSettings {
public:
    AppSettings(); ///< of this user
    explicit AppSettings(const QString& ini_path);

    [[nodiscard]] QStringList recentShops() const;   ///< newest first, at most eight, only files that exist
    [[nodiscard]] QStringList recentServers() const; ///< the addresses among them
    void addRecentShop(const QString& path);
    [[nodiscard]] QString lastFolder() const; ///< where sheets and shops were last looked for
    void setLastFolder(const QString& folder);
    [[nodiscard]] QByteArray windowGeometry() const;
    void setWindowGeometry(const QByteArray& geometry);
    [[nodiscard]] DeskChoices choices() const; ///< what cannot be read is at its default
    void setChoices(const DeskChoices& choices);
    /// What was said of sheets with such headings, see ImportDialog; empty: nothing. The latest hundred are
    /// kept.
    [[nodiscard]] QVariantMap sheetAnswers(const QString& headings) const;
    void setSheetAnswers(const QString& headings, const QVariantMap& said);
    [[nodiscard]] DraftStore& drafts() { return m_drafts; }

private:
    QSettings m_settings;
    DraftStore m_drafts;
};

} // namespace shimledger::desk
