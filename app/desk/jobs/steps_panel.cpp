// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/steps_panel.h"

#include "app/desk/guard.h"
#include "app/desk/jobs/step_bars_delegate.h"
#include "app/desk/jobs/step_table_model.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/job_steps.h"

#include <QHeaderView>
#include <QLabel>
#include <QTableView>
#include <QVBoxLayout>

#include <memory>
#include <utility>

namespace shimledger::desk {

StepsPanel::StepsPanel(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_steps(new StepTableModel(this)), m_table(new QTableView),
      m_sentence(new SentenceLabel), m_session(session) {
    m_table->setModel(m_steps);
    m_table->setAccessibleName(tr("What each single step does to the curve"));
    m_table->setItemDelegateForColumn(StepTableModel::picture, new StepBarsDelegate(m_table));
    dressTable(*m_table);
    stretchColumn(*m_table, StepTableModel::what, 18 * m_table->fontMetrics().averageCharWidth());
    m_table->horizontalHeader()->setSortIndicatorClearable(true);
    m_table->sortByColumn(-1, Qt::AscendingOrder);
    m_table->setSortingEnabled(true);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(6, 6, 6, 6);
    layout->setSpacing(5);
    layout->addWidget(m_sentence);
    layout->addWidget(m_table, 1);
    setFocusProxy(m_table);
    guarded(m_table->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& current) {
                if (current.isValid()) emit stepPicked(m_steps->stepAt(current.row()));
            });
    guarded(m_table, &QTableView::activated, this, [this](const QModelIndex& index) {
        const planner::SingleStep step = m_steps->stepAt(index.row()); // which the taking may replace
        emit stepTaken(step);
    });
    guarded(&m_run, &BackgroundRun::failed, this, [this](const QString& sentence) {
        m_steps->setSteps({});
        m_sentence->setText(sentence);
    });
}

StepsPanel::~StepsPanel() {
    m_run.disconnect(this);
}

void StepsPanel::follow(const std::optional<std::string>& job, double working_lift_mm) {
    if (!job) {
        m_run.cancel();
        m_steps->setSteps({});
        m_sentence->setText(tr("There is no target to step from."));
        return;
    }
    m_sentence->setText(tr("The steps are being computed."));
    m_run.start([this, job = *job, working_lift_mm,
                 path = m_session.path()](const RunControl&) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto table = std::make_shared<planner::StepTable>(
            services::jobSteps(shop, job, working_lift_mm, planner::Regime::large));
        return [this, table] {
            m_steps->setSteps(std::move(*table));
            for (int column = StepTableModel::low; column < StepTableModel::column_count; ++column)
                m_table->resizeColumnToContents(column);
            m_table->setColumnWidth(StepTableModel::picture, 9 * m_table->fontMetrics().averageCharWidth());
            m_sentence->setText(
                tr("Change of pressure by one step, at three lifts; + is stiffer. A picked step "
                   "is drawn beside the target, Return makes it the edited target."));
        };
    });
}

QString StepsPanel::sentence() const {
    return m_sentence->text();
}

} // namespace shimledger::desk
