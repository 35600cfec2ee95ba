// How the jobs page is laid out; what it does is in jobs_page.cpp.

#include "app/desk/desk_actions.h"
#include "app/desk/jobs/job_delegate.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/message_strip.h"
#include "app/desk/table_manners.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QListView>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QSplitter>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

JobsPage::JobsPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts, QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions),
      m_flow(std::make_unique<JobFlow>(session, prompts)), m_jobs(new JobTableModel(this)),
      m_stack(new StackTableModel(this)), m_proposals(new ProposalTableModel(this)),
      m_job_list(new QListView), m_stack_table(new QTableView), m_proposal_table(new QTableView),
      m_heading(new QLabel), m_situation(new QLabel), m_found(new QLabel), m_pulls(new QLabel),
      m_progress(new QProgressBar), m_cautions(new QPlainTextEdit), m_strip(new MessageStrip),
      m_bench(new BenchPanel) {
    auto* columns = new QSplitter(Qt::Horizontal);
    columns->setChildrenCollapsible(false);
    columns->addWidget(makeJobColumn());
    columns->addWidget(makeStackColumn(actions));
    columns->addWidget(m_bench);
    columns->setStretchFactor(0, 2);
    columns->setStretchFactor(1, 5);
    columns->setStretchFactor(2, 6);
    columns->setSizes({275, 530, 475});
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(columns);
    connectActions(actions);
    connectTables();
    enableActions();
}

QWidget* JobsPage::makeJobColumn() {
    auto* column = new QWidget;
    auto* title = new QLabel(tr("Jobs, the more urgent first"));
    title->setBuddy(m_job_list);
    m_job_list->setModel(m_jobs);
    m_job_list->setModelColumn(JobTableModel::code);
    m_job_list->setItemDelegate(new JobDelegate(m_job_list));
    m_job_list->setUniformItemSizes(true);
    m_job_list->setAlternatingRowColors(true);
    m_job_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_job_list->setMinimumWidth(230);
    m_job_list->setAccessibleName(tr("Jobs"));
    auto* layout = new QVBoxLayout(column);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(title);
    layout->addWidget(m_job_list, 1);
    return column;
}

QWidget* JobsPage::makeStackColumn(const DeskActions& actions) {
    QFont large = m_heading->font();
    large.setPointSizeF(large.pointSizeF() * 1.2);
    large.setBold(true);
    m_heading->setFont(large);
    for (QLabel* label : {m_heading, m_situation, m_found, m_pulls}) {
        label->setWordWrap(true);
        label->setTextFormat(Qt::PlainText);
        label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    }
    m_stack_table->setModel(m_stack);
    m_stack_table->setAccessibleName(tr("Target stack, from the piston face to the clamp"));
    m_proposal_table->setModel(m_proposals);
    m_proposal_table->setAccessibleName(tr("Proposals, closest first"));
    for (QTableView* table : {m_stack_table, m_proposal_table}) {
        dressTable(*table);
    }
    m_progress->setRange(0, 0);
    m_progress->setTextVisible(false);
    m_progress->setMaximumHeight(8);
    m_progress->setAccessibleName(tr("The search is under way"));
    m_progress->hide();
    m_cautions->setReadOnly(true);
    m_cautions->setTabChangesFocus(true);
    m_cautions->setMinimumHeight(60);
    m_cautions->setMaximumHeight(170);
    m_cautions->setAccessibleName(tr("Cautions for the build"));

    auto* stack_title = new QLabel(tr("Target stack, from the piston face to the clamp"));
    stack_title->setBuddy(m_stack_table);
    auto* cautions_title = new QLabel(tr("Before you build"));
    cautions_title->setBuddy(m_cautions);
    auto* search_row = new QHBoxLayout;
    search_row->addWidget(actions.button(ActionId::find_substitutes));
    search_row->addWidget(actions.button(ActionId::stop_search));
    search_row->addWidget(m_progress, 1);
    search_row->addStretch();
    auto* booking_row = new QHBoxLayout;
    for (const ActionId id : {ActionId::reserve_proposal, ActionId::release_reservation,
                              ActionId::export_pick_list, ActionId::export_reorder}) {
        booking_row->addWidget(actions.button(id));
    }
    booking_row->addStretch();

    auto* column = new QWidget;
    auto* layout = new QVBoxLayout(column);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(5);
    layout->addWidget(m_heading);
    layout->addWidget(m_situation);
    layout->addWidget(m_strip);
    layout->addWidget(stack_title);
    layout->addWidget(m_stack_table);
    layout->addLayout(search_row);
    layout->addWidget(m_found);
    layout->addWidget(m_proposal_table);
    layout->addWidget(m_pulls);
    layout->addLayout(booking_row);
    layout->addWidget(cautions_title);
    layout->addWidget(m_cautions, 1000);
    layout->addStretch(1); // room that is left over on a large screen
    return column;
}

} // namespace shimledger::desk
