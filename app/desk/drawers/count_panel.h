#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/drawers/stock_table_model.h"
#endif

#include <QWidget>

#include <optional>

class QLabel;
class QLineEdit;

namespace shimledger::desk {

class ScaledLabel;
class ShopSession;

/// Counting drawer by drawer: the number, Return, the next line. A difference is booked with its reason; what
/// agrees is passed over.
class CountPanel : public QWidget {
    Q_OBJECT

public:
    explicit CountPanel(ShopSession& session, QWidget* parent = nullptr);

    void show(const std::optional<StockLine>& line);
    [[nodiscard]] QLineEdit* counted() const { return m_counted; }
    [[nodiscard]] QLineEdit* reason() const { return m_reason; }
    [[nodiscard]] QString remark() const;

signals:
    void next(); ///< the line is counted: go on with the one below

private:
    void take();
    void tell(const QString& sentence);

    ShopSession& m_session;
    std::optional<StockLine> m_line;
    ScaledLabel* m_where;
    QLineEdit* m_counted;
    QLineEdit* m_reason;
    QLabel* m_remark;
};

} // namespace shimledger::desk
