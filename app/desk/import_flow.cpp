#include "app/desk/import_flow.h"

#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/user_prompts.h"
#include "inventory/csv_import.h"

#include <QDialogButtonBox>
#include <QFileInfo>
#include <QHeaderView>
#include <QLabel>
#include <QTableWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

using inventory::ImportReport;

ImportReport lookThrough(inventory::ShopFile& shop, const QString& path) {
    return QFileInfo(path).isDir() ? inventory::previewShopFolder(shop, pathOf(path))
                                   : inventory::previewFile(shop, pathOf(path));
}

ImportReport bringIn(inventory::ShopFile& shop, const QString& path) {
    return QFileInfo(path).isDir() ? inventory::importShopFolder(shop, pathOf(path))
                                   : inventory::importFile(shop, pathOf(path));
}

QString contents(const ImportReport& report) {
    QStringList parts;
    for (const inventory::ImportedFile& file : report.files) {
        parts << ImportFlow::tr("%1 %2").arg(file.rows).arg(textOf(file.what));
    }
    return parts.join(QStringLiteral(", "));
}

} // namespace

ImportProblemsDialog::ImportProblemsDialog(const ImportReport& report, QWidget* parent) : QDialog(parent) {
    setWindowTitle(tr("Nothing was imported"));
    auto* summary = new QLabel(
        counted(report.problem_count, tr("One line is not as it should be; mend it and import again."),
                tr("%1 things are not as they should be; mend them and import again.")) +
        (report.unread_count == 0
             ? QString()
             : counted(report.unread_count, tr(" One further line names what these should have brought."),
                       tr(" %1 further lines name what these should have brought."))));
    summary->setWordWrap(true);
    const QStringList columns{tr("File"), tr("Line"), tr("Column"), tr("What is wrong")};
    auto* table =
        new QTableWidget(static_cast<int>(report.problems.size()), static_cast<int>(columns.size()));
    table->setHorizontalHeaderLabels(columns);
    table->setAccessibleName(tr("Problems of the import"));
    dressTable(*table);
    int row = 0;
    for (const inventory::ImportProblem& problem : report.problems) {
        const QStringList cells{textOf(problem.file),
                                problem.line > 0 ? QString::number(problem.line) : QString(),
                                textOf(problem.column_name), textOf(problem.reason)};
        for (int column = 0; column < cells.size(); ++column) {
            auto* item = new QTableWidgetItem(cells[column]);
            item->setToolTip(cells[column]);
            table->setItem(row, column, item);
        }
        ++row;
    }
    table->resizeColumnsToContents();
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(summary);
    layout->addWidget(table, 1);
    layout->addWidget(buttons);
    resize(820, 420);
}

ImportFlow::ImportFlow(ShopSession& session, UserPrompts& prompts, QObject* parent)
    : QObject(parent), m_session(session), m_prompts(prompts) {
    guarded(&m_run, &BackgroundRun::failed, this, &ImportFlow::failed);
}

void ImportFlow::import(const QString& path, QWidget* window) {
    m_run.start([this, path, window, shop_path = m_session.path()](const RunControl&) -> RunDelivery {
        auto shop = inventory::ShopFile::open(shop_path);
        auto report = std::make_shared<ImportReport>(lookThrough(shop, path));
        return [this, report, path, window] { looked(*report, path, window); };
    });
}

void ImportFlow::looked(const ImportReport& report, const QString& path, QWidget* window) {
    if (!report.good()) {
        m_problems = new ImportProblemsDialog(report, window);
        m_problems->setAttribute(Qt::WA_DeleteOnClose);
        guarded(m_problems, &QObject::destroyed, this, [this] { m_problems = nullptr; });
        m_problems->open();
        return;
    }
    if (report.files.empty()) {
        emit failed(tr("%1 holds no CSV file of a shop; stock.csv is the opening stock.").arg(path));
        return;
    }
    const QString question = tr("Import %1 from %2? The opening stock is posted to the ledger.")
                                 .arg(contents(report), QFileInfo(path).fileName());
    if (!m_prompts.confirm(window, tr("Import"), question, tr("&Import"))) {
        return;
    }
    m_run.start([this, path, shop_path = m_session.path()](const RunControl&) -> RunDelivery {
        auto shop = inventory::ShopFile::open(shop_path);
        const QString brought = contents(bringIn(shop, path));
        return [this, brought] {
            m_session.announceChange();
            emit done(tr("Imported: %1.").arg(brought));
        };
    });
}

} // namespace shimledger::desk
