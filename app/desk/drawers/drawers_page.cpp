#include "app/desk/drawers/drawers_page.h"

#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QScrollArea>
#include <QScrollBar>
#include <QSplitter>
#include <QTabWidget>
#include <QTableView>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

DrawersPage::DrawersPage(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_model(new StockTableModel(this)),
      m_filter(new StockFilterModel(this)), m_find(new QLineEdit), m_shown(new QComboBox),
      m_cabinet(new QComboBox), m_found(new QLabel), m_table(new QTableView), m_sides(new QTabWidget),
      m_boxes_area(new QScrollArea), m_boxes(new CabinetView), m_measure(new MeasurePanel(session)),
      m_count(new CountPanel(session)), m_history(new HistoryPanel(session)), m_strip(new MessageStrip) {
    m_filter->setSourceModel(m_model);
    m_find->setPlaceholderText(tr("Size, bin, part or word, in any order: 24 0.10, oil seal, low"));
    m_find->setClearButtonEnabled(true);
    m_find->setAccessibleName(tr("Find in the drawers"));
    m_find->installEventFilter(this);
    m_shown->setAccessibleName(tr("Which lines are shown"));
    m_shown->addItems({tr("Everything"), tr("Low"), tr("None left"), tr("Reserved")});
    m_cabinet->setAccessibleName(tr("Cabinet"));
    m_table->setModel(m_filter);
    m_table->setAccessibleName(tr("Stock"));
    dressTable(*m_table);
    // How many there are is read before what the part is called.
    QHeaderView& header = *m_table->horizontalHeader();
    for (const int column : {StockTableModel::measured, StockTableModel::part}) {
        header.moveSection(header.visualIndex(column), StockTableModel::column_count - 1);
    }
    m_table->setSortingEnabled(true);
    m_table->sortByColumn(StockTableModel::bin, Qt::AscendingOrder);
    layOut();
    connectPanels();
    setFocusProxy(m_find);
}

void DrawersPage::layOut() {
    auto* caption = new QLabel(tr("F&ind"));
    caption->setBuddy(m_find);
    auto* top = new QHBoxLayout;
    top->addWidget(caption);
    top->addWidget(m_find, 1);
    top->addWidget(m_shown);
    top->addWidget(m_cabinet);
    top->addWidget(m_found);
    m_boxes_area->setWidget(m_boxes);
    m_boxes_area->setWidgetResizable(true);
    m_boxes_area->setFocusPolicy(Qt::NoFocus);
    m_boxes_area->setFocusProxy(m_boxes);
    m_sides->addTab(m_boxes_area, tr("Cabinet"));
    m_sides->addTab(m_measure, tr("Measured"));
    m_sides->addTab(m_count, tr("Count"));
    m_sides->addTab(m_history, tr("History"));
    m_sides->setAccessibleName(tr("Beside the table"));
    auto* columns = new QSplitter(Qt::Horizontal);
    columns->setChildrenCollapsible(false);
    columns->addWidget(m_table);
    columns->addWidget(m_sides);
    columns->setStretchFactor(0, 3);
    columns->setStretchFactor(1, 2);
    columns->setSizes({790, 470});
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(top);
    layout->addWidget(m_strip);
    layout->addWidget(columns, 1);
}

void DrawersPage::connectPanels() {
    connect(m_find, &QLineEdit::textChanged, this, &DrawersPage::narrow);
    connect(m_shown, &QComboBox::currentIndexChanged, this, [this](int index) {
        m_filter->setShown(static_cast<StockFilterModel::Shown>(index));
        narrow();
    });
    connect(m_cabinet, &QComboBox::currentIndexChanged, this, [this] {
        m_filter->setCabinet(m_cabinet->currentData().toString());
        narrow();
        fillBoxes();
    });
    connect(m_table->selectionModel(), &QItemSelectionModel::currentRowChanged, this,
            &DrawersPage::linePicked);
    connect(m_boxes, &CabinetView::opened, this, [this](const QString& bin) { pickLine({}, bin); });
    connect(m_measure, &MeasurePanel::partPicked, this,
            [this](const QString& part) { m_find->setText(part); });
    const auto done = [this](const QString& sentence) {
        m_strip->showMessage(MessageStrip::Kind::done, sentence);
    };
    connect(m_measure, &MeasurePanel::done, this, done);
    connect(m_history, &HistoryPanel::done, this, done);
    connect(m_history, &HistoryPanel::failed, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::problem, sentence); });
    connect(m_count, &CountPanel::next, this, [this] {
        const int row = m_table->currentIndex().row() + 1;
        if (row < m_filter->rowCount()) {
            m_table->selectRow(row);
        }
    });
}

void DrawersPage::reload() {
    const int place = m_table->verticalScrollBar()->value();
    const int current = m_table->currentIndex().row();
    const bool first = m_model->rowCount() == 0;
    m_model->setLines(readStockLines(m_session.shop()));
    if (first) {
        m_table->resizeColumnsToContents();
    }
    fillCabinets();
    narrow();
    fillBoxes();
    if (current >= 0 && current < m_filter->rowCount()) {
        m_table->selectRow(current);
    }
    m_table->verticalScrollBar()->setValue(place);
}

void DrawersPage::fillCabinets() {
    QStringList names;
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const QString& name = m_model->line(row).cabinet;
        if (!name.isEmpty() && !names.contains(name)) {
            names << name;
        }
    }
    QStringList shown;
    for (int i = 1; i < m_cabinet->count(); ++i) {
        shown << m_cabinet->itemData(i).toString();
    }
    if (m_cabinet->count() > 0 && names == shown) {
        return;
    }
    const QString before = m_cabinet->currentData().toString();
    const QSignalBlocker quiet(m_cabinet);
    m_cabinet->clear();
    m_cabinet->addItem(tr("All cabinets"), QString());
    for (const QString& name : names) {
        m_cabinet->addItem(tr("Cabinet %1").arg(name), name);
    }
    m_cabinet->setCurrentIndex(std::max(0, m_cabinet->findData(before)));
}

/// A drawer that holds several lots is drawn once.
void DrawersPage::fillBoxes() {
    std::vector<DrawerBox> boxes;
    const QString cabinet = m_cabinet->currentData().toString();
    qint64 in_drawer = 0;
    int lots = 0;
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const StockLine& line = m_model->line(row);
        if (line.out() || (!cabinet.isEmpty() && line.cabinet != cabinet)) {
            continue;
        }
        const QString bin = textOf(line.lot.bin);
        if (boxes.empty() || boxes.back().bin != bin) {
            const QString what = line.size.isEmpty() ? textOf(line.lot.description) : line.size;
            boxes.push_back({bin, what, {}, markOf(line)});
            in_drawer = line.lot.on_hand;
            lots = 1;
        } else {
            in_drawer += line.lot.on_hand;
            boxes.back().contents = tr("%1 lots").arg(++lots);
            boxes.back().mark = std::max(boxes.back().mark, markOf(line));
        }
        boxes.back().amount = line.lot.reserved > 0
                                  ? tr("%1 (%2 reserved)").arg(in_drawer).arg(line.lot.reserved)
                                  : QString::number(in_drawer);
        if (line.low()) {
            boxes.back().amount += tr(", low");
        }
    }
    m_boxes->setBoxes(std::move(boxes));
}

void DrawersPage::narrow() {
    m_filter->setWords(m_find->text());
    m_found->setText(tr("%1 of %2 lines").arg(m_filter->rowCount()).arg(m_model->rowCount()));
}

void DrawersPage::linePicked() {
    const QModelIndex current = m_filter->mapToSource(m_table->currentIndex());
    if (!current.isValid()) {
        m_count->show(std::nullopt);
        return;
    }
    const StockLine& line = m_model->line(current.row());
    m_count->show(line);
    m_history->show(line.lot.part, line.lot.bin);
    m_boxes->setCurrent(textOf(line.lot.bin));
}

/// The first line of that drawer, and of that part where one is named. Words that hide it are taken away.
void DrawersPage::pickLine(const QString& part, const QString& bin) {
    const auto find = [&] {
        for (int row = 0; row < m_filter->rowCount(); ++row) {
            const bool of_part =
                part.isEmpty() || m_filter->index(row, StockTableModel::part).data().toString() == part;
            if (of_part && m_filter->index(row, StockTableModel::bin).data().toString() == bin) {
                m_table->selectRow(row);
                return true;
            }
        }
        return false;
    };
    if (!find()) {
        m_find->clear();
        m_shown->setCurrentIndex(0);
        (void)find();
    }
}

void DrawersPage::focusFind() {
    m_find->setFocus(Qt::ShortcutFocusReason);
    m_find->selectAll();
}

void DrawersPage::focusTable() {
    m_table->setFocus(Qt::ShortcutFocusReason);
}

void DrawersPage::goTo(QWidget* side) {
    m_sides->setCurrentWidget(side);
    side->setFocus(Qt::ShortcutFocusReason);
    if (side == m_history) {
        m_history->table()->setFocus(Qt::ShortcutFocusReason);
    }
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
