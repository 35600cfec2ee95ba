// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/app_settings.h"
#include "app/desk/background_run.h"

#include <QByteArray>
#include <QImage>
#include <QObject>
#include <QPageLayout>

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

/// The same as the bytes of a PDF file with this title. Made in memory: QPdfWriter and QPrinter tell nobody
/// when the disk takes no more, so that writing has to be done, and looked at, apart from them.
[[nodiscard]] QByteArray pdfOf(const QString& html, const QImage& picture, const QPageLayout& page,
                               const QString& title);
/// Throws services::FileFault, in one sentence, where the file cannot be made or does not take all of it.
void writeWhole(const QString& path, const QByteArray& bytes);

/// What is to be printed: its text is made in the background, from a ShopFile of its own.
struct PrintJob {
    QString name; ///< "pick-list-JOB-1002"; the suggested file name without its ending
    std::function<QString(inventory::ShopFile&)> html;
    QImage picture;
};

/// Prints sheets, on paper or into a PDF file. Ends in done() or failed(), in one sentence: done() of a file
/// only once the system has taken all of it.
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
    void save(const PrintJob& job, const QPageLayout& page, const QString& path);

    ShopSession& m_session;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    BackgroundRun m_run;
};

} // namespace shimledger::desk
