// SPDX-License-Identifier: GPL-3.0-or-later
// What of the jobs page goes onto paper, and what of it the search everywhere finds.

#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/path_text.h"
#include "app/desk/print/books_html.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/print/sheet_html.h"
#include "app/desk/print/table_rows.h"
#include "app/desk/search_everywhere.h"

#include <QLabel>
#include <QListView>
#include <QTableView>

namespace shimledger::desk {

PrintJob JobsPage::printJob() {
    const std::optional<std::string> job = pickedJob();
    const QString code = job ? textOf(*job) : QString();
    if (m_view && m_view->reservations > 0) {
        return {QStringLiteral("pick-list-%1").arg(code),
                [name = *job](inventory::ShopFile& shop) {
                    return pickSheetHtml(services::componentPickSheet(shop, name));
                },
                {}};
    }
    if (m_view && (m_view->ended() || m_view->line.job.status == inventory::JobStatus::pulled)) {
        return {QStringLiteral("record-%1").arg(code),
                [name = *job](inventory::ShopFile& shop) {
                    return jobRecordHtml(services::jobRecord(shop, name));
                },
                {}};
    }
    SheetTable sheet{tr("Target stack: %1").arg(m_heading->text()), m_situation->text(),
                     columnTitles(*m_target->table()->model()), tableRows(*m_target->table()->model()),
                     QStringLiteral("picture")};
    return {QStringLiteral("stack-%1").arg(code),
            [html = tableSheetHtml(sheet)](inventory::ShopFile&) { return html; }, m_bench->picture()};
}

std::vector<SearchHit> JobsPage::searchHits() {
    std::vector<SearchHit> hits;
    for (const JobLine& line : m_jobs->lines()) {
        const QString text =
            tr("%1: %2, %3").arg(textOf(line.job.code), textOf(line.job.model), textOf(line.job.valve.name));
        hits.push_back({text, tr("job, %1, %2").arg(line.situation_text, textOf(line.job.customer)),
                        [this, code = line.job.code] { pickJob(code); }});
    }
    return hits;
}

} // namespace shimledger::desk
