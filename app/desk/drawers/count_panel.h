// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/drawers/stock_lines.h"
#include "app/desk/own_data/part_seeker.h"
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
class CountPanel : public QWidget, public PartSeeker {
    Q_OBJECT

public:
    CountPanel(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    void readDrafts(); ///< of the shop that was opened
    /// The drawer and part that a number was typed for last and not booked; nothing where there is none.
    [[nodiscard]] std::optional<std::pair<QString, QString>> unbooked() const;
    enum class Pick { by_person, by_table };
    /// A part that was found in the drawer and made here stays until it is counted or a person picks another
    /// line.
    void show(const std::optional<StockLine>& line, Pick pick = Pick::by_person);

    /// A part that lies in the drawer in hand, and that the shop does not know.
    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;
    void showPlace(int place, int of, const QString& next_bin); ///< of the line among those shown; from 1
    [[nodiscard]] QLineEdit* counted() const { return m_counted; }
    [[nodiscard]] QLineEdit* laidAside() const { return m_aside; } ///< hidden where nothing is reserved
    [[nodiscard]] QLineEdit* reason() const { return m_reason; }
    [[nodiscard]] QString where() const; ///< the drawer and part that is to be counted
    [[nodiscard]] QString remark() const;

signals:
    void next(); ///< the line is counted: go on with the one below

private:
    void take();
    void keepDraft();
    [[nodiscard]] QString topic() const;
    void showLine(); ///< the one in hand
    void showTrays();
    void tell(const QString& sentence);

    ShopSession& m_session;
    AppSettings& m_settings;
    std::optional<StockLine> m_line;
    bool m_found = false; ///< it is of a part that was made here and is not booked yet
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
