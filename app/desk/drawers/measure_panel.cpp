// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/measure_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/length_text.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/state_mark.h"
#include "app/desk/table_manners.h"
#include "app/services/stock_flow.h"
#include "app/services/wanted_part.h"
#include "inventory/inventory_error.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScopedValueRollback>
#include <QSpinBox>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

const QString topic = QStringLiteral("measured");
constexpr std::size_t most_matches = 8;

/// The sizes in which any match is off, in the order in which they are spoken.
std::vector<std::string> sizesThatDiffer(const std::vector<services::PartMatch>& matches) {
    std::vector<std::string> nouns;
    for (const services::PartMatch& match : matches) {
        for (const services::SizeDifference& size : match.sizes) {
            if (size.difference() != Length() && std::ranges::find(nouns, size.noun) == nouns.end()) {
                nouns.push_back(size.noun);
            }
        }
    }
    return nouns;
}

QString headOf(const std::string& noun) {
    QString head = noun == "outer diameter"   ? MeasurePanel::tr("OD")
                   : noun == "inner diameter" ? MeasurePanel::tr("ID")
                                              : textOf(noun);
    head.replace(0, 1, head.at(0).toUpper());
    return MeasurePanel::tr("%1 off (mm)").arg(head);
}

/// "-0.002"; empty where the match has no such size.
QString offText(const services::PartMatch& match, const std::string& noun) {
    for (const services::SizeDifference& size : match.sizes) {
        if (size.noun == noun) {
            const Length off = size.difference();
            const QString sign = off > Length() ? QStringLiteral("+") : QString();
            return sign + textOf(off.text(noun == "thickness" ? 3 : 2));
        }
    }
    return {};
}

bool oneKind(const std::vector<services::PartMatch>& matches) {
    return std::ranges::all_of(matches, [&](const auto& match) { return match.kind == matches[0].kind; });
}

} // namespace

MeasurePanel::MeasurePanel(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_settings(settings), m_field(new QLineEdit), m_remark(new QLabel),
      m_matches(new QTableWidget(0, first_off)), m_quantity(new QSpinBox), m_bin(new QLineEdit),
      m_put_away(new QPushButton(tr("Put awa&y as used"))) {
    m_field->setAccessibleName(tr("Measured sizes"));
    m_field->setMinimumHeight(m_field->fontMetrics().height() + 16);
    m_remark->setWordWrap(true);
    m_remark->setTextFormat(Qt::PlainText);
    m_matches->setAccessibleName(tr("Parts of this size, the nearest first"));
    dressTable(*m_matches);
    m_quantity->setRange(1, 1000);
    m_quantity->setAccessibleName(tr("How many are put away"));
    m_bin->setPlaceholderText(tr("bin"));
    m_bin->setAccessibleName(tr("Bin that they go into"));
    auto* row = new QHBoxLayout;
    row->addWidget(new QLabel(tr("Reclaimed:")));
    row->addWidget(m_quantity);
    row->addWidget(new QLabel(tr("into")));
    row->addWidget(m_bin);
    row->addWidget(m_put_away);
    auto* layout = new QVBoxLayout(this);
    auto* caption = new QLabel(tr("As meas&ured; Return looks it up"));
    caption->setBuddy(m_field);
    layout->addWidget(caption);
    layout->addWidget(m_field);
    layout->addWidget(m_remark);
    layout->addWidget(m_matches, 1);
    layout->addLayout(row);
    setFocusProxy(m_field);
    tellUnit();
    m_put_away->setEnabled(false);
    m_put_away->setToolTip(tr("Books them into that bin as used. The reading itself is not kept."));
    guarded(m_field, &QLineEdit::returnPressed, this, [this] {
        search();
        if (m_matches->rowCount() > 0) {
            m_matches->setFocus(Qt::OtherFocusReason);
        }
    });
    guarded(m_field, &QLineEdit::textEdited, this, &MeasurePanel::keepDraft);
    guarded(m_bin, &QLineEdit::textEdited, this, &MeasurePanel::keepDraft);
    guarded(m_quantity, &QSpinBox::valueChanged, this, &MeasurePanel::keepDraft);
    guarded(m_matches->selectionModel(), &QItemSelectionModel::currentRowChanged, this,
            &MeasurePanel::matchPicked);
    guarded(m_bin, &QLineEdit::returnPressed, this, &MeasurePanel::putAway);
    guarded(m_put_away, &QPushButton::clicked, this, &MeasurePanel::putAway);
}

QString MeasurePanel::remark() const {
    return m_remark->text();
}

/// Sizes, pieces, drawer, and the part that was picked among the matches.
void MeasurePanel::keepDraft() {
    if (m_filling) {
        return;
    }
    const int row = m_matches->currentRow();
    const QTableWidgetItem* picked = row >= 0 ? m_matches->item(row, part) : nullptr;
    const bool anything = !m_field->text().isEmpty();
    m_settings.drafts().keep(topic, anything ? QStringList{m_field->text(), m_quantity->text(), m_bin->text(),
                                                           picked != nullptr ? picked->text() : QString()}
                                                   .join(QLatin1Char('\n'))
                                             : QString());
}

void MeasurePanel::readDraft() {
    const QScopedValueRollback filling(m_filling, true);
    m_matches->setRowCount(0);
    m_remark->clear();
    const QStringList kept = m_settings.drafts().text(topic).split(QLatin1Char('\n'));
    const bool whole = kept.size() == 4;
    m_field->setText(whole ? kept[0] : QString());
    if (whole && !kept[3].isEmpty()) {
        search();
        const auto found = m_matches->findItems(kept[3], Qt::MatchExactly);
        if (!found.isEmpty()) {
            m_matches->selectRow(found.constFirst()->row());
        }
    }
    m_quantity->setValue(whole ? kept[1].toInt() : 1);
    m_bin->setText(whole ? kept[2] : QString());
}

void MeasurePanel::tellUnit() {
    const bool inches = m_settings.choices().size_unit == SizeUnit::inches;
    m_field->setPlaceholderText(inches ? tr("0.94 x 0.236 x 0.0058, oil seal 1.89 2.323 0.433; mm as 24 mm")
                                       : tr("23.9 x 6 x 0.148, oil seal 48 59 11, 18.6 x 3.5 oring"));
    m_field->setToolTip(tr("In %1").arg(typingHelp(m_settings.choices().size_unit)));
}

std::optional<inventory::Part> MeasurePanel::partWanted() {
    return services::wantedPart(m_field->text().toStdString(), inventory::PartKind::shim,
                                m_settings.choices().size_unit);
}

/// Looked up anew, with the new part picked: nominal and measured size may be far from each other.
void MeasurePanel::takePart(const QString& code) {
    search();
    const auto found = m_matches->findItems(code, Qt::MatchExactly);
    if (!found.isEmpty()) m_matches->selectRow(found.constFirst()->row());
    m_field->setFocus(Qt::OtherFocusReason);
}

void MeasurePanel::search() {
    tellUnit();
    m_matches->setRowCount(0);
    m_put_away->setEnabled(false);
    try {
        m_found = services::findParts(m_session.shop(), m_field->text().toStdString(), most_matches,
                                      m_settings.choices().size_unit);
    } catch (const InputError& problem) {
        m_remark->setText(withProblemMark(QString::fromUtf8(problem.what())));
        return;
    } catch (const inventory::ShopFileFault& fault) {
        m_remark->setText(QString::fromUtf8(fault.what()));
        return;
    }
    m_remark->setText(textOf(m_found.verdict));
    fillMatches();
    if (m_matches->rowCount() > 0) {
        m_matches->selectRow(0);
    }
}

/// What one measures for comes right behind what it is.
void MeasurePanel::fillMatches() {
    const std::vector<std::string> sizes = sizesThatDiffer(m_found.matches);
    m_matches->setColumnCount(0); // so that the columns stand in their own order again
    m_matches->setColumnCount(first_off + static_cast<int>(sizes.size()));
    QStringList heads{tr("Part"), tr("Available"), tr("Bins"), tr("Code")};
    for (const std::string& noun : sizes) {
        heads << headOf(noun);
    }
    m_matches->setHorizontalHeaderLabels(heads);
    for (int column = first_off; column < heads.size(); ++column) {
        m_matches->horizontalHeader()->moveSection(column, column - first_off + 1);
    }
    const bool one_kind = oneKind(m_found.matches);
    m_matches->setRowCount(static_cast<int>(m_found.matches.size()));
    for (int row = 0; row < m_matches->rowCount(); ++row) {
        const services::PartMatch& match = m_found.matches[static_cast<std::size_t>(row)];
        QString name = textOf(one_kind && !match.size_text.empty() ? match.size_text : match.what);
        if (!match.standard.empty()) {
            name += QStringLiteral(", ") + textOf(match.standard);
        }
        QStringList cells{name, QString::number(match.available), textOf(match.bins), textOf(match.part)};
        for (const std::string& noun : sizes) {
            cells << offText(match, noun);
        }
        for (int column = 0; column < cells.size(); ++column) {
            auto* item = new QTableWidgetItem(cells[column]);
            if (column == available || column >= first_off) {
                item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
                m_matches->horizontalHeaderItem(column)->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
            }
            if (!match.within_tolerance) {
                item->setForeground(DeskColours::of(palette()).quiet);
            }
            m_matches->setItem(row, column, item);
        }
        QTableWidgetItem& part_item = *m_matches->item(row, what);
        part_item.setIcon(
            stateMarkIcon(match.within_tolerance ? StateMark::good : StateMark::none, palette()));
        part_item.setToolTip(match.within_tolerance ? tr("Within what the measuring may be off by.")
                                                    : tr("Too far off to be of this size."));
    }
    m_matches->resizeColumnsToContents();
    // Said anew, as the columns that were moved have made another one the last.
    m_matches->horizontalHeader()->setStretchLastSection(false);
    m_matches->horizontalHeader()->setStretchLastSection(true);
}

void MeasurePanel::matchPicked() {
    const int row = m_matches->currentRow();
    if (row < 0 || row >= static_cast<int>(m_found.matches.size())) {
        return;
    }
    const services::PartMatch& match = m_found.matches[static_cast<std::size_t>(row)];
    m_put_away->setEnabled(!match.part.empty());
    m_bin->setText(
        textOf(match.bins).section(QStringLiteral(", "), -1)); // used discs lie in the last of them
    keepDraft();
    if (!match.part.empty() && !m_filling) {
        emit partPicked(textOf(match.part), textOf(match.bins).section(QStringLiteral(", "), 0, 0));
    }
}

void MeasurePanel::putAway() {
    const int row = m_matches->currentRow();
    if (!m_put_away->isEnabled() || row < 0) {
        return;
    }
    services::PieceMove move;
    move.part = m_found.matches.at(static_cast<std::size_t>(row)).part;
    move.bin = m_bin->text().toStdString();
    move.quantity = m_quantity->value();
    move.condition = inventory::Condition::used;
    move.reason = "reclaimed, put away by measuring";
    try {
        const services::FlowStep step = services::returnPieces(m_session.shop(), move);
        m_settings.drafts().keep(topic, {});
        m_session.announceChange();
        emit done(step.sentences.empty() ? tr("Put away.") : textOf(step.sentences.front()));
        m_field->selectAll();
        m_field->setFocus(Qt::OtherFocusReason); // the next disc
    } catch (const InputError& problem) {
        m_remark->setText(withProblemMark(QString::fromUtf8(problem.what())));
    } catch (const inventory::ShopFileFault& fault) {
        m_remark->setText(QString::fromUtf8(fault.what()));
    }
}

} // namespace shimledger::desk
