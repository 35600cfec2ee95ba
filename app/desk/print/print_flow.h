#pragma once

#include "app/desk/app_settings.h"
#include "app/desk/background_run.h"

#include <QImage>
#include <QObject>

#include <functional>

class QPagedPaintDevice;
class QWidget;

namespace shimledger::inventory {
class ShopFile;
}

namespace shimledger::desk {

class ShopSession;
class UserPrompts;

/// Lays a sheet's HTML out on the device's pages. `picture` is what the HTML calls "picture"; may be null.
void paintSheet(const QString& html, const QImage& picture, QPagedPaintDevice& device);

/// What is to be printed: its text is made in the background, from a ShopFile of its own.
struct PrintJob {
    QString name; ///< "pick-list-JOB-1002"; the suggested file name without its ending
    std::function<QString(inventory::ShopFile&)> html;
    QImage picture;
};

/// Prints sheets, on paper or into a PDF file. Ends in done() or failed(), in one sentence.
class PrintFlow : public QObject {
    Q_OBJECT

public:
    PrintFlow(ShopSession& session, UserPrompts& prompts, AppSettings& settings, QObject* parent = nullptr);

    void print(const PrintJob& job, QWidget* window);
    void savePdf(const PrintJob& job, QWidget* window);
    [[nodiscard]] bool busy() const { return m_run.running(); }

signals:
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    void make(const PrintJob& job, std::function<void(const QString& html)> then);

    ShopSession& m_session;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    BackgroundRun m_run;
};

} // namespace shimledger::desk
