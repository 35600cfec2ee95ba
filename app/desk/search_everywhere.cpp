// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/search_everywhere.h"

#include "app/desk/guard.h"
#include "app/desk/two_column_delegate.h"

#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr std::size_t most_shown = 60; // more are not read, they are narrowed down

} // namespace

SearchEverywhere::SearchEverywhere(QWidget* parent)
    : QDialog(parent), m_field(new QLineEdit), m_list(new QListWidget), m_found(new QLabel) {
    setWindowTitle(tr("Search everywhere"));
    setModal(true);
    m_field->setPlaceholderText(tr("A job, a size, a bin, a part, or something to do"));
    m_field->setAccessibleName(tr("Search everywhere"));
    m_field->installEventFilter(this);
    m_list->setAccessibleName(tr("What was found"));
    m_list->setAlternatingRowColors(true);
    m_list->setItemDelegate(new TwoColumnDelegate(this));
    m_list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff); // what is too long is elided
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_field);
    layout->addWidget(m_list, 1);
    layout->addWidget(m_found);
    guarded(m_field, &QLineEdit::textChanged, this, &SearchEverywhere::narrow);
    guarded(m_list, &QListWidget::itemActivated, this, &SearchEverywhere::goToPicked);
}

void SearchEverywhere::ask(std::vector<SearchHit> hits, services::SizeUnit bare) {
    m_bare = bare;
    m_field->clear();
    setHits(std::move(hits));
    m_field->setFocus();
    const QFontMetrics metrics = fontMetrics(); // as large as the text is now
    const QSize room = parentWidget() != nullptr ? parentWidget()->size() : QSize(1280, 800);
    resize(QSize(100 * metrics.averageCharWidth(), 24 * metrics.height()).boundedTo(room * 0.9));
    open();
}

void SearchEverywhere::setHits(std::vector<SearchHit> hits) {
    m_hits = std::move(hits);
    for (SearchHit& hit : m_hits) {
        if (hit.key.isEmpty()) {
            hit.key = FindKey(hit.text + QLatin1Char(' ') + hit.detail);
        }
    }
    narrow();
}

void SearchEverywhere::narrow() {
    const FindWords words(m_field->text(), m_bare);
    std::vector<FindFit> fits;
    fits.reserve(m_hits.size());
    for (const SearchHit& hit : m_hits) {
        fits.push_back(words.fit(hit.key));
    }
    const std::vector<bool> found = shownOf(fits);
    m_shown.clear();
    for (std::size_t i = 0; i < m_hits.size(); ++i) {
        if (found[i]) {
            m_shown.push_back(i);
        }
    }
    const std::size_t all = m_shown.size();
    std::ranges::stable_sort(m_shown, {}, [&fits](std::size_t hit) { return fits[hit].rank; });
    m_shown.resize(std::min(all, most_shown));
    m_list->clear();
    for (const std::size_t hit : m_shown) {
        const QString& text = m_hits[hit].text;
        const QString& detail = m_hits[hit].detail;
        auto* item = new QListWidgetItem(tr("%1, %2").arg(text, detail), m_list);
        item->setData(TwoColumnDelegate::what_role, text);
        item->setData(TwoColumnDelegate::where_role, detail);
    }
    m_list->setCurrentRow(m_shown.empty() ? -1 : 0);
    m_found->setText(all > most_shown
                         ? tr("The first %1 of %2. Up and Down pick, Return goes there, Esc closes.")
                               .arg(most_shown)
                               .arg(all)
                         : tr("Up and Down pick, Return goes there, Esc closes."));
}

void SearchEverywhere::goToPicked() {
    const int row = m_list->currentRow();
    if (row < 0) {
        return;
    }
    const auto go = m_hits.at(m_shown.at(static_cast<std::size_t>(row))).go;
    accept();
    go();
}

bool SearchEverywhere::eventFilter(QObject* watched, QEvent* event) {
    if (watched != m_field || event->type() != QEvent::KeyPress) {
        return QDialog::eventFilter(watched, event);
    }
    const int key = static_cast<QKeyEvent*>(event)->key();
    const int row = m_list->currentRow();
    switch (key) {
    case Qt::Key_Down:
        m_list->setCurrentRow(std::min(row + 1, m_list->count() - 1));
        return true;
    case Qt::Key_Up:
        m_list->setCurrentRow(std::max(row - 1, 0));
        return true;
    case Qt::Key_Return:
    case Qt::Key_Enter:
        guard(this, [this] { goToPicked(); });
        return true;
    default:
        return QDialog::eventFilter(watched, event);
    }
}

} // namespace shimledger::desk
