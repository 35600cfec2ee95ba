// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/user_prompts.h"

#include "app/desk/guard.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/server_dialog.h"
#include "app/desk/settings_dialog.h"

#include <QCoreApplication>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QFileIconProvider>
#include <QFileInfo>
#include <QMessageBox>
#include <QPrintDialog>
#include <QPrinter>
#include <QPushButton>
#include <QTextBrowser>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("UserPrompts", text);
}

QString shopFilter() {
    return words("Shop files (*.db);;All files (*)");
}

/// Icons and kinds by the name alone. Qt's own look into files whose names do not tell, which takes SQLite's
/// locks off the index of a shop that is open (-shm) in the middle of its work.
class NamesOnly : public QFileIconProvider {
public:
    [[nodiscard]] QIcon icon(const QFileInfo& info) const override {
        return QFileIconProvider::icon(info.isDir() ? Folder : File);
    }
    [[nodiscard]] QString type(const QFileInfo& info) const override {
        return info.isDir() ? words("folder") : info.suffix();
    }
};

/// Only Qt's own dialog asks our provider; the desktop's might look into files as well.
struct NamesDialog {
    NamesDialog(QWidget* parent, const QString& title, const QString& folder, const QString& filter)
        : dialog(parent, title, folder, filter) {
        dialog.setOption(QFileDialog::DontUseNativeDialog);
        dialog.setIconProvider(&names);
    }
    /// Empty where nothing is picked.
    [[nodiscard]] QString ask() {
        return dialog.exec() == QDialog::Accepted ? dialog.selectedFiles().value(0) : QString();
    }
    NamesOnly names; // outlives the dialog
    QFileDialog dialog;
};

/// A file that is there, or a folder where there is no filter for files.
QString openDialog(QWidget* parent, const QString& title, const QString& folder, const QString& filter) {
    NamesDialog asked(parent, title, folder, filter);
    asked.dialog.setFileMode(filter.isEmpty() ? QFileDialog::Directory : QFileDialog::ExistingFile);
    if (filter.isEmpty()) asked.dialog.setOption(QFileDialog::ShowDirsOnly);
    return asked.ask();
}

/// A dialog rather than getSaveFileName, since only it asks about overwriting after the suffix is added.
QString saveDialog(QWidget* parent, const QString& title, const QString& suggestion, const QString& filter,
                   const QString& suffix) {
    NamesDialog asked(parent, title, {}, filter);
    QFileDialog& dialog = asked.dialog;
    dialog.setAcceptMode(QFileDialog::AcceptSave);
    dialog.setDefaultSuffix(suffix);
    const QFileInfo suggested(suggestion);
    dialog.setDirectory(suggested.isDir() ? suggestion : suggested.absolutePath());
    if (!suggested.isDir()) {
        dialog.selectFile(suggested.fileName());
    }
    return asked.ask();
}

} // namespace

bool DialogPrompts::confirm(QWidget* parent, const QString& title, const QString& sentence,
                            const QString& accept_text) {
    QMessageBox box(QMessageBox::Question, title, sentence, QMessageBox::NoButton, parent);
    box.setTextFormat(Qt::PlainText);
    const QPushButton* accept = box.addButton(accept_text, QMessageBox::AcceptRole);
    box.setDefaultButton(box.addButton(QMessageBox::Cancel)); // a stray Return must not book anything
    box.exec();
    return box.clickedButton() == accept;
}

QString DialogPrompts::openShopPath(QWidget* parent, const QString& folder) {
    return openDialog(parent, words("Open a shop file"), folder, shopFilter());
}

QString DialogPrompts::serverAddress(QWidget* parent, const QStringList& recent) {
    ServerDialog dialog(recent, parent);
    return dialog.exec() == QDialog::Accepted ? dialog.address() : QString();
}

QString DialogPrompts::newShopPath(QWidget* parent, const QString& folder) {
    return saveDialog(parent, words("Where to keep the new shop file"), folder, shopFilter(),
                      QStringLiteral("db"));
}

QString DialogPrompts::demoFolder(QWidget* parent, const QString& folder) {
    return saveDialog(parent, words("A new folder for the demo shop"), folder + QStringLiteral("/demo-shop"),
                      {}, {});
}

QString DialogPrompts::sheetPath(QWidget* parent, const QString& title, const QString& suggestion) {
    return saveDialog(parent, title, suggestion, words("Spreadsheets (*.xlsx)"), QStringLiteral("xlsx"));
}

QString DialogPrompts::pdfPath(QWidget* parent, const QString& suggestion) {
    return saveDialog(parent, words("Save as PDF"), suggestion, words("PDF files (*.pdf)"),
                      QStringLiteral("pdf"));
}

bool DialogPrompts::choosePrinter(QWidget* parent, QPrinter& printer) {
    QPrintDialog dialog(&printer, parent);
    return dialog.exec() == QDialog::Accepted;
}

QString DialogPrompts::importPath(QWidget* parent, const QString& folder) {
    return openDialog(parent, words("Import a sheet"), folder,
                      words("Sheets (*.csv *.tsv *.txt *.xlsx *.ods);;All files (*)"));
}

QString DialogPrompts::importFolder(QWidget* parent, const QString& folder) {
    return openDialog(parent, words("Import a folder of sheets"), folder, {});
}

QString DialogPrompts::countSheetPath(QWidget* parent, const QString& suggestion) {
    return saveDialog(parent, words("Write a count sheet"), suggestion,
                      words("Spreadsheets (*.xlsx);;CSV files (*.csv)"), QStringLiteral("xlsx"));
}

QString DialogPrompts::filledCountSheet(QWidget* parent, const QString& folder) {
    return openDialog(parent, words("Read a filled-in count sheet"), folder,
                      words("Sheets (*.csv *.xlsx *.ods);;All files (*)"));
}

std::optional<DeskChoices> DialogPrompts::editChoices(QWidget* parent, const DeskChoices& choices) {
    SettingsDialog dialog(choices, parent);
    if (dialog.exec() != QDialog::Accepted) {
        return std::nullopt;
    }
    return dialog.choices();
}

void DialogPrompts::askJob(QWidget* parent, const JobQuestion& question) {
    JobDialog(question, parent).exec();
}

void DialogPrompts::tell(QWidget* parent, const QString& title, const QString& rich_text) {
    // What is told may be longer than a screen is high, so it scrolls.
    QDialog dialog(parent);
    dialog.setWindowTitle(title);
    auto* text = new QTextBrowser;
    text->setHtml(rich_text);
    text->setAccessibleName(title);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close);
    guarded(buttons, &QDialogButtonBox::rejected, &dialog, &QDialog::reject);
    auto* layout = new QVBoxLayout(&dialog);
    layout->addWidget(text, 1);
    layout->addWidget(buttons);
    dialog.resize(820, 560);
    dialog.exec();
}

} // namespace shimledger::desk
