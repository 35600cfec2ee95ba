#include "app/desk/drawers/drawers_page.h"

#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QScrollBar>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

DrawersPage::DrawersPage(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_model(new StockTableModel(this)),
      m_filter(new StockFilterModel(this)), m_find(new QLineEdit), m_found(new QLabel),
      m_table(new QTableView) {
    m_filter->setSourceModel(m_model);
    auto* caption = new QLabel(tr("F&ind"));
    caption->setBuddy(m_find);
    m_find->setPlaceholderText(tr("Size, bin, part or word, in any order: 24 0.10, oil seal, low"));
    m_find->setClearButtonEnabled(true);
    m_find->setAccessibleName(tr("Find in the drawers"));
    m_find->installEventFilter(this);
    m_table->setModel(m_filter);
    m_table->setAccessibleName(tr("Stock"));
    dressTable(*m_table);
    m_table->setSortingEnabled(true);
    m_table->sortByColumn(StockTableModel::bin, Qt::AscendingOrder);

    auto* top = new QHBoxLayout;
    top->addWidget(caption);
    top->addWidget(m_find, 1);
    top->addWidget(m_found);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(top);
    layout->addWidget(m_table, 1);
    setFocusProxy(m_find);

    connect(m_find, &QLineEdit::textChanged, this, &DrawersPage::narrow);
}

void DrawersPage::reload() {
    const int place = m_table->verticalScrollBar()->value();
    const int current = m_table->currentIndex().row();
    const bool first = m_model->rowCount() == 0;
    m_model->setLines(readStockLines(m_session.shop()));
    if (first) {
        m_table->resizeColumnsToContents();
        m_table->setColumnWidth(StockTableModel::size,
                                std::max(m_table->columnWidth(StockTableModel::size), 180));
    }
    narrow();
    if (current >= 0 && current < m_filter->rowCount()) {
        m_table->selectRow(current);
    }
    m_table->verticalScrollBar()->setValue(place);
}

void DrawersPage::narrow() {
    m_filter->setWords(m_find->text());
    m_found->setText(tr("%1 of %2 lines").arg(m_filter->rowCount()).arg(m_model->rowCount()));
}

void DrawersPage::pickLine(const QString& part, const QString& bin) {
    for (int row = 0; row < m_filter->rowCount(); ++row) {
        if (m_filter->index(row, StockTableModel::part).data().toString() == part &&
            m_filter->index(row, StockTableModel::bin).data().toString() == bin) {
            m_table->selectRow(row);
            return;
        }
    }
}

void DrawersPage::focusFind() {
    m_find->setFocus(Qt::ShortcutFocusReason);
    m_find->selectAll();
}

void DrawersPage::focusTable() {
    m_table->setFocus(Qt::ShortcutFocusReason);
}

/// Down and Return go from the words to the lines that they found.
bool DrawersPage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == m_find && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        const bool enter = key == Qt::Key_Down || key == Qt::Key_Return || key == Qt::Key_Enter;
        if (enter && m_filter->rowCount() > 0) {
            focusTable();
            if (!m_table->currentIndex().isValid()) {
                m_table->selectRow(0);
            }
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

} // namespace shimledger::desk
