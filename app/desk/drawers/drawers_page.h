#pragma once

#include <QWidget>

#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QScrollArea;
class QTableView;
class QTabWidget;

namespace shimledger::desk {

class CabinetView;
class CountPanel;
class HistoryPanel;
class MeasurePanel;
class MessageStrip;
class ShopSession;
class StockFilterModel;
class StockTableModel;
struct PrintJob;
struct SearchHit;

/// Everything in the drawers as one table, narrowed down while one types; beside it the cabinet as it stands
/// in the shop, finding by measuring and putting away, counting, and the history of what is picked.
class DrawersPage : public QWidget {
    Q_OBJECT

public:
    explicit DrawersPage(ShopSession& session, QWidget* parent = nullptr);

    void reload(); ///< reads the shop; keeps the words typed and the place in the table
    void focusFind();
    void focusTable();
    void goTo(QWidget* side);                ///< one of the panels beside the table
    [[nodiscard]] PrintJob printJob() const; ///< a count sheet of the lines that are shown
    [[nodiscard]] std::vector<SearchHit> searchHits();

    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QLineEdit* find() const { return m_find; }
    [[nodiscard]] QComboBox* shownBox() const { return m_shown; }
    [[nodiscard]] QComboBox* cabinetBox() const { return m_cabinet; }
    [[nodiscard]] CabinetView& cabinet() const { return *m_boxes; }
    [[nodiscard]] MeasurePanel& measure() const { return *m_measure; }
    [[nodiscard]] CountPanel& count() const { return *m_count; }
    [[nodiscard]] HistoryPanel& history() const { return *m_history; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void layOut();
    void connectPanels();
    void narrow();
    void fillCabinets();
    void fillBoxes();
    void linePicked();
    void pickLine(const QString& part, const QString& bin);

    ShopSession& m_session;
    StockTableModel* m_model;
    StockFilterModel* m_filter;
    QLineEdit* m_find;
    QComboBox* m_shown;
    QComboBox* m_cabinet;
    QLabel* m_found;
    QTableView* m_table;
    QTabWidget* m_sides;
    QScrollArea* m_boxes_area;
    CabinetView* m_boxes;
    MeasurePanel* m_measure;
    CountPanel* m_count;
    HistoryPanel* m_history;
    MessageStrip* m_strip;
};

} // namespace shimledger::desk
