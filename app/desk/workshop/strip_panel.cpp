// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/strip_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/caution_band.h"
#include "app/desk/workshop/strip_text.h"
#include "inventory/inventory_error.h"
#include "inventory/job_book.h"
#include "planner/units/input_error.h"

#include <QComboBox>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QTableWidget>

namespace shimledger::desk {

StripPanel::StripPanel(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                       QWidget* parent)
    : BenchStep(session, actions, parent), m_settings(settings), m_mind(new CautionBand(1.2)),
      m_leg(new QComboBox), m_entry(new QLineEdit), m_problem(new QLabel), m_state(new QLabel),
      m_table(new QTableWidget(0, column_count)), m_sides(new QPlainTextEdit) {
    layOut();
    guarded(m_entry, &QLineEdit::returnPressed, this, &StripPanel::takeRow);
    guarded(m_entry, &QLineEdit::textEdited, this, [this] {
        m_problem->clear();
        m_strip->clear(); // what was done before is not about this row
        keepDraft();
    });
    guarded(m_leg, &QComboBox::currentIndexChanged, this, &StripPanel::readLeg);
    guarded(m_actions[ActionId::strip_next_leg], &QAction::triggered, this, &StripPanel::nextLeg);
    guarded(m_actions[ActionId::strip_write], &QAction::triggered, this, &StripPanel::writeDown);
    guarded(m_actions[ActionId::strip_put_away], &QAction::triggered, this, &StripPanel::putAway);
    StripPanel::enableActions();
}

int StripPanel::leg() const {
    return m_leg->count() > 0 ? m_leg->currentText().toInt() : 1;
}

SizeUnit StripPanel::sizeUnit() const {
    return m_settings.choices().size_unit;
}

QString StripPanel::topic() const {
    return QStringLiteral("strip/%1/%2").arg(textOf(*m_job)).arg(leg());
}

QString StripPanel::problem() const {
    return m_problem->text();
}

QString StripPanel::state() const {
    return m_state->text();
}

void StripPanel::show(const std::optional<std::string>& job) {
    tellWhatIsTyped();
    if (job == m_job && m_job) {
        if (m_table->rowCount() != m_typed.size()) identify(); // they could not be read the last time
        showSides();
        enableActions();
        return;
    }
    m_strip->clear();
    m_job.reset(); // no job's rows stand here while this one's cannot be read
    fillLegs(1, 0);
    readLeg();
    const auto found = job ? inventory::JobBook(m_session.shop()).find(*job) : std::nullopt;
    m_job = job;
    if (found) fillLegs(found->first_leg, lastLeg(*found));
    readLeg();
}

void StripPanel::fillLegs(int first, int last) {
    const QSignalBlocker quiet(m_leg);
    m_leg->clear();
    for (int number = first; number <= last; ++number) m_leg->addItem(QString::number(number));
}

void StripPanel::readLeg() {
    m_typed.clear();
    m_entry->clear();
    m_problem->clear();
    m_written = false;
    if (m_job && m_leg->count() > 0) {
        const QString kept = m_settings.drafts().text(topic());
        if (!kept.isEmpty()) { // the last line is what was still being typed
            m_typed = kept.split(QLatin1Char('\n'));
            m_entry->setText(m_typed.takeLast());
        } else {
            readWritten();
        }
    }
    identify();
    showSides();
}

/// What cannot be read must not be taken for a leg of which nothing is written yet.
void StripPanel::readWritten() {
    std::vector<services::StripView> sheets;
    try {
        sheets = services::stripSheets(m_session.shop(), *m_job);
    } catch (...) {
        m_job.reset();
        identify();
        throw;
    }
    for (const services::StripView& sheet : sheets) {
        if (sheet.leg != leg()) continue;
        for (const services::StripLine& line : sheet.lines) {
            // A drawer that the program chose goes by what the row turns out to be, should it be changed.
            inventory::StripRow row = line.row;
            if (!line.drawer_named) row.bin.clear();
            m_typed << stripRowText(row);
        }
        m_written = !m_typed.isEmpty();
    }
}

std::vector<inventory::StripRow> StripPanel::rowsOf(const QStringList& typed) {
    std::vector<inventory::StripRow> result;
    for (const QString& row : typed) result.push_back(readStripRow(row));
    return result;
}

/// A row that the shop does not take, such as one of a part that went meanwhile, stands there as it was
/// typed; it does not take the others with it.
void StripPanel::identify() {
    m_table->setRowCount(0);
    if (m_job && !m_typed.isEmpty()) {
        const auto problem = problemOf([this] {
            std::vector<std::optional<services::StripLine>> lines;
            QString refused;
            try {
                for (auto& line : identified(m_typed)) lines.emplace_back(std::move(line));
            } catch (const InputError&) {
                for (const QString& typed : m_typed) {
                    lines.emplace_back();
                    try {
                        lines.back() = identified({typed}).at(0);
                    } catch (const InputError& unreadable) {
                        if (refused.isEmpty()) refused = QString::fromUtf8(unreadable.what());
                    }
                }
            }
            m_table->setRowCount(static_cast<int>(lines.size()));
            for (int row = 0; row < m_table->rowCount(); ++row) {
                const auto& line = lines[static_cast<std::size_t>(row)];
                line ? fillRow(row, *line) : fillRefused(row);
            }
            m_table->resizeColumnsToContents();
            m_table->scrollToBottom();
            if (!refused.isEmpty()) tell(refused);
        });
        if (problem) tell(*problem);
    }
    enableActions();
}

std::vector<services::StripLine> StripPanel::identified(const QStringList& typed) const {
    return services::identifyStrip(m_session.shop(), *m_job, leg(), rowsOf(typed)).lines;
}

void StripPanel::takeRow() {
    const QString typed = m_entry->text().trimmed();
    if (typed.isEmpty() || !m_job) {
        return;
    }
    m_strip->clear();
    QString kept;
    try {
        // Refused while it still stands in its field, where it can be put right.
        kept = stripInMillimetres(typed, sizeUnit());
        (void)identified({kept});
    } catch (const InputError& problem) {
        tell(QString::fromUtf8(problem.what()));
        return;
    } catch (const inventory::ShopFileFault&) { // the drawers cannot be asked: it is looked up later
    }
    m_problem->clear();
    m_typed << kept;
    m_written = false;
    m_entry->clear();
    keepDraft();
    identify();
}

void StripPanel::fetchBack(int row) {
    m_entry->setText(stripAsTyped(m_typed.takeAt(row), sizeUnit()));
    m_written = false;
    keepDraft();
    identify();
    m_entry->setFocus(Qt::OtherFocusReason);
}

int StripPanel::unknownRow() const {
    const auto unknown = [this](int row) {
        const QTableWidgetItem* item = row < 0 ? nullptr : m_table->item(row, part);
        return item != nullptr && item->data(Qt::UserRole).toBool();
    };
    if (unknown(m_table->currentRow())) return m_table->currentRow();
    for (int row = m_table->rowCount() - 1; row >= 0; --row) {
        if (unknown(row)) return row;
    }
    return -1;
}

std::optional<inventory::Part> StripPanel::partWanted() {
    m_row_of_part.reset();
    if (!m_job) return std::nullopt;
    inventory::Part wanted;
    wanted.kind = inventory::PartKind::shim;
    if (const auto job = inventory::JobBook(m_session.shop()).find(*m_job)) wanted.id = job->valve.shim_id;
    const bool typing = !m_entry->text().trimmed().isEmpty() && !m_table->hasFocus();
    if (!typing && unknownRow() >= 0) m_row_of_part = unknownRow();
    try {
        const inventory::StripRow row =
            m_row_of_part ? readStripRow(m_typed.at(*m_row_of_part))
                          : services::parseStripRow(m_entry->text().toStdString(), sizeUnit());
        wanted.od = row.od;
        wanted.thickness = inventory::meanReading(row);
    } catch (const InputError&) { // half a row: the bore is known at least
    }
    return wanted;
}

/// The row names the part from now on, so that a worn disc far from its nominal size is of it too.
void StripPanel::takePart(const QString& code) {
    const bool can_be_named = !code.contains(QLatin1Char(' ')) && !services::looksTyped(code.toStdString());
    const auto named = [&](const QString& text, SizeUnit bare) {
        if (!can_be_named) return text; // its sizes must tell
        try {
            inventory::StripRow row = services::parseStripRow(text.toStdString(), bare);
            row.part = code.toStdString();
            return textOf(services::stripRowText(row, bare));
        } catch (const InputError&) {
            return text;
        }
    };
    if (m_row_of_part && *m_row_of_part < m_typed.size()) {
        m_typed[*m_row_of_part] = named(m_typed[*m_row_of_part], SizeUnit::millimetres);
        m_written = false;
    } else {
        m_entry->setText(named(m_entry->text(), sizeUnit()));
    }
    m_problem->clear();
    keepDraft();
    identify();
    m_entry->setFocus(Qt::OtherFocusReason);
}

void StripPanel::nextLeg() {
    if (m_leg->count() > 0) {
        m_leg->setCurrentIndex((m_leg->currentIndex() + 1) % m_leg->count());
        m_entry->setFocus(Qt::OtherFocusReason);
    }
}

void StripPanel::writeDown() {
    if (!m_job || m_typed.isEmpty()) {
        return;
    }
    if (!m_entry->text().trimmed().isEmpty()) { // what stands in the field belongs to it
        takeRow();
        if (!m_problem->text().isEmpty()) {
            return;
        }
    }
    if (const auto problem =
            problemOf([&] { services::recordStrip(m_session.shop(), *m_job, leg(), rowsOf(m_typed)); })) {
        tell(*problem);
        return;
    }
    m_settings.drafts().keep(topic(), {});
    m_written = true;
    showDone(tr("Leg %1 of %2 is written down as found.").arg(leg()).arg(textOf(*m_job)));
    m_session.announceChange();
    enableActions();
}

void StripPanel::putAway() {
    if (!m_job) {
        return;
    }
    if (const auto problem = problemOf([&] { services::putAway(m_session.shop(), *m_job); })) {
        showProblem(*problem);
        return;
    }
    showDone(tr("The reclaimed discs of %1 are back in their drawers.").arg(textOf(*m_job)));
    m_session.announceChange();
}

void StripPanel::keepDraft() {
    if (!m_job || m_leg->count() == 0) {
        return;
    }
    const bool anything = !m_entry->text().isEmpty() || (!m_typed.isEmpty() && !m_written);
    m_settings.drafts().keep(
        topic(), anything ? (m_typed + QStringList{m_entry->text()}).join(QLatin1Char('\n')) : QString());
}

void StripPanel::enableActions() {
    m_entry->setEnabled(m_job.has_value() && m_leg->count() > 0);
    enable(ActionId::strip_next_leg, m_leg->count() > 1);
    enable(ActionId::strip_write, m_job && !m_typed.isEmpty() && !m_written);
    enable(ActionId::strip_put_away, m_job.has_value());
    tellState();
}

bool StripPanel::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) setType();
    return BenchStep::event(event);
}

/// Up in the empty field fetches the last row back; Return or Delete in the table do so with any row.
bool StripPanel::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() != QEvent::KeyPress) {
        return QWidget::eventFilter(watched, event);
    }
    const int key = static_cast<QKeyEvent*>(event)->key();
    if (watched == m_entry && key == Qt::Key_Up && m_entry->text().isEmpty() && !m_typed.isEmpty()) {
        guard(this, [this] { fetchBack(static_cast<int>(m_typed.size()) - 1); });
        return true;
    }
    const int row = m_table->currentRow();
    if (watched == m_table && row >= 0 && row < m_typed.size()) {
        if (key == Qt::Key_Return || key == Qt::Key_Enter) {
            guard(this, [this, row] { fetchBack(row); });
            return true;
        }
        if (key == Qt::Key_Delete) {
            guard(this, [this, row] {
                m_typed.removeAt(row);
                m_written = false;
                keepDraft();
                identify();
            });
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

} // namespace shimledger::desk
