#include "app/desk/user_prompts.h"

#include "app/desk/guard.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/settings_dialog.h"

#include <QCoreApplication>
#include <QDialogButtonBox>
#include <QFileDialog>
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

/// A dialog rather than getSaveFileName, since only it asks about overwriting after the suffix is added.
QString saveDialog(QWidget* parent, const QString& title, const QString& suggestion, const QString& filter,
                   const QString& suffix) {
    QFileDialog dialog(parent, title, {}, filter);
    dialog.setAcceptMode(QFileDialog::AcceptSave);
    dialog.setDefaultSuffix(suffix);
    const QFileInfo suggested(suggestion);
    dialog.setDirectory(suggested.isDir() ? suggestion : suggested.absolutePath());
    if (!suggested.isDir()) {
        dialog.selectFile(suggested.fileName());
    }
    return dialog.exec() == QDialog::Accepted ? dialog.selectedFiles().value(0) : QString();
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
    return QFileDialog::getOpenFileName(parent, words("Open a shop file"), folder, shopFilter());
}

QString DialogPrompts::newShopPath(QWidget* parent, const QString& folder) {
    return saveDialog(parent, words("Where to keep the new shop file"), folder, shopFilter(),
                      QStringLiteral("db"));
}

QString DialogPrompts::demoFolder(QWidget* parent, const QString& folder) {
    return QFileDialog::getExistingDirectory(parent, words("An empty folder for the demo shop"), folder);
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
    return QFileDialog::getOpenFileName(parent, words("Import a sheet"), folder,
                                        words("Sheets (*.csv *.tsv *.txt *.xlsx *.ods);;All files (*)"));
}

QString DialogPrompts::importFolder(QWidget* parent, const QString& folder) {
    return QFileDialog::getExistingDirectory(parent, words("Import a folder of sheets"), folder);
}

QString DialogPrompts::countSheetPath(QWidget* parent, const QString& suggestion) {
    return saveDialog(parent, words("Write a count sheet"), suggestion,
                      words("Spreadsheets (*.xlsx);;CSV files (*.csv)"), QStringLiteral("xlsx"));
}

QString DialogPrompts::filledCountSheet(QWidget* parent, const QString& folder) {
    return QFileDialog::getOpenFileName(parent, words("Read a filled-in count sheet"), folder,
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
