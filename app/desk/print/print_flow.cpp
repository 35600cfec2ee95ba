#include "app/desk/print/print_flow.h"

#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "inventory/shop_file.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QPageSize>
#include <QPdfWriter>
#include <QPrinter>
#include <QTextDocument>
#include <QUrl>

namespace shimledger::desk {

namespace {

constexpr double margin_mm = 12;
constexpr int pdf_dots_per_inch = 300;

QPageSize pageSize(Paper paper) {
    return QPageSize(paper == Paper::letter ? QPageSize::Letter : QPageSize::A4);
}

} // namespace

void paintSheet(const QString& html, const QImage& picture, QPagedPaintDevice& device) {
    QTextDocument document;
    document.setDocumentMargin(0);
    if (!picture.isNull()) {
        document.addResource(QTextDocument::ImageResource, QUrl(QStringLiteral("picture")), picture);
    }
    document.setHtml(html);
    document.print(&device); // breaks pages and numbers them
}

PrintFlow::PrintFlow(ShopSession& session, UserPrompts& prompts, AppSettings& settings, QObject* parent)
    : QObject(parent), m_session(session), m_prompts(prompts), m_settings(settings) {
    connect(&m_run, &BackgroundRun::failed, this, &PrintFlow::failed);
}

void PrintFlow::make(const PrintJob& job, std::function<void(const QString&)> then) {
    m_run.start([html = job.html, then = std::move(then),
                 path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        return [then, text = html(shop)] { then(text); };
    });
}

void PrintFlow::print(const PrintJob& job, QWidget* window) {
    auto printer = std::make_shared<QPrinter>(QPrinter::HighResolution);
    printer->setPageSize(pageSize(m_settings.choices().paper));
    printer->setPageMargins(QMarginsF(margin_mm, margin_mm, margin_mm, margin_mm), QPageLayout::Millimeter);
    printer->setDocName(job.name);
    if (!m_prompts.choosePrinter(window, *printer)) {
        return;
    }
    make(job, [this, printer, job](const QString& html) {
        paintSheet(html, job.picture, *printer);
        emit done(tr("%1 has been sent to the printer.").arg(job.name));
    });
}

void PrintFlow::savePdf(const PrintJob& job, QWidget* window) {
    const QString suggestion = QDir(m_settings.lastFolder()).filePath(job.name + QStringLiteral(".pdf"));
    const QString path = m_prompts.pdfPath(window, suggestion);
    if (path.isEmpty()) {
        return;
    }
    make(job, [this, path, job](const QString& html) {
        QFile file(path);
        if (!file.open(QIODevice::WriteOnly)) {
            emit failed(tr("%1 cannot be written: %2").arg(path, file.errorString()));
            return;
        }
        QPdfWriter writer(&file);
        writer.setResolution(pdf_dots_per_inch);
        writer.setPageSize(pageSize(m_settings.choices().paper));
        writer.setPageMargins(QMarginsF(margin_mm, margin_mm, margin_mm, margin_mm), QPageLayout::Millimeter);
        writer.setTitle(job.name);
        paintSheet(html, job.picture, writer);
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
        emit done(tr("%1 is in %2.").arg(job.name, path));
    });
}

} // namespace shimledger::desk
