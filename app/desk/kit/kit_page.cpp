// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/kit/kit_page.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/kit/kit_curve_view.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/row_menu.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/user_prompts.h"
#include "app/desk/wrapping_layout.h"
#include "app/services/kept_recipes.h"
#include "app/services/kit_points.h"
#include "app/services/recipe_list.h"
#include "app/services/sheets/kit_sheet.h"
#include "app/services/way_files.h"
#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <QAction>
#include <QComboBox>
#include <QDir>
#include <QDoubleSpinBox>
#include <QFile>
#include <QFileInfo>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QItemSelectionModel>
#include <QLabel>
#include <QLineEdit>
#include <QMenu>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QTabWidget>
#include <QTableView>
#include <QTableWidget>
#include <QVBoxLayout>

#include <utility>

namespace shimledger::desk {

namespace {

enum Demand { jobs_and_recipes, recipes_alone, jobs_alone };

QTableWidget* listOf(const QStringList& columns, const QString& name) {
    auto* table = new QTableWidget(0, static_cast<int>(columns.size()));
    table->setHorizontalHeaderLabels(columns);
    table->setAccessibleName(name);
    table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    dressTable(*table);
    return table;
}

void addRow(QTableWidget& table, const QStringList& cells) {
    const int row = table.rowCount();
    table.insertRow(row);
    for (int column = 0; column < cells.size(); ++column) {
        auto* item = new QTableWidgetItem(cells[column]);
        if (column > 0) item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
        table.setItem(row, column, item);
    }
}

QString sizeText(const services::KitSize& line) {
    return textOf(services::discSizeText(line.size));
}

QString binsText(const services::KitSize& line) {
    QStringList bins;
    for (const std::string& bin : line.bins) bins << textOf(bin);
    return bins.join(QStringLiteral(", "));
}

/// A field's text as a whole number; throws InputError that names it.
int wholeIn(const QString& text, const char* what) {
    bool good = false;
    const int value = text.toInt(&good);
    if (!good || value < 1)
        throw InputError(std::string("the ") + what + " '" + text.left(40).toStdString() +
                         "' is no number of 1 or more");
    return value;
}

} // namespace

KitPage::KitPage(ShopSession& session, DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
                 QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_prompts(prompts), m_settings(settings),
      m_grid(new KitGridModel(this)), m_curve(new KitCurveView), m_grid_table(new QTableView),
      m_budget(new QLineEdit), m_drawers(new QLineEdit), m_season(new QLineEdit),
      m_within(new QDoubleSpinBox), m_demand(new QComboBox), m_bore(new QComboBox),
      m_plan(actions.button(ActionId::plan_kit)), m_stop(new QPushButton(tr("Stop"))),
      m_sheet(actions.button(ActionId::export_kit)), m_set(new QPushButton(tr("Set reorder &points..."))),
      m_back(new QPushButton(tr("Take points bac&k"))), m_file(new QPushButton(tr("Recipes of a file..."))),
      m_of_jobs(new QPushButton(tr("Recipes of closed jobs"))), m_keep(new QPushButton(tr("Keep it"))),
      m_out(new QPushButton(tr("Without it"))), m_free(new QPushButton(tr("No lock"))),
      m_told(new SentenceLabel), m_about(new SentenceLabel), m_lists(new QTabWidget),
      m_buy(listOf({tr("Size"), tr("Packs"), tr("Pack of"), tr("Price"), tr("Supplier")},
                   tr("What to buy now"))),
      m_spared(
          listOf({tr("Size"), tr("Pack of"), tr("Price")}, tr("What may run out, as others do instead"))),
      m_dead(listOf({tr("Size"), tr("There"), tr("Drawers")}, tr("Drawers to free"))),
      m_strip(new MessageStrip) {
    layOut(actions);
    setFocusProxy(m_budget);
    guarded(actions[ActionId::plan_kit], &QAction::triggered, this, &KitPage::plan);
    guarded(actions[ActionId::export_kit], &QAction::triggered, this, &KitPage::writeSheet);
    for (QLineEdit* edit : {m_budget, m_drawers, m_season})
        guarded(edit, &QLineEdit::returnPressed, this, &KitPage::plan);
    guarded(m_curve, &KitCurveView::moved, this,
            [this](qint64 budget) { m_budget->setText(textOf(inventory::moneyText(budget))); });
    guarded(m_curve, &KitCurveView::chosen, this, &KitPage::plan);
    guarded(m_set, &QPushButton::clicked, this, &KitPage::setPoints);
    guarded(m_back, &QPushButton::clicked, this, &KitPage::takePointsBack);
    guarded(m_file, &QPushButton::clicked, this, &KitPage::takeRecipes);
    guarded(m_of_jobs, &QPushButton::clicked, this, &KitPage::recipesOfJobs);
    guarded(m_keep, &QPushButton::clicked, this, [this] { lock(KitGridModel::Lock::kept); });
    guarded(m_out, &QPushButton::clicked, this, [this] { lock(KitGridModel::Lock::out); });
    guarded(m_free, &QPushButton::clicked, this, [this] { lock(KitGridModel::Lock::none); });
    guarded(m_stop, &QPushButton::clicked, this, &KitPage::stop);
    giveRowMenu(*m_grid_table, [this](QMenu& menu, const QModelIndex& index) {
        if (m_grid->cell(index).kind == KitGridModel::Kind::none) return;
        for (const auto& [words, how] : {std::pair{tr("Keep it in any case"), KitGridModel::Lock::kept},
                                         std::pair{tr("Plan without it"), KitGridModel::Lock::out},
                                         std::pair{tr("No lock"), KitGridModel::Lock::none}}) {
            const KitGridModel::Lock wanted = how;
            guarded(menu.addAction(words), &QAction::triggered, this, [this, wanted] { lock(wanted); });
        }
    });
    guarded(m_grid_table->selectionModel(), &QItemSelectionModel::currentChanged, this, &KitPage::showAbout);
    guarded(m_bore, qOverload<int>(&QComboBox::activated), this, [this](int index) {
        m_grid->setBore(Length::fromMicrometres(m_bore->itemData(index).toLongLong()));
        m_grid_table->resizeColumnsToContents();
        m_grid_table->setCurrentIndex(firstKept());
    });
    QAction* stopping = actions[ActionId::stop_search]; // Esc, as for a search of the jobs page
    guarded(stopping, &QAction::triggered, this, &KitPage::stop);
    guarded(&m_run, &BackgroundRun::started, this, [this, stopping] {
        if (!m_stop_was_on) m_stop_was_on = stopping->isEnabled();
        stopping->setEnabled(true);
        enable();
    });
    guarded(&m_run, &BackgroundRun::finished, this, [this, stopping] {
        stopping->setEnabled(std::exchange(m_stop_was_on, {}).value_or(false));
        enable();
    });
    guarded(&m_run, &BackgroundRun::progressed, this,
            [this](const QString& doing) { m_strip->showNote(tr("Planning: %1 ...").arg(doing)); });
    guarded(&m_run, &BackgroundRun::failed, this, [this](const QString& sentence) {
        m_strip->showProblem(sentence);
        if (!m_kit) m_told->setText(sentence);
    });
    showAbout();
    enable();
}

void KitPage::layOut(DeskActions& /*actions*/) {
    m_within->setRange(0.1, 50);
    m_within->setDecimals(1);
    m_within->setValue(5);
    m_within->setSuffix(QStringLiteral(" %"));
    m_budget->setPlaceholderText(tr("as reorder points"));
    m_drawers->setPlaceholderText(tr("any number"));
    m_season->setPlaceholderText(tr("half a year from today"));
    m_season->setToolTip(tr("First and last day, such as 2026-03-01..2026-08-31"));
    m_budget->setToolTip(tr("What may be spent on packs; empty: what reorder points for 95 % would cost"));
    m_drawers->setToolTip(tr("How many sizes can be kept; empty: any number"));
    m_within->setToolTip(tr("Stacks this near to the wanted curve count as built"));
    m_demand->addItems({tr("Jobs and recipes"), tr("Recipes alone"), tr("Jobs alone")});
    auto* fields = new WrappingLayout(8);
    const auto add = [&](const QString& words, QWidget* field, int letters) {
        auto* pair = new QWidget;
        auto* row = new QHBoxLayout(pair);
        row->setContentsMargins(0, 0, 0, 0);
        auto* label = new QLabel(words);
        label->setBuddy(field);
        field->setAccessibleName(QString(words).remove(QLatin1Char('&')));
        if (letters > 0) field->setFixedWidth(letters * fontMetrics().averageCharWidth() + 16);
        row->addWidget(label);
        row->addWidget(field);
        fields->addWidget(pair);
    };
    constexpr int money_letters = 18, number_letters = 12, season_letters = 24;
    add(tr("Bu&dget"), m_budget, money_letters);
    add(tr("Dra&wers"), m_drawers, number_letters);
    add(tr("With&in"), m_within, 0);
    add(tr("&Season"), m_season, season_letters);
    add(tr("Coun&t"), m_demand, 0);
    for (QPushButton* button : {m_file, m_of_jobs, m_plan, m_stop, m_sheet, m_set, m_back})
        fields->addWidget(button);
    m_file->setToolTip(
        tr("Recipes of a .csv or .json file beside the others, for this plan alone; press once "
           "more to plan without them"));
    m_of_jobs->setToolTip(
        tr("Keep what closed jobs asked for as recipes, to be changed in the shop's own data"));
    m_set->setToolTip(tr("Make what is to be kept the parts' reorder points, in one step"));
    m_back->setToolTip(tr("Take the last such step back"));

    m_told->setText(tr("Plan the kit to see which sizes to keep, how many of each, and what that builds. It "
                       "rests on the jobs' target stacks and on recipes; it takes a minute or two, and books "
                       "nothing."));
    m_told->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    m_told->setAccessibleName(tr("The plan in sentences"));
    auto* told_area = new QScrollArea;
    told_area->setWidget(m_told);
    told_area->setWidgetResizable(true);
    told_area->setFrameShape(QFrame::NoFrame);
    told_area->setFocusPolicy(Qt::StrongFocus);
    told_area->setAccessibleName(tr("The plan in sentences"));
    auto* left = new QSplitter(Qt::Vertical);
    left->addWidget(m_curve);
    left->addWidget(told_area);
    left->setStretchFactor(0, 1);
    left->setStretchFactor(1, 1);
    left->setSizes({300, 300});
    left->setChildrenCollapsible(false);

    m_grid_table->setModel(m_grid);
    m_grid_table->setAccessibleName(tr("How many to keep: outer diameters down, thicknesses across, mm"));
    m_grid_table->setSelectionMode(QAbstractItemView::SingleSelection);
    m_grid_table->setTabKeyNavigation(false);
    m_grid_table->setCornerButtonEnabled(false);
    m_grid_table->verticalHeader()->setDefaultAlignment(Qt::AlignRight | Qt::AlignVCenter);
    auto* grid_page = new QWidget;
    auto* grid_layout = new QVBoxLayout(grid_page);
    auto* over = new QHBoxLayout;
    auto* bore_label = new QLabel(tr("B&ore, mm"));
    bore_label->setBuddy(m_bore);
    over->addWidget(bore_label);
    over->addWidget(m_bore);
    over->addWidget(
        new QLabel(tr("OD down, thickness across.  + is bought, ! lies there unused, ~ may run out")), 1);
    auto* under = new QHBoxLayout;
    under->addWidget(new QLabel(tr("What if:")));
    for (QPushButton* button : {m_keep, m_out, m_free}) under->addWidget(button);
    under->addStretch(1);
    m_about->setAccessibleName(tr("What the picked size is for"));
    grid_layout->addLayout(over);
    grid_layout->addWidget(m_grid_table, 1);
    grid_layout->addWidget(m_about);
    grid_layout->addLayout(under);
    m_lists->addTab(grid_page, tr("Si&zes"));
    m_lists->addTab(m_buy, tr("Bu&y now"));
    m_lists->addTab(m_spared, tr("May r&un out"));
    m_lists->addTab(m_dead, tr("Drawers to &free"));
    m_lists->setDocumentMode(true);

    auto* halves = new QSplitter(Qt::Horizontal);
    halves->addWidget(left);
    halves->addWidget(m_lists);
    halves->setStretchFactor(0, 2);
    halves->setStretchFactor(1, 3);
    halves->setChildrenCollapsible(false);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(fields);
    layout->addWidget(halves, 1);
    layout->addWidget(m_strip);
}

services::KitOptions KitPage::options() const {
    services::KitOptions options;
    QString money = m_budget->text().trimmed();
    if (!money.isEmpty()) {
        if (!money.contains(QLatin1Char('.'))) money.replace(QLatin1Char(','), QLatin1Char('.'));
        try {
            options.budget = inventory::parseMoney(money.toStdString());
        } catch (const InputError& error) {
            throw InputError(std::string("the budget cannot be read: ") + error.what());
        }
    }
    const QString drawers = m_drawers->text().trimmed();
    if (!drawers.isEmpty()) options.drawers = wholeIn(drawers, "number of drawers");
    options.within = m_within->value() / 100;
    const QString season = m_season->text().trimmed();
    if (!season.isEmpty()) options.season = services::parseKitSeason(season.toStdString());
    options.recipes = m_recipes;
    options.recipes_alone = m_demand->currentIndex() == recipes_alone;
    options.kept_recipes = m_demand->currentIndex() != jobs_alone;
    options.keep = m_grid->locked(KitGridModel::Lock::kept);
    options.without = m_grid->locked(KitGridModel::Lock::out);
    return options;
}

void KitPage::attempt(const std::function<void()>& step) {
    if (const auto problem = problemOf(step)) m_strip->showProblem(*problem);
}

void KitPage::plan() {
    m_strip->clear();
    attempt([this] {
        services::KitOptions wanted = options();
        m_run.start([this, path = m_session.path(),
                     wanted = std::move(wanted)](const RunControl& control) mutable -> RunDelivery {
            auto shop = inventory::ShopFile::openReadOnly(path);
            wanted.solver.stop = control.stop;
            services::WayFiles ways(services::WayFiles::usualFolder());
            wanted.remembered = &ways;
            wanted.progress = [&control](const std::string& doing) {
                control.report(textOf(doing));
                return !control.stop.stop_requested();
            };
            auto kit = std::make_shared<const services::KitResult>(services::kitPlan(shop, wanted));
            ways.tidy();
            return [this, kit] { show(kit); };
        });
    });
}

void KitPage::stop() {
    if (!m_run.running()) return;
    m_run.cancel();
    m_strip->showNote(tr("Stopped: what is shown is as it was before."));
}

void KitPage::reload() {
    attempt([this] {
        enable();
        if (!m_kit || m_older) return;
        m_older = true;
        m_strip->showNote(tr("The shop has changed since this plan was made; plan again to see it anew."));
    });
}

void KitPage::show(std::shared_ptr<const services::KitResult> kit) {
    const planner::DiscSize picked = m_grid->sizeOf(m_grid_table->currentIndex());
    m_kit = std::move(kit);
    m_older = false;
    const bool possible = m_kit->plan.status != planner::KitStatus::nothing_possible;
    m_grid->setKit(possible ? m_kit : nullptr);
    m_bore->clear();
    for (const Length bore : m_grid->bores())
        m_bore->addItem(textOf(bore.text()), QVariant::fromValue<qlonglong>(bore.micrometres()));
    m_grid_table->resizeColumnsToContents();
    const QModelIndex again = m_grid->indexOf(picked);
    m_grid_table->setCurrentIndex(again.isValid() ? again : firstKept());
    m_curve->show(m_kit->plan.curve, m_kit->plan.budget);
    m_budget->setText(textOf(inventory::moneyText(m_kit->plan.budget)));
    QStringList sentences;
    for (const std::string& sentence : services::kitSentences(*m_kit)) sentences << textOf(sentence);
    m_told->setText(sentences.join(QLatin1Char('\n')));
    fillLists();
    showAbout();
    enable();
    m_strip->showDone(possible ? tr("The kit is planned.") : tr("Nothing that is wanted can be built."));
}

/// Of the bore that is shown, the size without which the most jobs are lost.
QModelIndex KitPage::firstKept() const {
    QModelIndex first = m_grid->index(0, 0);
    double most = -1;
    for (int row = 0; row < m_grid->rowCount(); ++row) {
        for (int column = 0; column < m_grid->columnCount(); ++column) {
            const KitGridModel::Cell cell = m_grid->cell(m_grid->index(row, column));
            if (cell.kind != KitGridModel::Kind::kept || cell.size->lost_without <= most) continue;
            most = cell.size->lost_without;
            first = m_grid->index(row, column);
        }
    }
    return first;
}

void KitPage::fillLists() {
    for (QTableWidget* table : {m_buy, m_spared, m_dead}) table->setRowCount(0);
    for (const services::KitSize& line : m_kit->lines) {
        if (line.packs_to_buy > 0)
            addRow(*m_buy,
                   {sizeText(line), QString::number(line.packs_to_buy), QString::number(line.pack_size),
                    textOf(inventory::moneyText(line.pack_price)), textOf(line.supplier)});
    }
    for (const services::KitSize& line : m_kit->spared)
        addRow(*m_spared, {sizeText(line), QString::number(line.pack_size),
                           textOf(inventory::moneyText(line.pack_price))});
    for (const services::KitSize& line : m_kit->dead)
        addRow(*m_dead, {sizeText(line), QString::number(line.on_hand), binsText(line)});
    for (QTableWidget* table : {m_buy, m_spared, m_dead}) table->resizeColumnsToContents();
    m_lists->setTabText(1, tr("Bu&y now (%1)").arg(m_buy->rowCount()));
    m_lists->setTabText(2, tr("May r&un out (%1)").arg(m_spared->rowCount()));
    m_lists->setTabText(3, tr("Drawers to &free (%1)").arg(m_dead->rowCount()));
}

void KitPage::showAbout() {
    const KitGridModel::Cell cell = m_grid->cell(m_grid_table->currentIndex());
    const bool there = cell.kind != KitGridModel::Kind::none;
    m_about->setText(
        there ? textOf(services::kitSizeSentence(*m_kit, *cell.size, cell.kind == KitGridModel::Kind::kept,
                                                 cell.kind == KitGridModel::Kind::dead))
              : QString());
    for (QPushButton* button : {m_keep, m_out, m_free}) button->setEnabled(there);
}

void KitPage::lock(KitGridModel::Lock lock) {
    const QModelIndex picked = m_grid_table->currentIndex();
    if (m_grid->cell(picked).kind == KitGridModel::Kind::none) return;
    m_grid->setLock(picked, lock);
    const QString size = textOf(services::discSizeText(m_grid->sizeOf(picked)));
    m_strip->showNote(lock == KitGridModel::Lock::kept
                          ? tr("%1 is kept in any case: plan to see what if.").arg(size)
                      : lock == KitGridModel::Lock::out ? tr("%1 is left out: plan to see what if.").arg(size)
                                                        : tr("%1 is as the plan finds best.").arg(size));
}

void KitPage::writeSheet() {
    if (!m_kit) return;
    const QString path = m_prompts.sheetPath(
        this, tr("Write the kit plan"), QDir(m_settings.lastFolder()).filePath(QStringLiteral("kit.xlsx")));
    if (path.isEmpty()) return;
    m_strip->clear();
    attempt([&] {
        services::writeKitSheet(*m_kit, {pathOf(path), true}, m_settings.choices().paper);
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
        m_strip->showDone(tr("The kit plan is in %1.").arg(path));
    });
}

void KitPage::setPoints() {
    if (!m_kit) return;
    m_strip->clear();
    const auto points = services::kitPoints(*m_kit);
    if (points.empty()) {
        m_strip->showNote(tr("All reorder points are as the plan has them already."));
        return;
    }
    const QString question =
        counted(static_cast<qint64>(points.size()),
                tr("1 reorder point is set from the plan, and can be taken back."),
                tr("%1 reorder points are set from the plan, in one step that can be taken back."));
    if (!m_prompts.confirm(this, tr("Set reorder points"), question, tr("&Set them"))) return;
    attempt([&] {
        const services::KitPointsTold told = services::setKitPoints(m_session.shop(), points);
        m_session.announceChange();
        QStringList sentences{counted(static_cast<qint64>(told.changed.size()),
                                      tr("1 reorder point was set."), tr("%1 reorder points were set."))};
        for (const std::string& sentence : told.left) sentences << textOf(sentence);
        m_strip->showMessage(told.left.empty() ? MessageStrip::Kind::done : MessageStrip::Kind::note,
                             sentences.join(QLatin1Char(' ')));
        enable();
    });
}

void KitPage::takePointsBack() {
    m_strip->clear();
    attempt([&] {
        const services::KitPointsTold told = services::takeKitPointsBack(m_session.shop());
        m_session.announceChange();
        QStringList sentences{counted(static_cast<qint64>(told.changed.size()),
                                      tr("1 reorder point is as it was before."),
                                      tr("%1 reorder points are as they were before."))};
        for (const std::string& sentence : told.left) sentences << textOf(sentence);
        m_strip->showMessage(told.left.empty() ? MessageStrip::Kind::done : MessageStrip::Kind::note,
                             sentences.join(QLatin1Char(' ')));
        enable();
    });
}

void KitPage::takeRecipes() {
    m_strip->clear();
    if (!m_recipes.empty()) {
        m_recipes.clear();
        m_strip->showNote(tr("The file's recipes are left out of the next plan."));
        return;
    }
    const QString path = m_prompts.importPath(this, m_settings.lastFolder());
    if (path.isEmpty()) return;
    attempt([&] {
        QFile file(path);
        if (!file.open(QIODevice::ReadOnly))
            throw InputError("the file " + path.toStdString() + " cannot be read");
        m_recipes = services::readRecipes(file.readAll().toStdString());
        m_strip->showDone(counted(static_cast<qint64>(m_recipes.size()),
                                  tr("The next plan counts with 1 recipe of it."),
                                  tr("The next plan counts with %1 recipes of it.")));
    });
}

void KitPage::recipesOfJobs() {
    m_strip->clear();
    attempt([&] {
        const services::RecipesTaken taken = services::takeRecipesOfJobs(m_session.shop(), {});
        m_session.announceChange();
        m_strip->showDone(counted(static_cast<qint64>(taken.added.size()),
                                  tr("1 recipe was made of what closed jobs asked for."),
                                  tr("%1 recipes were made of what closed jobs asked for.")));
    });
}

void KitPage::enable() {
    const bool open = m_session.isOpen(), running = m_run.running();
    const bool planned = m_kit && m_kit->plan.status != planner::KitStatus::nothing_possible;
    m_actions[ActionId::plan_kit]->setEnabled(open && !running);
    m_actions[ActionId::export_kit]->setEnabled(planned && !running);
    m_stop->setEnabled(running);
    m_set->setEnabled(planned && !running);
    bool any = false;
    if (open) any = services::hasKitPoints(m_session.shop());
    m_back->setEnabled(any && !running);
    for (QPushButton* button : {m_file, m_of_jobs}) button->setEnabled(open && !running);
}

QString KitPage::told() const {
    return m_told->text();
}

QString KitPage::about() const {
    return m_about->text();
}

PrintJob KitPage::printJob() const {
    return {QStringLiteral("kit"),
            [kit = m_kit](inventory::ShopFile&) {
                SheetTable table;
                table.title = tr("What to keep");
                if (!kit) {
                    table.note = tr("The kit has not been planned yet.");
                    return tableSheetHtml(table);
                }
                QStringList sentences;
                for (const std::string& sentence : services::kitSentences(*kit))
                    sentences << textOf(sentence);
                table.note = sentences.join(QLatin1Char(' '));
                table.columns = {tr("Size"),    tr("Keep"), tr("There"),        tr("Packs to buy"),
                                 tr("Pack of"), tr("Jobs"), tr("Lost without"), tr("Drawer")};
                for (const services::KitSize& line : kit->lines) {
                    table.rows.push_back(
                        {sizeText(line), QString::number(line.keep), QString::number(line.on_hand),
                         QString::number(line.packs_to_buy), QString::number(line.pack_size),
                         QString::number(line.jobs, 'f', 1),
                         QString::number(100 * line.lost_without, 'f', 1) + QStringLiteral(" %"),
                         binsText(line)});
                }
                for (const services::KitSize& line : kit->dead)
                    table.rows.push_back({sizeText(line), tr("to free"), QString::number(line.on_hand),
                                          QString(), QString(), QString(), QString(), binsText(line)});
                return tableSheetHtml(table);
            },
            {}};
}

} // namespace shimledger::desk
