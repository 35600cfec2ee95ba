#include "app/desk/search_everywhere.h"

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
    : QDialog(parent), m_field(new QLineEdit), m_list(new QListWidget) {
    setWindowTitle(tr("Search everywhere"));
    setModal(true);
    m_field->setPlaceholderText(tr("A job, a size, a drawer, a part, or something to do"));
    m_field->setAccessibleName(tr("Search everywhere"));
    m_field->installEventFilter(this);
    m_list->setAccessibleName(tr("What was found"));
    m_list->setAlternatingRowColors(true);
    auto* keys = new QLabel(tr("Up and Down pick, Return goes there, Esc closes."));
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_field);
    layout->addWidget(m_list, 1);
    layout->addWidget(keys);
    resize(620, 420);
    connect(m_field, &QLineEdit::textChanged, this, &SearchEverywhere::narrow);
    connect(m_list, &QListWidget::itemActivated, this, &SearchEverywhere::goToPicked);
}

void SearchEverywhere::ask(std::vector<SearchHit> hits) {
    m_field->clear();
    setHits(std::move(hits));
    m_field->setFocus();
    open();
}

void SearchEverywhere::setHits(std::vector<SearchHit> hits) {
    m_hits = std::move(hits);
    m_keys.clear();
    for (const SearchHit& hit : m_hits) {
        m_keys.push_back((hit.text + QLatin1Char(' ') + hit.detail).toLower());
    }
    narrow();
}

void SearchEverywhere::narrow() {
    QStringList words = m_field->text().toLower().split(QLatin1Char(' '), Qt::SkipEmptyParts);
    for (QString& word : words) { // a decimal comma is what some keyboards give
        if (word.at(0).isDigit()) {
            word.replace(QLatin1Char(','), QLatin1Char('.'));
        }
    }
    m_list->clear();
    m_shown.clear();
    for (std::size_t i = 0; i < m_hits.size() && m_shown.size() < most_shown; ++i) {
        const bool fits =
            std::ranges::all_of(words, [this, i](const QString& word) { return m_keys[i].contains(word); });
        if (fits) {
            m_shown.push_back(i);
            m_list->addItem(tr("%1   (%2)").arg(m_hits[i].text, m_hits[i].detail));
        }
    }
    m_list->setCurrentRow(m_shown.empty() ? -1 : 0);
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
        goToPicked();
        return true;
    default:
        return QDialog::eventFilter(watched, event);
    }
}

} // namespace shimledger::desk
