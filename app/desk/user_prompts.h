// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/app_settings.h"

#include <QString>

#include <optional>

class QPrinter;
class QWidget;

namespace shimledger::desk {

struct JobQuestion;

/// Everything that the window asks in a dialog. Tests and the screenshot program answer from a script.
class UserPrompts {
public:
    virtual ~UserPrompts() = default;

    /// Asks in one sentence; `accept_text` is the button that goes ahead, with its mnemonic.
    [[nodiscard]] virtual bool confirm(QWidget* parent, const QString& title, const QString& sentence,
                                       const QString& accept_text) = 0;
    /// Path of an existing shop file; empty when the person thought better of it.
    [[nodiscard]] virtual QString openShopPath(QWidget* parent, const QString& folder) = 0;
    /// The address of a shop on a server that has answered; empty as above. `recent` are offered.
    [[nodiscard]] virtual QString serverAddress(QWidget* parent, const QStringList& recent) = 0;
    /// Path of a shop file to be made.
    [[nodiscard]] virtual QString newShopPath(QWidget* parent, const QString& folder) = 0;
    /// A folder, for the demo shop.
    [[nodiscard]] virtual QString demoFolder(QWidget* parent, const QString& folder) = 0;
    /// Path of a sheet to be written.
    [[nodiscard]] virtual QString sheetPath(QWidget* parent, const QString& title,
                                            const QString& suggestion) = 0;
    /// Path of a PDF file to be written.
    [[nodiscard]] virtual QString pdfPath(QWidget* parent, const QString& suggestion) = 0;
    /// Sets the printer up; false when the person thought better of it.
    [[nodiscard]] virtual bool choosePrinter(QWidget* parent, QPrinter& printer) = 0;
    /// A sheet to be imported.
    [[nodiscard]] virtual QString importPath(QWidget* parent, const QString& folder) = 0;
    /// Path of a count sheet to be written.
    [[nodiscard]] virtual QString countSheetPath(QWidget* parent, const QString& suggestion) = 0;
    /// A filled-in count sheet.
    [[nodiscard]] virtual QString filledCountSheet(QWidget* parent, const QString& folder) = 0;
    /// A folder of sheets to be imported.
    [[nodiscard]] virtual QString importFolder(QWidget* parent, const QString& folder) = 0;
    [[nodiscard]] virtual std::optional<DeskChoices> editChoices(QWidget* parent,
                                                                 const DeskChoices& choices) = 0;
    /// Asks for a job and has it booked, see JobDialog.
    virtual void askJob(QWidget* parent, const JobQuestion& question) = 0;
    /// Tells more than a strip has room for: help, key list.
    virtual void tell(QWidget* parent, const QString& title, const QString& rich_text) = 0;
};

/// The real ones.
class DialogPrompts : public UserPrompts {
public:
    bool confirm(QWidget* parent, const QString& title, const QString& sentence,
                 const QString& accept_text) override;
    QString openShopPath(QWidget* parent, const QString& folder) override;
    QString serverAddress(QWidget* parent, const QStringList& recent) override;
    QString newShopPath(QWidget* parent, const QString& folder) override;
    QString demoFolder(QWidget* parent, const QString& folder) override;
    QString sheetPath(QWidget* parent, const QString& title, const QString& suggestion) override;
    QString pdfPath(QWidget* parent, const QString& suggestion) override;
    bool choosePrinter(QWidget* parent, QPrinter& printer) override;
    QString importPath(QWidget* parent, const QString& folder) override;
    QString importFolder(QWidget* parent, const QString& folder) override;
    QString countSheetPath(QWidget* parent, const QString& suggestion) override;
    QString filledCountSheet(QWidget* parent, const QString& folder) override;
    std::optional<DeskChoices> editChoices(QWidget* parent, const DeskChoices& choices) override;
    void askJob(QWidget* parent, const JobQuestion& question) override;
    void tell(QWidget* parent, const QString& title, const QString& rich_text) override;
};

} // namespace shimledger::desk
