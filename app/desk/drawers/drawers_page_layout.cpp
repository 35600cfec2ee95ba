// SPDX-License-Identifier: GPL-3.0-or-later
// How the drawers page is laid out and wired up; what it does is in drawers_page.cpp.
#include "app/desk/desk_actions.h"
#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/row_menu.h"
#include "app/desk/table_manners.h"

#include <QAction>
#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

DrawersPage::DrawersPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                         AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_settings(settings), m_model(new StockTableModel(this)),
      m_filter(new StockFilterModel(this)), m_find(new QLineEdit), m_shown(new QComboBox),
      m_cabinet(new QComboBox), m_found(new QLabel), m_table(new QTableView), m_sides(new QTabWidget),
      m_boxes_area(new QScrollArea), m_boxes(new CabinetView), m_measure(new MeasurePanel(session, settings)),
      m_pieces(new PiecesPanel(session, settings)), m_count(new CountPanel(session, settings)),
      m_count_sheet(new CountSheetPanel(session, actions, prompts, settings)), m_counting(new QWidget),
      m_history(new HistoryPanel(session)), m_strip(new MessageStrip) {
    m_filter->setSourceModel(m_model);
    m_find->setPlaceholderText(tr("Size, bin, part or word, in any order: 24 0.10, oil seal, low (Ctrl+F)"));
    m_find->setClearButtonEnabled(true);
    m_find->setAccessibleName(tr("Find in the drawers"));
    m_find->installEventFilter(this);
    m_shown->setAccessibleName(tr("Which lines are shown"));
    m_shown->addItems({tr("Everything"), tr("Low"), tr("None left"), tr("Reserved"), tr("Short for a job")});
    m_cabinet->setAccessibleName(tr("Cabinet"));
    m_table->setModel(m_filter);
    m_table->setAccessibleName(tr("Stock"));
    dressTable(*m_table);
    giveRowMenu(*m_table,
                {actions[ActionId::go_history], actions[ActionId::take_readings], actions[ActionId::go_count],
                 actions[ActionId::go_pieces], nullptr, actions[ActionId::print_labels],
                 actions[ActionId::labels_pdf], nullptr, actions[ActionId::own_data]});
    guarded(m_table, &QTableView::doubleClicked, actions[ActionId::go_history], &QAction::trigger);
    // What there is of it stands beside the size, where it is seen at any width of the window.
    QHeaderView& header = *m_table->horizontalHeader();
    int place = 0;
    for (const int column :
         {StockTableModel::bin, StockTableModel::size, StockTableModel::on_hand, StockTableModel::available,
          StockTableModel::state, StockTableModel::condition, StockTableModel::kind,
          StockTableModel::reserved, StockTableModel::measured, StockTableModel::part}) {
        header.moveSection(header.visualIndex(column), place++);
    }
    m_table->setSortingEnabled(true);
    m_table->sortByColumn(StockTableModel::bin, Qt::AscendingOrder);
    layOut();
    for (QWidget* side : std::initializer_list<QWidget*>{m_measure, m_pieces, m_count}) {
        QPushButton* make = actions.button(ActionId::new_part);
        side->layout()->addWidget(make);
        if (side == m_count) setTabOrder(m_count->reason(), make); // the count sheet comes after it
    }
    connectPanels();
    setFocusProxy(m_find);
}

void DrawersPage::layOut() {
    auto* caption = new QLabel(tr("F&ind"));
    caption->setBuddy(m_find);
    auto* top = new QHBoxLayout;
    top->addWidget(caption);
    top->addWidget(m_find, 1);
    auto* show = new QLabel(tr("Sh&ow"));
    show->setBuddy(m_shown);
    top->addWidget(show);
    top->addWidget(m_shown);
    top->addWidget(m_cabinet);
    top->addWidget(m_found);
    m_boxes_area->setWidget(m_boxes);
    m_boxes_area->setWidgetResizable(true);
    m_boxes_area->setFocusPolicy(Qt::NoFocus);
    m_boxes_area->setFocusProxy(m_boxes);
    m_sides->addTab(m_boxes_area, tr("Cabinet"));
    m_sides->addTab(m_measure, tr("Measured"));
    m_sides->addTab(m_pieces, tr("Pieces"));
    auto* counting = new QVBoxLayout(m_counting);
    counting->addWidget(m_count);
    counting->addWidget(m_count_sheet, 1);
    m_counting->setFocusProxy(m_count);
    m_sides->addTab(m_counting, tr("Count"));
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
    layout->addWidget(columns, 1);
    m_strip->keepPlace();
    layout->addWidget(m_strip);
}

void DrawersPage::connectPanels() {
    guarded(m_find, &QLineEdit::textChanged, this, &DrawersPage::narrow);
    guarded(m_shown, &QComboBox::currentIndexChanged, this, [this](int index) {
        m_filter->setShown(static_cast<StockFilterModel::Shown>(index));
        narrow();
    });
    guarded(m_cabinet, &QComboBox::currentIndexChanged, this, [this] {
        m_filter->setCabinet(m_cabinet->currentData().toString());
        narrow();
    });
    guarded(m_table->selectionModel(), &QItemSelectionModel::currentRowChanged, this,
            &DrawersPage::linePicked);
    guarded(m_sides, &QTabWidget::currentChanged, this, &DrawersPage::hideBooks);
    guarded(&m_read_levels, &BackgroundRun::finished, this, [this] {
        if (m_levels_stale) {
            readLevels();
        }
    });
    guarded(&m_read_levels, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    guarded(m_boxes, &CabinetView::opened, this, [this](const QString& bin) { pickLine({}, bin); });
    guarded(m_measure, &MeasurePanel::partPicked, this,
            [this](const QString& part, const QString& bin) { pickLine(part, bin); });
    guarded(m_measure, &MeasurePanel::done, m_strip, &MessageStrip::showDone);
    guarded(m_pieces, &PiecesPanel::done, m_strip, &MessageStrip::showDone);
    guarded(m_history, &HistoryPanel::done, m_strip, &MessageStrip::showDone);
    guarded(&m_read, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    guarded(m_count_sheet, &CountSheetPanel::done, m_strip, &MessageStrip::showDone);
    guarded(m_history, &HistoryPanel::failed, m_strip, &MessageStrip::showProblem);
    guarded(m_count, &CountPanel::next, this, [this] {
        const int row = m_table->currentIndex().row() + 1;
        if (row < m_filter->rowCount()) {
            m_table->selectRow(row);
        }
    });
}

} // namespace shimledger::desk
