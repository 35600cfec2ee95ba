// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/print_flow.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "inventory/output_file.h"
#include "inventory/shop_file.h"

#include <QBuffer>
#include <QDir>
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

QPageLayout pageOf(Paper paper) {
    return QPageLayout(QPageSize(paper == Paper::letter ? QPageSize::Letter : QPageSize::A4),
                       QPageLayout::Portrait, QMarginsF(margin_mm, margin_mm, margin_mm, margin_mm),
                       QPageLayout::Millimeter);
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

QByteArray pdfOf(const QString& html, const QImage& picture, const QPageLayout& page, const QString& title) {
    QBuffer bytes;
    bytes.open(QIODevice::WriteOnly);
    {
        QPdfWriter writer(&bytes);
        writer.setResolution(pdf_dots_per_inch);
        writer.setPageLayout(page);
        writer.setTitle(title);
        paintSheet(html, picture, writer);
    }
    return bytes.data();
}

void writeWhole(const QString& path, const QByteArray& bytes) {
    // The dialog has asked already whether a file of that name may go.
    inventory::OutputFile file({pathOf(path), true}, "sheet");
    file.write([&bytes](std::ostream& out) { out.write(bytes.constData(), bytes.size()); });
    file.commit();
}

PrintFlow::PrintFlow(ShopSession& session, UserPrompts& prompts, AppSettings& settings, QObject* parent)
    : QObject(parent), m_session(session), m_prompts(prompts), m_settings(settings) {
    guarded(&m_run, &BackgroundRun::failed, this, &PrintFlow::failed);
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
    printer->setPageLayout(pageOf(m_settings.choices().paper));
    printer->setDocName(job.name);
    if (!m_prompts.choosePrinter(window, *printer)) {
        return;
    }
    // "Print to file" of the dialog: what the disk does not take has to be told, which a printer does not.
    if (printer->outputFormat() == QPrinter::PdfFormat && !printer->outputFileName().isEmpty()) {
        save(job, printer->pageLayout(), printer->outputFileName());
        return;
    }
    make(job, [this, printer, job](const QString& html) {
        paintSheet(html, job.picture, *printer);
        const QPrinter::PrinterState state = printer->printerState();
        if (state == QPrinter::Error || state == QPrinter::Aborted) {
            emit failed(tr("%1 has not been printed: %2 does not take it. Look whether the printer is there "
                           "and whether the disk is full, or save it as PDF.")
                            .arg(job.name, printer->printerName()));
            return;
        }
        emit done(tr("%1 has been sent to the printer.").arg(job.name));
    });
}

void PrintFlow::savePdf(const PrintJob& job, QWidget* window) {
    const QString suggestion = QDir(m_settings.lastFolder()).filePath(job.name + QStringLiteral(".pdf"));
    const QString path = m_prompts.pdfPath(window, suggestion);
    if (path.isEmpty()) {
        return;
    }
    save(job, pageOf(m_settings.choices().paper), path);
}

void PrintFlow::save(const PrintJob& job, const QPageLayout& page, const QString& path) {
    make(job, [this, page, path, job](const QString& html) {
        writeWhole(path, pdfOf(html, job.picture, page, job.name));
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
        emit done(tr("%1 is in %2.").arg(job.name, path));
    });
}

} // namespace shimledger::desk
