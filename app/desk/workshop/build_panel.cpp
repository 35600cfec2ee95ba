#include "app/desk/workshop/build_panel.h"

#include "app/desk/path_text.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/tick_delegate.h"
#include "app/services/cautions.h"
#include "inventory/inventory_error.h"
#include "inventory/job_book.h"

#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QPlainTextEdit>

namespace shimledger::desk {

namespace {

QString rowText(std::size_t number, const inventory::StackRow& row) {
    return QStringLiteral("%1.  %2 x %3 x %4")
        .arg(number)
        .arg(row.count)
        .arg(textOf(row.od.text(1)), textOf(row.thickness.text(2)));
}

QString heightText(const std::vector<inventory::StackRow>& rows) {
    Length height;
    for (const inventory::StackRow& row : rows) {
        height += row.count * row.thickness;
    }
    return textOf(height.text(2));
}

void fill(QListWidget& list, const inventory::JobStack& stack, const inventory::JobStack* target) {
    for (std::size_t i = 0; i < stack.rows.size(); ++i) {
        QString text = rowText(i + 1, stack.rows[i]);
        const auto& replaces = stack.rows[i].replaces;
        if (replaces && target != nullptr) {
            text += BuildPanel::tr("   for row %1").arg(*replaces);
        }
        list.addItem(text);
        QListWidgetItem* item = list.item(list.count() - 1);
        if (target == nullptr) { // only what is built is ticked off
            continue;
        }
        item->setFlags(Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemIsUserCheckable);
        item->setCheckState(Qt::Unchecked);
    }
}

} // namespace

BuildPanel::BuildPanel(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_title(new ScaledLabel(1.6)), m_heights(new QLabel),
      m_target(makeList(tr("Target stack, piston face first"))),
      m_build(makeList(tr("Build stack, piston face first"))), m_cautions(new QPlainTextEdit) {
    m_build->setItemDelegate(new TickDelegate(m_build));
    m_title->setTextFormat(Qt::PlainText);
    m_cautions->setReadOnly(true);
    m_cautions->setTabChangesFocus(true);
    m_cautions->setAccessibleName(tr("Cautions for the build"));
    auto* layout = new QGridLayout(this);
    layout->addWidget(m_title, 0, 0, 1, 3);
    layout->addWidget(new QLabel(tr("Build this, the piston face first; Space ticks a row")), 1, 0);
    layout->addWidget(new QLabel(tr("The target that it stands for")), 1, 1);
    layout->addWidget(new QLabel(tr("Before you build")), 1, 2);
    layout->addWidget(m_build, 2, 0);
    layout->addWidget(m_target, 2, 1);
    layout->addWidget(m_cautions, 2, 2);
    layout->addWidget(m_heights, 3, 0, 1, 3);
    layout->setColumnStretch(0, 3);
    layout->setColumnStretch(1, 3);
    layout->setColumnStretch(2, 2);
    setFocusProxy(m_build);
}

QListWidget* BuildPanel::makeList(const QString& name) {
    auto* list = new QListWidget;
    list->setAccessibleName(name);
    list->setAlternatingRowColors(true);
    QFont large = list->font();
    large.setPointSizeF(2 * large.pointSizeF()); // read from an arm's length
    list->setFont(large);
    list->setSpacing(3);
    list->setWordWrap(true); // at large text sizes what a row stands for goes below it
    list->setResizeMode(QListView::Adjust);
    list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    return list;
}

void BuildPanel::show(const std::optional<std::string>& job) {
    QList<bool> ticked;
    if (job && *job == m_job) {
        for (int row = 0; row < m_build->count(); ++row) {
            ticked << (m_build->item(row)->checkState() == Qt::Checked);
        }
    }
    m_job = job.value_or(std::string());
    m_target->clear();
    m_build->clear();
    m_heights->clear();
    m_title->setText(tr("No job is at the bench."));
    if (!job || !m_session.isOpen()) {
        return;
    }
    const inventory::JobBook book(m_session.shop());
    const auto found = book.find(*job);
    const auto target = book.stack(*job, inventory::StackRole::target);
    if (!found || !target) {
        m_title->setText(tr("%1 has no target stack yet.").arg(textOf(*job)));
        return;
    }
    const bool planned = found->status != inventory::JobStatus::open;
    const auto build = planned ? book.stack(*job, inventory::StackRole::build) : std::nullopt;
    m_title->setText(
        build ? tr("%1, %2: build, %3 times").arg(textOf(*job), textOf(found->valve.name)).arg(found->legs)
              : tr("%1, %2: nothing is accepted yet, so the target is shown")
                    .arg(textOf(*job), textOf(found->valve.name)));
    fill(*m_target, *target, nullptr);
    fill(*m_build, build.value_or(*target), &*target);
    m_heights->setText(tr("Height: build %1 mm, target %2 mm.")
                           .arg(heightText(build.value_or(*target).rows), heightText(target->rows)));
    QStringList cautions;
    for (const std::string& caution : services::workCautions()) {
        cautions << textOf(caution);
    }
    m_cautions->setPlainText(cautions.join(QStringLiteral("\n\n")));
    for (int row = 0; row < m_build->count() && row < ticked.size(); ++row) {
        m_build->item(row)->setCheckState(ticked[row] ? Qt::Checked : Qt::Unchecked);
    }
}

SheetTable BuildPanel::sheet() const {
    SheetTable sheet;
    sheet.title = m_title->text();
    sheet.note = m_heights->text();
    sheet.columns = {tr("Laid"), tr("Build, piston face first"), tr("Target, piston face first")};
    for (int row = 0; row < std::max(m_build->count(), m_target->count()); ++row) {
        sheet.rows.push_back({row < m_build->count() ? QString(QChar(0x2610)) : QString(),
                              row < m_build->count() ? m_build->item(row)->text() : QString(),
                              row < m_target->count() ? m_target->item(row)->text() : QString()});
    }
    for (const QString& caution : m_cautions->toPlainText().split(QLatin1Char('\n'), Qt::SkipEmptyParts)) {
        sheet.rows.push_back({QString(), tr("Mind: %1").arg(caution), QString()});
    }
    return sheet;
}

} // namespace shimledger::desk
