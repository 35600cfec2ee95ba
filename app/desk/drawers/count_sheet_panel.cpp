// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/count_sheet_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "app/services/sheets/count_sheet_sheet.h"
#include "inventory/csv_writer.h"
#include "inventory/inventory_error.h"
#include "planner/units/input_error.h"

#include <QFileInfo>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

namespace shimledger::desk {

CountSheetPanel::CountSheetPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                                 AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_prompts(prompts), m_settings(settings),
      m_summary(new QLabel), m_lines(new QListWidget) {
    m_summary->setWordWrap(true);
    m_summary->setTextFormat(Qt::PlainText);
    m_lines->setAccessibleName(tr("What the count sheet would change, or what is wrong with it"));
    m_lines->setWordWrap(true);
    m_lines->setSpacing(2); // a sentence of two lines must not run into the next
    auto* buttons = new QHBoxLayout;
    for (const ActionId id : {ActionId::count_write, ActionId::count_read, ActionId::count_post}) {
        buttons->addWidget(actions.button(id));
    }
    buttons->addStretch();
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(m_summary);
    layout->addWidget(m_lines, 1);
    layout->addStretch(); // keeps the words at the top while there is no list
    layout->addLayout(buttons);
    guarded(actions[ActionId::count_post], &QAction::triggered, this, &CountSheetPanel::post);
    guarded(&m_run, &BackgroundRun::failed, this, &CountSheetPanel::showProblems);
    forget();
}

QString CountSheetPanel::summary() const {
    return m_summary->text();
}

void CountSheetPanel::forget() {
    m_run.cancel();
    m_counted.clear();
    m_anything = false;
    m_lines->clear();
    m_lines->hide();
    m_summary->setText(
        tr("Or count on paper: save a count sheet, fill in its column \"counted\", and read it "
           "back as your spreadsheet program saves it."));
    enableActions();
}

void CountSheetPanel::write() {
    const QString path =
        m_prompts.countSheetPath(window(), m_settings.lastFolder() + QStringLiteral("/count-sheet.xlsx"));
    if (path.isEmpty()) {
        return;
    }
    m_settings.setLastFolder(QFileInfo(path).absolutePath());
    m_run.start([this, path, paper = m_settings.choices().paper,
                 shop_path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(shop_path);
        const services::CountSheet sheet = services::countSheet(shop);
        // The dialog has asked already whether a file of that name may go.
        if (path.endsWith(QLatin1String(".csv"), Qt::CaseInsensitive)) {
            inventory::writeCsvFile({pathOf(path), true},
                                    [&sheet](std::ostream& out) { services::writeCountCsv(sheet, out); });
        } else {
            services::writeCountSheet(sheet, {pathOf(path), true}, paper);
        }
        return [this, path, lines = static_cast<int>(sheet.lines.size())] {
            emit done(counted(lines, tr("%2 is written with 1 line to count."),
                              tr("%2 is written with %1 lines to count."))
                          .arg(path));
        };
    });
}

void CountSheetPanel::read() {
    const QString path = m_prompts.filledCountSheet(window(), m_settings.lastFolder());
    if (path.isEmpty()) {
        return;
    }
    m_settings.setLastFolder(QFileInfo(path).absolutePath());
    m_name = QFileInfo(path).fileName();
    m_counted.clear();
    m_anything = false;
    enableActions();
    m_run.start([this, path, shop_path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(shop_path);
        auto lines = services::readCountSheet(pathOf(path));
        const services::CountReview review = services::examineCount(shop, lines);
        return [this, lines = std::move(lines), review] {
            m_counted = lines;
            showReview(review);
        };
    });
}

void CountSheetPanel::showReview(const services::CountReview& review) {
    m_lines->clear();
    for (const std::string& fault : review.faults) {
        addFault(textOf(fault));
    }
    for (const services::CountDifference& found : review.differences) {
        m_lines->addItem(textOf(found.sentence));
    }
    for (const std::string& sentence : review.by_reason) {
        m_lines->addItem(textOf(sentence));
    }
    for (const std::string& sentence : review.shortSentences()) {
        m_lines->addItem(textOf(sentence));
    }
    const auto differences = static_cast<int>(review.differences.size());
    m_anything = differences > 0 && review.faults.empty();
    const QString counts = tr("%1: %2 counted, %3").arg(m_name).arg(review.counted);
    const QString differ =
        counted(differences, tr("1 differs from the books."), tr("%1 differ from the books."));
    m_summary->setText(
        !review.faults.empty()
            ? refusal(static_cast<int>(review.faults.size())) +
                  (differences == 0 ? QString() : QLatin1Char(' ') + tr("Of the others %1").arg(differ))
        : m_anything ? counts.arg(differ) + tr(" Nothing is booked yet.")
                     : counts.arg(tr("and all agree with the books.")));
    m_lines->setVisible(m_lines->count() > 0);
    enableActions();
    if (!review.faults.empty()) {
        lookAtFaults();
    } else if (m_anything) {
        m_lines->setCurrentRow(0);
        m_lines->setFocus(Qt::OtherFocusReason);
    }
}

void CountSheetPanel::addFault(const QString& sentence) {
    m_lines->addItem(withProblemMark(sentence));
}

QString CountSheetPanel::refusal(int faults) {
    return counted(faults, tr("Nothing is booked before this line is put right."),
                   tr("Nothing is booked before these %1 lines are put right."));
}

/// The first is the current one for the arrow keys; none of them is picked for anything.
void CountSheetPanel::lookAtFaults() {
    m_lines->setCurrentRow(0, QItemSelectionModel::NoUpdate);
    m_lines->setFocus(Qt::OtherFocusReason);
}

/// A refusal names each bad line on a line of its own.
void CountSheetPanel::showProblems(const QString& problems) {
    m_counted.clear();
    m_anything = false;
    m_lines->clear();
    for (const QString& problem : problems.split(QLatin1Char('\n'), Qt::SkipEmptyParts)) {
        addFault(problem);
    }
    m_summary->setText(refusal(m_lines->count()));
    m_lines->show();
    enableActions();
    lookAtFaults();
}

void CountSheetPanel::post() {
    if (!m_anything || m_run.running()) {
        return;
    }
    m_anything = false; // a second press must not book it twice
    enableActions();
    m_run.start([this, counted_lines = m_counted,
                 shop_path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::open(shop_path);
        const services::CountReview review = services::postCount(shop, counted_lines);
        return [this, differences = static_cast<int>(review.differences.size()),
                left_short = review.left_short] {
            const QString name = m_name;
            forget();
            m_session.announceChange();
            QStringList sentences{
                counted(differences, tr("1 line of %2 is corrected."), tr("%1 lines of %2 are corrected."))
                    .arg(name)};
            for (const services::JobLeftShort& left : left_short) {
                sentences << tr("%1.").arg(textOf(left.sentence));
            }
            emit done(sentences.join(QLatin1Char(' ')));
        };
    });
}

void CountSheetPanel::enableActions() {
    m_actions[ActionId::count_post]->setEnabled(m_anything);
}

} // namespace shimledger::desk
