// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/sheet_import/sheet_import.h"
#endif

#include <QDialog>
#include <QMap>

#include <memory>
#include <optional>

class QCheckBox;
class QComboBox;
class QDialogButtonBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class MessageStrip;
class ShopSession;

/// Shows how a sheet was understood, column by column, and what each of its lines would do, before anything
/// is kept. What was understood wrongly is put right here: what a column is, inches or mm, point or comma, in
/// which drawer all lie. What was said of a sheet with these headings is remembered, and offered the next
/// time.
class ImportDialog : public QDialog {
    Q_OBJECT

public:
    /// `path`: a .csv, .xlsx or .ods file, or a folder of them.
    ImportDialog(ShopSession& session, AppSettings& settings, const QString& path, QWidget* parent = nullptr);
    ~ImportDialog() override;

    [[nodiscard]] bool busy() const { return m_run.running(); }
    [[nodiscard]] QTableWidget* columns() const {
        return m_columns;
    } ///< heading, first cells, what it is read as
    [[nodiscard]] QComboBox* columnBox(int row) const;
    [[nodiscard]] QTableWidget* lines() const { return m_lines; } ///< line, what it would do or what is wrong
    [[nodiscard]] QPushButton* importButton() const { return m_import; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

public slots:
    void reject() override; ///< not while the sheet is being imported: what became of it is to be told

signals:
    void imported(const QString& sentence);

private:
    /// What a look into the file found.
    struct Look {
        std::vector<std::string> sheets; ///< names, where it is a workbook of several
        services::RawSheet first;        ///< the sheet that is shown
        std::optional<services::SheetLayout> layout;
        services::SheetImport import;
        std::string question; ///< what is not clear, or the reason why it cannot be read; empty: nothing
    };

    void layOut();
    void look();
    void show(const Look& look);
    void showColumns(const Look& look);
    void showLines(const Look& look);
    void keep();
    [[nodiscard]] services::SheetAnswers answers() const;
    [[nodiscard]] static QString signatureOf(const services::RawSheet& sheet,
                                             const std::optional<services::SheetLayout>& layout);
    void remember() const;

    ShopSession& m_session;
    AppSettings& m_settings;
    QString m_path;
    QString m_signature;       ///< of the headings shown
    QMap<int, QString> m_said; ///< by place of the column: the field that a person named
    bool m_recalled = false;   ///< what was said before of such a sheet has been looked up
    MessageStrip* m_strip;
    QComboBox* m_sheet;
    QLabel* m_sheet_caption;
    QTableWidget* m_columns;
    QTableWidget* m_lines;
    QComboBox* m_decimal;
    QComboBox* m_unit;
    QLineEdit* m_bin;
    QLineEdit* m_bore;
    QLineEdit* m_supplier;
    QCheckBox* m_as_written;
    QLabel* m_summary;
    QDialogButtonBox* m_buttons;
    QPushButton* m_import;
    bool m_keeping = false; ///< the sheet is being imported, not only looked at
    BackgroundRun m_run;
};

/// "12 parts, 5 bins, 60 opening stock lines"
[[nodiscard]] QString contentsOf(const services::SheetImport& import);

} // namespace shimledger::desk
