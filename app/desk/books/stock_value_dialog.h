// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#include "app/desk/print/print_flow.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/stock_value.h"
#endif

#include <QDialog>

#include <memory>

class QLabel;
class QLineEdit;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class MessageStrip;
class ShopSession;
class UserPrompts;

/// What the stock was worth when a day was over, by kind and by cabinet; written as a sheet, or printed.
class StockValueDialog : public QDialog {
    Q_OBJECT

public:
    StockValueDialog(ShopSession& session, UserPrompts& prompts, AppSettings& settings,
                     QWidget* parent = nullptr);

    [[nodiscard]] QLineEdit* day() const { return m_day; }
    [[nodiscard]] QTableWidget* kinds() const { return m_kinds; }
    [[nodiscard]] QTableWidget* cabinets() const { return m_cabinets; }
    [[nodiscard]] QString total() const;
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }
    [[nodiscard]] bool busy() const { return m_run.running() || m_print->busy(); }
    void write(); ///< .xlsx, or CSV
    void savePdf();
    void print();

private:
    void reckon(); ///< for the day that is typed, off the window's thread
    void show(std::shared_ptr<const services::StockValue> value);
    [[nodiscard]] PrintJob printJob() const;

    ShopSession& m_session;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    std::shared_ptr<const services::StockValue> m_value; ///< none before the first is reckoned
    BackgroundRun m_run;
    PrintFlow* m_print;
    QLineEdit* m_day;
    QLabel* m_total;
    QLabel* m_method;
    QTableWidget* m_kinds;
    QTableWidget* m_cabinets;
    QPushButton* m_write;
    QPushButton* m_print_button;
    QPushButton* m_pdf;
    MessageStrip* m_strip;
};

} // namespace shimledger::desk
