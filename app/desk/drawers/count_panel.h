// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/drawers/stock_lines.h"
#endif

#include <QWidget>

#include <optional>
#include <utility>

class QLabel;
class QLineEdit;
class QPushButton;

namespace shimledger::desk {

class AppSettings;
class ScaledLabel;
class ShopSession;

/// Counting drawer by drawer: the number, Return, the next line. A difference is booked with its reason; what
/// agrees is passed over. Of a lot that is reserved from, those that lie in a job's tray are given apart.
/// What is typed belongs to the line it was typed for, and is kept until it is booked.
class CountPanel : public QWidget {
    Q_OBJECT

public:
    CountPanel(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    void readDrafts(); ///< of the shop that was opened
    /// The drawer and part that a number was typed for last and not booked; nothing where there is none.
    [[nodiscard]] std::optional<std::pair<QString, QString>> unbooked() const;
    void show(const std::optional<StockLine>& line);
    void showPlace(int place, int of, const QString& next_bin); ///< of the line among those shown; from 1
    [[nodiscard]] QLineEdit* counted() const { return m_counted; }
    [[nodiscard]] QLineEdit* laidAside() const { return m_aside; } ///< hidden where nothing is reserved
    [[nodiscard]] QLineEdit* reason() const { return m_reason; }
    [[nodiscard]] QString remark() const;

signals:
    void next(); ///< the line is counted: go on with the one below

private:
    void take();
    void keepDraft();
    [[nodiscard]] QString topic() const;
    void showTrays();
    void tell(const QString& sentence);

    ShopSession& m_session;
    AppSettings& m_settings;
    std::optional<StockLine> m_line;
    ScaledLabel* m_where;
    QLabel* m_place;
    QLineEdit* m_counted;
    QLabel* m_aside_label;
    QLineEdit* m_aside;
    QLineEdit* m_reason;
    QPushButton* m_book;
    QLabel* m_remark;
};

} // namespace shimledger::desk
