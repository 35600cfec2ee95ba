#pragma once

#include <QWidget>

#include <vector>

class QLabel;
class QLineEdit;
class QTableView;

namespace shimledger::desk {

class ShopSession;
class StockFilterModel;
class StockTableModel;
struct PrintJob;
struct SearchHit;

/// Everything in the drawers as one table, narrowed down while one types.
class DrawersPage : public QWidget {
    Q_OBJECT

public:
    explicit DrawersPage(ShopSession& session, QWidget* parent = nullptr);

    void reload(); ///< reads the shop; keeps the words typed and the place in the table
    void focusFind();
    void focusTable();
    [[nodiscard]] PrintJob printJob() const; ///< a count sheet of the lines that are shown
    [[nodiscard]] std::vector<SearchHit> searchHits();

    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QLineEdit* find() const { return m_find; }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void narrow();
    void pickLine(const QString& part, const QString& bin);

    ShopSession& m_session;
    StockTableModel* m_model;
    StockFilterModel* m_filter;
    QLineEdit* m_find;
    QLabel* m_found;
    QTableView* m_table;
};

} // namespace shimledger::desk
