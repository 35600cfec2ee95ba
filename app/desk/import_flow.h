#pragma once

#include "app/desk/background_run.h"

#include <QDialog>
#include <QObject>

#include <memory>

namespace shimledger::inventory {
struct ImportReport;
}

namespace shimledger::desk {

class ShopSession;
class UserPrompts;

/// What keeps a CSV file or folder from being imported, line by line.
class ImportProblemsDialog : public QDialog {
    Q_OBJECT

public:
    ImportProblemsDialog(const inventory::ImportReport& report, QWidget* parent);
};

/// Opening stock (and whatever else a shop's CSV files hold) into the open shop: looked through first, with
/// every problem listed; imported as a whole after a question, or not at all.
class ImportFlow : public QObject {
    Q_OBJECT

public:
    ImportFlow(ShopSession& session, UserPrompts& prompts, QObject* parent = nullptr);

    void import(const QString& path, QWidget* window); ///< a CSV file, or a folder of them
    [[nodiscard]] bool busy() const { return m_run.running(); }
    [[nodiscard]] ImportProblemsDialog* problems() const { return m_problems; } ///< null: none on show

signals:
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    void looked(const inventory::ImportReport& report, const QString& path, QWidget* window);

    ShopSession& m_session;
    UserPrompts& m_prompts;
    ImportProblemsDialog* m_problems = nullptr;
    BackgroundRun m_run;
};

} // namespace shimledger::desk
