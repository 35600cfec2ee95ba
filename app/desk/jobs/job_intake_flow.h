#pragma once

#include <QObject>
#include <QString>

#include <cstdint>
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

signals:
    void opened(const std::string& code); ///< before done(), once every page has read it
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    ShopSession& m_session;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
};

} // namespace shimledger::desk
