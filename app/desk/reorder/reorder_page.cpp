// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/reorder_page.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/reorder/course_view.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/page_one_view.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/reorder/reorder_draft.h"
#include "app/desk/row_menu.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/user_prompts.h"
#include "app/services/place_order.h"
#include "app/services/reorder_sheet_reader.h"
#include "app/services/reorder_words.h"
#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <QAbstractItemDelegate>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QItemSelectionModel>
#include <QLabel>
#include <QLineEdit>
#include <QMenu>
#include <QPushButton>
#include <QSplitter>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>
#include <cstdlib>
#include <utility>

namespace shimledger::desk {

namespace {

const QString plan_topic = QStringLiteral("reorder/packs");
const QString came_topic = QStringLiteral("reorder/came");

} // namespace

ReorderPage::ReorderPage(ShopSession& session, DeskActions& actions, UserPrompts& prompts,
                         AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_prompts(prompts), m_settings(settings),
      m_plan(new PlanTableModel(this)), m_expected(new ExpectedTableModel(this)),
      m_plan_table(new QTableView), m_expected_table(new QTableView), m_chart(new CourseView),
      m_page_one(new PageOneView), m_reason(new SentenceLabel), m_figures(new QPushButton(tr("Fig&ures"))),
      m_on_order(new QLabel), m_mark(actions.button(ActionId::mark_ordered)), m_add(new QLineEdit),
      m_strip(new MessageStrip) {
    layOut(actions);
    setFocusProxy(m_plan_table);
    actions.histories().addStack(&m_plan->history());
    guarded(m_plan, &PlanTableModel::totalsChanged, this, &ReorderPage::showTotals);
    guarded(m_plan, &PlanTableModel::totalsChanged, this, &ReorderPage::showCourse);
    guarded(m_page_one, &PageOneView::jobPicked, this, &ReorderPage::jobAsked);
    guarded(m_page_one, &PageOneView::supplierPicked, this, &ReorderPage::pickSupplier);
    guarded(m_plan_table, &QTableView::doubleClicked, this, [this](const QModelIndex& row) {
        if (m_plan->isHeading(row.row()) || row.column() == PlanTableModel::packs) return; // is typed over
        emit partAsked(textOf(m_plan->line(row.row()).part));
    });
    guarded(m_plan, &PlanTableModel::totalsChanged, this, &ReorderPage::keepDrafts);
    guarded(m_expected, &ExpectedTableModel::dataChanged, this, &ReorderPage::keepDrafts);
    guarded(m_plan_table->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this] {
        showCourse();
        showReason();
        enableActions();
    });
    guarded(m_plan, &QAbstractItemModel::modelReset, this, &ReorderPage::dressPlan);
    guarded(m_expected_table->selectionModel(), &QItemSelectionModel::currentRowChanged, this,
            &ReorderPage::enableActions);
    guarded(m_add, &QLineEdit::returnPressed, this, &ReorderPage::addPart);
    for (const QTableView* table : {m_plan_table, m_expected_table}) { // the field goes after it has told so
        guarded(table->itemDelegate(), &QAbstractItemDelegate::closeEditor, this, &ReorderPage::startPlan,
                Qt::QueuedConnection);
    }
    guarded(actions[ActionId::plan_reorder], &QAction::triggered, this, &ReorderPage::planAnew);
    guarded(actions[ActionId::read_reorder], &QAction::triggered, this, &ReorderPage::readSheet);
    guarded(actions[ActionId::mark_ordered], &QAction::triggered, this, &ReorderPage::markOrdered);
    guarded(actions[ActionId::receive_delivery], &QAction::triggered, this, &ReorderPage::receive);
    guarded(actions[ActionId::all_came], &QAction::triggered, this, &ReorderPage::allCame);
    QAction* stopping = actions[ActionId::stop_search]; // Esc, as for a search of the jobs page
    guarded(stopping, &QAction::triggered, this, &ReorderPage::stop);
    guarded(&m_run, &BackgroundRun::started, this, [this, stopping] {
        if (!m_stop_was_on) m_stop_was_on = stopping->isEnabled();
        stopping->setEnabled(true);
    });
    guarded(&m_run, &BackgroundRun::finished, this,
            [this, stopping] { stopping->setEnabled(std::exchange(m_stop_was_on, {}).value_or(false)); });
    guarded(&m_run, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    guarded(&m_course_run, &BackgroundRun::failed, m_strip, &MessageStrip::showProblem);
    enableActions();
}

void ReorderPage::setActive(bool active) {
    m_plan->history().setActive(active);
}

void ReorderPage::reload() {
    m_stale = true;
    if (isVisible()) {
        startPlan();
    }
}

void ReorderPage::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    guard(this, [this] { startPlan(); });
}

void ReorderPage::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    m_page_one->shareRoom(height());
}

void ReorderPage::keepDrafts() {
    if (m_forgetting || !m_session.isOpen()) return;
    m_settings.drafts().keep(plan_topic, m_plan->edited() ? planDraft(m_plan->plan()) : QString());
    if (m_restored) m_settings.drafts().keep(came_topic, m_expected->draft());
}

void ReorderPage::planAnew() {
    m_strip->clear();
    m_settings.drafts().keep(plan_topic, {});
    m_planned = false;
    m_plan->setPlan({});
    m_stale = true;
    startPlan();
}

void ReorderPage::stop() {
    if (!m_run.running()) return;
    m_run.cancel();
    m_stale = true;
    m_strip->showMessage(MessageStrip::Kind::note, tr("The planning was stopped. Plan again when it suits."));
}

/// A cell is being typed into: no table is filled anew beneath it.
bool ReorderPage::typing() const {
    const QWidget* field = focusWidget();
    return field != nullptr && field->isVisible() &&
           (m_plan_table->viewport()->isAncestorOf(field) ||
            m_expected_table->viewport()->isAncestorOf(field));
}

/// Runs the solver off the window's thread. What was typed over stays until somebody asks for a new plan.
void ReorderPage::startPlan() {
    if (!m_stale || !m_session.isOpen() || typing()) {
        return;
    }
    m_stale = false;
    attempt([this] { readExpected(); });
    if (m_plan->edited()) {
        m_strip->showMessage(MessageStrip::Kind::note, tr("The shop or a setting has changed since this plan "
                                                          "was made; your changes are kept. Plan again "
                                                          "to see it anew."));
        return;
    }
    m_run.start([this, path = m_session.path(),
                 waiting_day = m_settings.choices().waiting_day](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        services::ReorderOptions options;
        options.solver.stop = control.stop;
        options.waiting_day = waiting_day;
        return [this, plan = services::reorderPlan(shop, options)] {
            if (m_plan->edited()) return;
            m_stale = typing(); // then it is planned again once that is done
            if (!m_stale) showPlan(plan);
        };
    });
}

/// With what was typed over in an earlier session and not booked.
void ReorderPage::showPlan(services::ReorderPlan plan) {
    const int row = m_plan_table->currentIndex().row();
    const bool first = m_plan->rowCount() == 0;
    services::ReorderPlan typed = plan;
    const QString draft = m_settings.drafts().text(plan_topic);
    m_forgetting = true;
    m_plan->setPlan(std::move(plan));
    m_forgetting = false;
    attempt([&] {
        if (!draft.isEmpty() && applyPlanDraft(m_session.shop(), typed, draft)) {
            m_plan->setEditedPlan(std::move(typed));
            m_strip->showMessage(MessageStrip::Kind::note,
                                 tr("The packs are as you typed them over. Plan again to drop that."));
        }
    });
    m_planned = true;
    showTotals();
    if (first) {
        m_plan_table->resizeColumnsToContents();
    }
    // Where one types over: a figure pressed is a new number of packs.
    const int there = row > 0 ? std::min(row, m_plan->rowCount() - 1) : m_plan->firstLine();
    m_plan_table->setCurrentIndex(m_plan->index(there, PlanTableModel::packs));
    showReason();
}

void ReorderPage::readExpected() {
    m_expected->setLines(services::expectedLines(m_session.shop()));
    if (!m_restored) {
        m_expected->applyDraft(m_settings.drafts().text(came_topic));
        m_restored = true;
    }
    m_on_order->setText(m_expected->rowCount() > 0 ? tr("On orde&r") : tr("On orde&r: nothing"));
    m_expected_table->resizeColumnsToContents();
    if (!m_expected_table->currentIndex().isValid())
        m_expected_table->setCurrentIndex(m_expected->index(0, ExpectedTableModel::came));
}

void ReorderPage::enableActions() {
    m_actions[ActionId::plan_reorder]->setEnabled(m_session.isOpen());
    m_actions[ActionId::read_reorder]->setEnabled(m_session.isOpen());
    const QModelIndex picked = m_plan_table->currentIndex();
    m_actions[ActionId::mark_ordered]->setEnabled(picked.isValid());
    m_mark->setText(picked.isValid()
                        ? tr("Mark %1 as ordered...").arg(textOf(m_plan->orderOf(picked.row()).supplier.name))
                        : m_actions[ActionId::mark_ordered]->text());
    for (const ActionId id : {ActionId::receive_delivery, ActionId::all_came}) {
        m_actions[id]->setEnabled(m_expected->rowCount() > 0);
    }
}

void ReorderPage::attempt(const std::function<void()>& step) {
    if (const auto problem = problemOf(step)) m_strip->showMessage(MessageStrip::Kind::problem, *problem);
}

services::ReorderPlan ReorderPage::shownPlan() const {
    services::ReorderPlan plan = m_plan->plan();
    for (services::SupplierOrder& order : plan.orders) {
        std::erase_if(order.lines, [](const services::ReorderLine& line) { return line.packs == 0; });
    }
    std::erase_if(plan.orders, [](const services::SupplierOrder& order) { return order.lines.empty(); });
    if (m_plan->edited()) plan.quality = services::costsAsChanged(plan);
    return plan;
}

std::optional<services::ReorderPlan> ReorderPage::planToWrite() const {
    const bool up_to_date = m_planned && !m_stale && !m_run.running();
    if (!up_to_date && !m_plan->edited()) return std::nullopt;
    return shownPlan();
}

PrintJob ReorderPage::printJob() const {
    return {QStringLiteral("reorder"),
            [html = reorderSheetHtml(shownPlan())](inventory::ShopFile& /*shop*/) { return html; },
            {}};
}

/// Nothing is booked by it: what the sheet changes is looked at, and then marked as ordered.
void ReorderPage::readSheet() {
    const QString path = m_prompts.importPath(this, m_settings.lastFolder());
    if (path.isEmpty()) {
        return;
    }
    attempt([&] {
        const auto sheets = services::readReorderSheet(pathOf(path));
        const auto read = services::applyReorderSheet(m_session.shop(), m_plan->plan(), sheets);
        m_plan->changePlan(read.plan, tr("sheet read back"));
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
        showTotals();
        m_plan_table->setCurrentIndex(m_plan->index(m_plan->firstLine(), PlanTableModel::packs));
        QStringList sentences{
            read.changes.empty()
                ? tr("The sheet says what the plan says; nothing is ordered yet.")
                : tr("The packs are those of %1; nothing is ordered yet.").arg(QFileInfo(path).fileName())};
        constexpr int most_told = 6;
        int told = 0;
        for (const auto* list : {&read.notes, &read.changes}) {
            for (const std::string& sentence : *list) {
                if (told++ < most_told) sentences << textOf(sentence) + QLatin1Char('.');
            }
        }
        if (told > most_told) sentences << tr("And %1 more.").arg(told - most_told);
        m_strip->showMessage(MessageStrip::Kind::note, sentences.join(QLatin1Char(' ')));
    });
}

void ReorderPage::addPart() {
    const QModelIndex picked = m_plan_table->currentIndex();
    attempt([&] {
        if (!picked.isValid()) {
            throw InputError("pick a line of the supplier first that the part is to be ordered from");
        }
        services::ReorderPlan plan = m_plan->plan();
        services::setPacks(m_session.shop(), plan, m_plan->orderOf(picked.row()).supplier.name,
                           m_add->text().trimmed().toStdString(), 1);
        m_plan->changePlan(std::move(plan), tr("%1 added").arg(m_add->text().trimmed()));
        showTotals();
        m_add->clear();
    });
}

void ReorderPage::markOrdered() {
    const QModelIndex picked = m_plan_table->currentIndex();
    if (!picked.isValid()) {
        return;
    }
    const services::SupplierOrder order = m_plan->orderOf(picked.row());
    const QString sentence =
        tr("Book the order to %1 for %2 %3 as on order?")
            .arg(textOf(order.supplier.name), textOf(inventory::moneyText(order.total())),
                 textOf(order.supplier.currency));
    if (!m_prompts.confirm(this, tr("Mark as ordered"), sentence, tr("Mark as &ordered"))) {
        return;
    }
    attempt([&] {
        const auto placed = services::placeOrder(m_session.shop(), order);
        // The other suppliers' lines stay as they were typed.
        services::ReorderPlan rest = m_plan->plan();
        std::erase_if(rest.orders, [&](const auto& o) { return o.supplier.name == order.supplier.name; });
        const bool edited = m_plan->edited() && !rest.orders.empty();
        if (edited) {
            m_plan->setEditedPlan(std::move(rest));
        } else {
            m_plan->setPlan(std::move(rest));
        }
        m_plan_table->setCurrentIndex(
            m_plan->index(m_plan->firstLine(), PlanTableModel::packs)); // the next supplier's
        m_session.announceChange(); // its note that the plan is older gives way to what was done
        m_strip->showMessage(MessageStrip::Kind::done,
                             tr("%1 is on order from %2.").arg(textOf(placed.code), textOf(placed.supplier)));
    });
}

/// Of the picked line of what is expected, or of the first.
std::optional<std::string> ReorderPage::expectedOrder() const {
    const int row = std::max(0, m_expected_table->currentIndex().row());
    return row < m_expected->rowCount() ? std::optional(m_expected->line(row).order) : std::nullopt;
}

void ReorderPage::allCame() {
    if (const auto order = expectedOrder()) {
        m_expected->allCame(*order);
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("Put right what did not come of %1, then receive it; nothing is booked yet.")
                                 .arg(textOf(*order)));
    }
}

void ReorderPage::receive() {
    const auto picked = expectedOrder();
    if (!picked) {
        return;
    }
    attempt([&] {
        const std::string& order = *picked;
        const auto lines = m_expected->received(order);
        if (lines.empty()) {
            throw InputError("type in what came of " + order + " before it is received");
        }
        const auto delivery = services::receiveOrder(m_session.shop(), order, lines);
        m_expected->forget(order);
        m_session.announceChange();
        m_strip->showMessage(MessageStrip::Kind::done,
                             delivery.closed ? tr("%1 has come in full and is closed.").arg(textOf(order))
                                             : tr("Received; lines of %2 that are still open: %1.")
                                                   .arg(delivery.lines_open)
                                                   .arg(textOf(order)));
    });
}

void ReorderPage::layOut(DeskActions& actions) {
    // Figures are typed over: any key begins, moving about does not. A click on the line that is picked does
    // not begin by itself: Qt would wait for a second one, and what is typed meanwhile would look for a line.
    const QAbstractItemView::EditTriggers edit_triggers = QAbstractItemView::DoubleClicked |
                                                          QAbstractItemView::EditKeyPressed |
                                                          QAbstractItemView::AnyKeyPressed;
    m_plan_table->setModel(m_plan);
    m_plan_table->setAccessibleName(tr("What to buy"));
    dressTable(*m_plan_table);
    // The reasons take what room there is; where that is little, it is days and codes that are scrolled to.
    constexpr int least_letters = 40;
    stretchColumn(*m_plan_table, PlanTableModel::why,
                  least_letters * m_plan_table->fontMetrics().averageCharWidth());
    m_plan_table->setEditTriggers(edit_triggers);
    giveRowMenu(*m_plan_table, [this](QMenu& menu, const QModelIndex& row) { fillRowMenu(menu, row.row()); });
    m_expected_table->setModel(m_expected);
    m_expected_table->setAccessibleName(tr("On order"));
    dressTable(*m_expected_table);
    m_expected_table->setEditTriggers(edit_triggers);
    giveRowMenu(*m_expected_table, [this, &actions](QMenu& menu, const QModelIndex& row) {
        offerPart(menu, m_expected->line(row.row()).part);
        menu.addAction(actions[ActionId::all_came]);
        menu.addAction(actions[ActionId::receive_delivery]);
    });
    m_figures->setCheckable(true);
    m_figures->setToolTip(tr("All that the number of packs rests on"));
    guarded(m_figures, &QPushButton::toggled, this, &ReorderPage::showReason);
    m_reason->setAccessibleName(tr("Why the picked line is bought"));
    m_add->setPlaceholderText(tr("Code of a part, for the picked supplier's order"));
    m_add->setAccessibleName(tr("Part to add"));
    auto* add_caption = new QLabel(tr("A&dd a part"));
    add_caption->setBuddy(m_add);

    auto* buttons = new QHBoxLayout;
    buttons->addWidget(actions.button(ActionId::plan_reorder));
    buttons->addWidget(actions.button(ActionId::read_reorder));
    buttons->addWidget(m_mark);
    buttons->addWidget(actions.button(ActionId::export_reorder));
    buttons->addWidget(add_caption);
    buttons->addWidget(m_add, 1);
    auto* top = new QWidget;
    auto* top_layout = new QVBoxLayout(top);
    top_layout->setContentsMargins(0, 0, 0, 0);
    top_layout->addWidget(m_plan_table, 1);
    top_layout->addLayout(buttons);

    auto* course = new QWidget;
    auto* course_layout = new QVBoxLayout(course);
    course_layout->setContentsMargins(0, 0, 0, 0);
    auto* reason_row = new QHBoxLayout;
    reason_row->addWidget(m_reason, 1);
    reason_row->addWidget(m_figures, 0, Qt::AlignTop);
    course_layout->addLayout(reason_row);
    course_layout->addWidget(m_chart, 1);
    auto* orders = new QWidget;
    auto* orders_layout = new QVBoxLayout(orders);
    orders_layout->setContentsMargins(0, 0, 0, 0);
    m_on_order->setText(tr("On orde&r"));
    m_on_order->setBuddy(m_expected_table);
    orders_layout->addWidget(m_on_order);
    orders_layout->addWidget(m_expected_table, 1);
    auto* receive_row = new QHBoxLayout;
    receive_row->addWidget(actions.button(ActionId::all_came));
    receive_row->addWidget(actions.button(ActionId::receive_delivery));
    receive_row->addStretch(1);
    orders_layout->addLayout(receive_row);

    auto* below = new QSplitter(Qt::Horizontal);
    below->addWidget(course);
    below->addWidget(orders);
    // The chart is read at any width; what came is typed beside its bin.
    below->setStretchFactor(0, 1);
    below->setStretchFactor(1, 1);
    below->setSizes({below->width(), below->width()});
    auto* split = new QSplitter(Qt::Vertical);
    split->addWidget(top);
    split->addWidget(below);
    split->setStretchFactor(0, 3);
    split->setStretchFactor(1, 2);
    m_strip->keepPlace();
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_page_one);
    layout->addWidget(split, 1);
    layout->addWidget(m_strip);
}

/// What can be done with a line, or with the order that a heading stands for.
void ReorderPage::fillRowMenu(QMenu& menu, int row) {
    if (!m_plan->isHeading(row)) {
        offerPart(menu, m_plan->line(row).part);
        const auto change = [this, &menu, row](const QString& text, std::int64_t packs) {
            QAction* action = menu.addAction(text);
            guarded(action, &QAction::triggered, this, [this, row, packs] {
                m_plan->setData(m_plan->index(row, PlanTableModel::packs), QVariant::fromValue(packs),
                                Qt::EditRole);
            });
        };
        if (m_plan->line(row).packs > 0) change(tr("&Leave out of the order"), 0);
        if (const auto planned = m_plan->plannedPacks(row); planned && *planned > 0)
            change(tr("As &planned: %1").arg(counted(*planned, tr("1 pack"), tr("%1 packs"))), *planned);
        menu.addSeparator();
    }
    menu.addAction(m_actions[ActionId::mark_ordered]);
}

void ReorderPage::offerPart(QMenu& menu, const std::string& part) {
    QAction* action = menu.addAction(tr("&Show in the drawers"));
    guarded(action, &QAction::triggered, this, [this, part] { emit partAsked(textOf(part)); });
}

/// To the first line of a supplier's order.
void ReorderPage::pickSupplier(const QString& supplier) {
    const int heading = m_plan->headingOf(supplier);
    if (heading < 0) return;
    m_plan_table->setCurrentIndex(m_plan->index(heading + 1, PlanTableModel::packs));
    m_plan_table->scrollTo(m_plan->index(heading, 0), QAbstractItemView::PositionAtTop);
    m_plan_table->setFocus();
}

void ReorderPage::dressPlan() {
    m_plan_table->clearSpans();
    for (int row = 0; row < m_plan->rowCount(); ++row) {
        if (m_plan->isHeading(row)) m_plan_table->setSpan(row, 0, 1, PlanTableModel::column_count);
    }
    m_plan_table->setColumnHidden(PlanTableModel::shelf_life, !m_plan->anyShelfLife());
}

QString ReorderPage::totals() const {
    return m_page_one->sentences();
}

/// What the orders cost: what was proved of them, or, once they were typed over, what that adds.
QString ReorderPage::costs() const {
    QStringList sentences;
    const services::ReorderPlan& plan = m_plan->plan();
    const auto dearer = m_plan->dearerThanPlanned();
    for (const auto& cost : m_plan->edited() ? services::costsAsChanged(plan) : plan.quality) {
        QString sentence = textOf(cost.sentence);
        if (m_plan->edited()) {
            const inventory::Hundredths more = dearer.at(cost.currency);
            const QString money = textOf(inventory::moneyText(std::abs(more)));
            sentence += more > 0   ? tr(", %1 more than planned").arg(money)
                        : more < 0 ? tr(", %1 less than planned").arg(money)
                                   : tr(", as much as planned");
        }
        sentences << sentence + QLatin1Char('.');
    }
    return sentences.join(QLatin1Char('\n'));
}

/// While no plan has come nothing is known, which is not the same as that nothing is to be done.
void ReorderPage::showTotals() {
    if (m_planned)
        m_page_one->show(m_plan->plan(), costs());
    else
        m_page_one->clear();
}

QString ReorderPage::reason() const {
    return m_reason->text();
}

void ReorderPage::showReason() {
    const int row = m_plan_table->currentIndex().row();
    if (m_plan->rowCount() == 0) {
        m_reason->setText(m_planned ? tr("Nothing is to be bought.") : QString());
    } else if (row < 0 || row >= m_plan->rowCount() || m_plan->isHeading(row)) {
        m_reason->setText(tr("Packs can be typed over; 0 drops a line."));
    } else {
        const services::ReorderLine& line = m_plan->line(row);
        if (!m_figures->isChecked()) {
            m_reason->setText(
                tr("%1: %2.").arg(textOf(line.what), textOf(line.plain.empty() ? line.reason : line.plain)));
            return;
        }
        QString text = tr("%1: %2").arg(textOf(line.what), textOf(line.reason));
        // How the demand was forecast is in the tip of the line.
        if (!line.demand.empty())
            text += tr("; demand %1").arg(textOf(line.demand).section(QLatin1Char(','), 0, 0));
        if (line.promised_share > 0) text += tr("; %1").arg(textOf(services::promiseText(line)));
        m_reason->setText(text + QLatin1Char('.'));
    }
}

void ReorderPage::showCourse() {
    const int row = m_plan_table->currentIndex().row();
    if (row < 0 || row >= m_plan->rowCount() || m_plan->isHeading(row)) {
        m_chart->show({});
        return;
    }
    // Of the plan as it was typed over.
    m_course_run.start([this, path = m_session.path(), plan = m_plan->plan(),
                        part = m_plan->line(row).part](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto courses = services::stockCourses(shop, plan, {part});
        return [this, course = courses[part]] { m_chart->show(course); };
    });
}

} // namespace shimledger::desk
