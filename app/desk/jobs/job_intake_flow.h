// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QString>
#include <QVariantMap>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

class QWidget;

namespace shimledger::desk {

class AppSettings;
class ShopSession;
class UserPrompts;

/// Jobs come in, are changed and are given up. Every step ends in done() or in failed(), in one sentence.
class JobIntakeFlow : public QObject {
    Q_OBJECT

public:
    JobIntakeFlow(ShopSession& session, UserPrompts& prompts, AppSettings& settings,
                  QObject* parent = nullptr);

    /// These ask first. `window` is what the question is shown over.
    void openNew(QWidget* window);
    void change(const std::string& job, QWidget* window);
    void giveUp(const std::string& job, std::int64_t reservations, QWidget* window);
    void reopen(const std::string& job, QWidget* window);

signals:
    void opened(const std::string& code); ///< before done(), once every page has read it
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    [[nodiscard]] std::optional<QString> otherShop(const std::filesystem::path& asked_for) const;
    [[nodiscard]] QVariantMap draft() const; ///< of the new job that was left half typed
    void keep(QVariantMap draft);

    ShopSession& m_session;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    QVariantMap m_private; ///< of the draft, what is not written anywhere
    std::filesystem::path m_private_shop;
};

} // namespace shimledger::desk
