// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/own_data/own_data_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/find_words.h"
#include "app/desk/guard.h"
#include "app/desk/kept_fields.h"
#include "app/desk/length_text.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"

#include <QCheckBox>
#include <QComboBox>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QRegularExpression>
#include <QScrollArea>
#include <QSignalBlocker>
#include <QSplitter>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr QLatin1String new_record("a new one");

QString capital(const std::string& text) {
    QString words = textOf(text);
    if (!words.isEmpty()) words[0] = words[0].toUpper();
    return words;
}

} // namespace

OwnDataPanel::OwnDataPanel(services::OwnDataKind kind, ShopSession& session, AppSettings& settings,
                           QWidget* parent)
    : QWidget(parent), m_kind(std::move(kind)), m_session(session), m_settings(settings),
      m_find(new QLineEdit), m_retired_too(new QCheckBox(tr("R&etired too"))), m_list(new QTableWidget),
      m_title(new QLabel), m_new(new QPushButton(tr("&New %1").arg(textOf(m_kind.one)))),
      m_save(new QPushButton(tr("&Save"))), m_retire(new QPushButton(tr("Re&tire"))),
      m_history(new QListWidget) {
    layOut();
    guarded(m_find, &QLineEdit::textChanged, this, &OwnDataPanel::narrow);
    guarded(m_retired_too, &QCheckBox::toggled, this, &OwnDataPanel::fillList);
    guarded(m_list, &QTableWidget::currentCellChanged, this, [this](int row, int, int before) {
        if (!m_filling && row != before) pick(row);
    });
    guarded(m_new, &QPushButton::clicked, this, &OwnDataPanel::beginNew);
    guarded(m_save, &QPushButton::clicked, this, &OwnDataPanel::save);
    guarded(m_retire, &QPushButton::clicked, this, &OwnDataPanel::retireOrBringBack);
}

void OwnDataPanel::layOut() {
    m_find->setPlaceholderText(tr("Find: code, size or word"));
    m_find->setClearButtonEnabled(true);
    m_find->setAccessibleName(tr("Find among the %1").arg(textOf(m_kind.name)));
    QStringList headings;
    for (const std::size_t field : m_kind.listed) headings << capital(m_kind.fields[field].noun);
    headings << QString();
    m_list->setColumnCount(static_cast<int>(headings.size()));
    m_list->setHorizontalHeaderLabels(headings);
    m_list->setAccessibleName(capital(m_kind.name));
    m_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    dressTable(*m_list);
    m_retired_too->setVisible(m_kind.can_retire);
    m_retire->setVisible(m_kind.can_retire);
    m_history->setAccessibleName(tr("What was changed"));
    m_history->setWordWrap(true);
    m_history->setMaximumHeight(110);
    m_title->setTextFormat(Qt::PlainText);
    QFont bold = m_title->font();
    bold.setBold(true);
    m_title->setFont(bold);

    auto* top = new QHBoxLayout;
    top->addWidget(m_find, 1);
    top->addWidget(m_retired_too);
    auto* left = new QWidget;
    auto* left_layout = new QVBoxLayout(left);
    left_layout->setContentsMargins(0, 0, 0, 0);
    left_layout->addLayout(top);
    left_layout->addWidget(m_list, 1);

    auto* form_widget = new QWidget;
    m_form = new QFormLayout(form_widget);
    m_form->setRowWrapPolicy(QFormLayout::WrapLongRows);
    for (const services::OwnDataField& field : m_kind.fields) {
        QWidget* widget = makeField(field);
        auto* caption = new QLabel(capital(field.noun) + (field.needed ? QStringLiteral(" *") : QString()));
        caption->setBuddy(widget);
        m_form->addRow(caption, widget);
        m_fields.push_back({widget});
    }
    auto* area = new QScrollArea;
    area->setWidget(form_widget);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setFocusPolicy(Qt::NoFocus);
    auto* buttons = new QHBoxLayout;
    for (QPushButton* button : {m_new, m_save, m_retire}) {
        button->setAutoDefault(false);
        buttons->addWidget(button);
    }
    m_save->setToolTip(tr("Saves what is typed (Ctrl+Return)"));
    buttons->addStretch();
    auto* right = new QWidget;
    auto* right_layout = new QVBoxLayout(right);
    right_layout->setContentsMargins(0, 0, 0, 0);
    right_layout->addWidget(m_title);
    right_layout->addWidget(area, 1);
    right_layout->addLayout(buttons);
    right_layout->addWidget(new QLabel(tr("What was changed before")));
    right_layout->addWidget(m_history);
    auto* columns = new QSplitter(Qt::Horizontal);
    columns->setChildrenCollapsible(false);
    columns->addWidget(left);
    columns->addWidget(right);
    columns->setSizes({620, 480});
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(columns, 1);
    setFocusProxy(m_find);
}

void OwnDataPanel::keyPressEvent(QKeyEvent* event) {
    guard(this, [&] {
        const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
        if (enter && event->modifiers().testFlag(Qt::ControlModifier))
            save();
        else
            QWidget::keyPressEvent(event);
    });
}

QWidget* OwnDataPanel::makeField(const services::OwnDataField& field) {
    QWidget* widget = nullptr;
    if (!field.choices.empty()) {
        auto* box = new QComboBox;
        for (const std::string& choice : field.choices) box->addItem(textOf(choice));
        guarded(box, &QComboBox::currentIndexChanged, this, &OwnDataPanel::typed);
        widget = box;
    } else if (field.several) {
        auto* lines = new QPlainTextEdit;
        lines->setTabChangesFocus(true);
        lines->setPlaceholderText(textOf(field.help));
        lines->setMinimumHeight(80);
        guarded(lines, &QPlainTextEdit::textChanged, this, &OwnDataPanel::typed);
        widget = lines;
    } else {
        auto* line = new QLineEdit;
        line->setPlaceholderText(textOf(field.help));
        guarded(line, &QLineEdit::textChanged, this, &OwnDataPanel::typed);
        widget = line;
    }
    widget->setAccessibleName(capital(field.noun));
    widget->setToolTip(textOf(field.help));
    return widget;
}

QWidget* OwnDataPanel::field(const QString& name) const {
    for (std::size_t i = 0; i < m_kind.fields.size(); ++i) {
        if (textOf(m_kind.fields[i].name) == name) return m_fields[i].widget;
    }
    return nullptr;
}

QString OwnDataPanel::fieldText(const QString& name) const {
    const std::vector<std::string> now = texts();
    for (std::size_t i = 0; i < m_kind.fields.size(); ++i) {
        if (textOf(m_kind.fields[i].name) == name) return textOf(now[i]);
    }
    return {};
}

void OwnDataPanel::setField(const QString& name, const QString& text) {
    std::vector<std::string> now = texts();
    for (std::size_t i = 0; i < m_kind.fields.size(); ++i) {
        if (textOf(m_kind.fields[i].name) == name) now[i] = text.toStdString();
    }
    setTexts(now);
    typed();
}

std::string OwnDataPanel::shownBy(const QWidget* widget) {
    if (const auto* box = qobject_cast<const QComboBox*>(widget)) return box->currentText().toStdString();
    if (const auto* lines = qobject_cast<const QPlainTextEdit*>(widget))
        return lines->toPlainText().toStdString();
    return qobject_cast<const QLineEdit*>(widget)->text().toStdString();
}

std::vector<std::string> OwnDataPanel::texts() const {
    std::vector<std::string> texts;
    for (const Field& field : m_fields) {
        std::string shown = shownBy(field.widget);
        texts.push_back(shown == field.shown ? field.given : std::move(shown));
    }
    return texts;
}

void OwnDataPanel::setTexts(const std::vector<std::string>& texts) {
    m_filling = true;
    for (std::size_t i = 0; i < m_fields.size(); ++i) {
        const QString text = textOf(texts[i]);
        if (auto* box = qobject_cast<QComboBox*>(m_fields[i].widget))
            box->setCurrentIndex(std::max(0, box->findText(text)));
        else if (auto* lines = qobject_cast<QPlainTextEdit*>(m_fields[i].widget))
            lines->setPlainText(text);
        else if (auto* line = qobject_cast<QLineEdit*>(m_fields[i].widget))
            line->setText(text);
        m_fields[i].given = texts[i];
        m_fields[i].shown = shownBy(m_fields[i].widget);
    }
    m_filling = false;
}

QString OwnDataPanel::keyOf(const services::OwnDataRecord& record) const {
    QStringList codes;
    for (std::size_t i = 0; i < m_kind.fields.size(); ++i) {
        if (m_kind.fields[i].is_code) codes << textOf(record.texts[i]);
    }
    return codes.join(QLatin1Char('\n'));
}

QString OwnDataPanel::topic() const {
    return QStringLiteral("own data/%1/%2")
        .arg(textOf(m_kind.name), m_seen ? keyOf(*m_seen) : QString(new_record));
}

void OwnDataPanel::reload() {
    m_stale = true;
    if (isVisible()) read();
}

void OwnDataPanel::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    guard(this, [this] {
        if (m_stale) read();
    });
}

void OwnDataPanel::read() {
    m_stale = false;
    std::vector<services::OwnDataRecord> records = m_kind.list(m_session.shop());
    const bool first = !std::exchange(m_begun, true);
    if (records == m_records && !first) return; // stock moves all the time, what is said of it does not
    m_records = std::move(records);
    fillList();
    if (first) {
        if (m_list->rowCount() > 0 && m_settings.drafts().text(topic()).isEmpty())
            m_list->selectRow(0);
        else
            beginNew();
        return;
    }
    // What is typed stays; what nobody has touched follows the shop.
    if (m_seen && texts() == m_seen->texts) {
        m_seen = m_kind.again(m_session.shop(), *m_seen);
        showRecord();
    }
}

void OwnDataPanel::fillList() {
    m_filling = true;
    m_list->setRowCount(0);
    const bool retired = m_retired_too->isChecked();
    const auto shown = [&](const services::OwnDataRecord& record) { return retired || !record.retired; };
    m_list->setRowCount(static_cast<int>(std::count_if(m_records.begin(), m_records.end(), shown)));
    int row = -1;
    for (std::size_t i = 0; i < m_records.size(); ++i) {
        const services::OwnDataRecord& record = m_records[i];
        if (!shown(record)) continue;
        ++row;
        int column = 0;
        for (const std::size_t field : m_kind.listed) {
            auto* item = new QTableWidgetItem(textOf(record.texts[field]));
            item->setData(Qt::UserRole, static_cast<int>(i));
            m_list->setItem(row, column++, item);
        }
        m_list->setItem(row, column, new QTableWidgetItem(record.retired ? tr("retired") : QString()));
    }
    m_list->resizeColumnsToContents();
    m_filling = false;
    narrow();
    if (m_seen) selectKey(keyOf(*m_seen));
}

void OwnDataPanel::narrow() {
    // What stands in the list is what is found: where that is inches, their sign says nothing more.
    static const QRegularExpression sign(QStringLiteral("(?<=[0-9])\\s*(in|inch|\")(?![A-Za-z])"));
    QString typed = m_find->text();
    if (m_settings.choices().size_unit == SizeUnit::inches) typed.remove(sign);
    const FindWords words(typed);
    std::vector<FindFit> fits;
    for (int row = 0; row < m_list->rowCount(); ++row) {
        QString text;
        for (int column = 0; column < m_list->columnCount(); ++column) {
            const QTableWidgetItem* item = m_list->item(row, column);
            text += (item == nullptr ? QString() : item->text()) + QLatin1Char(' ');
        }
        fits.push_back(words.fit(FindKey(text)));
    }
    const std::vector<bool> shown = shownOf(fits);
    for (int row = 0; row < m_list->rowCount(); ++row) {
        const bool is_shown = shown[static_cast<std::size_t>(row)];
        if (m_list->isRowHidden(row) == is_shown) m_list->setRowHidden(row, !is_shown);
    }
}

void OwnDataPanel::selectKey(const QString& key) {
    m_filling = true;
    for (int row = 0; row < m_list->rowCount(); ++row) {
        const auto place = static_cast<std::size_t>(m_list->item(row, 0)->data(Qt::UserRole).toInt());
        if (keyOf(m_records[place]) == key) m_list->selectRow(row);
    }
    m_filling = false;
}

void OwnDataPanel::pick(int row) {
    if (row < 0 || m_list->item(row, 0) == nullptr) return;
    m_seen = m_records[static_cast<std::size_t>(m_list->item(row, 0)->data(Qt::UserRole).toInt())];
    showRecord();
}

void OwnDataPanel::beginNew() {
    m_filling = true;
    m_list->clearSelection();
    m_list->setCurrentCell(-1, -1);
    m_filling = false;
    m_seen.reset();
    showRecord();
    for (std::size_t i = 0; i < m_fields.size(); ++i) {
        if (m_fields[i].widget->isEnabled() && m_fields[i].widget->isVisibleTo(this)) {
            m_fields[i].widget->setFocus();
            break;
        }
    }
}

/// The record in hand, or a blank form, with what was typed into it before.
void OwnDataPanel::showRecord() {
    std::vector<std::string> shown = m_seen ? m_seen->texts : m_kind.blank.texts;
    const QVariantMap draft = readChanges(m_settings.drafts().text(topic()));
    for (std::size_t i = 0; i < m_kind.fields.size(); ++i) {
        const auto typed = draft.find(textOf(m_kind.fields[i].name));
        if (typed != draft.end()) shown[i] = typed->toString().toStdString();
    }
    setTexts(shown);
    for (std::size_t i = 0; i < m_fields.size(); ++i)
        m_fields[i].widget->setEnabled(!m_seen || !m_kind.fields[i].is_code);
    m_retire->setText(m_seen && m_seen->retired ? tr("Bring &back") : tr("Re&tire"));
    m_retire->setEnabled(m_seen.has_value());
    m_history->clear();
    if (m_seen) {
        for (const std::string& sentence : m_kind.history(m_session.shop(), *m_seen))
            m_history->addItem(textOf(sentence));
    }
    typed();
}

/// Which fields mean something, and how far the entry is.
void OwnDataPanel::typed() {
    if (m_filling) return;
    const std::vector<std::string> now = texts();
    const std::vector<bool> shown = m_kind.shown({now, false});
    for (std::size_t i = 0; i < m_fields.size(); ++i) m_form->setRowVisible(m_fields[i].widget, shown[i]);
    const std::vector<std::string>& before = m_seen ? m_seen->texts : m_kind.blank.texts;
    QVariantMap old_texts, new_texts;
    for (std::size_t i = 0; i < now.size(); ++i) {
        old_texts[textOf(m_kind.fields[i].name)] = textOf(before[i]);
        new_texts[textOf(m_kind.fields[i].name)] = textOf(now[i]);
    }
    const bool changed = now != before;
    m_settings.drafts().keep(topic(), changed ? changesText(old_texts, new_texts) : QString());
    const QString name = m_seen ? QString(keyOf(*m_seen)).replace(QLatin1Char('\n'), QLatin1String(", "))
                                : tr("a new %1").arg(textOf(m_kind.one));
    m_title->setText(changed ? tr("%1 (typed, not saved)").arg(name) : name);
    m_save->setEnabled(changed);
}

void OwnDataPanel::save() {
    if (!m_save->isEnabled()) return;
    const services::OwnDataRecord now{texts(), m_seen && m_seen->retired};
    QString sentence;
    const auto problem = problemOf([&] {
        if (m_seen) {
            QStringList sentences;
            for (const std::string& change : m_kind.change(m_session.shop(), *m_seen, now))
                sentences << textOf(change);
            sentence = sentences.isEmpty() ? tr("It is so already: nothing was changed.")
                                           : sentences.join(QLatin1Char(' '));
        } else {
            sentence = textOf(m_kind.add(m_session.shop(), now));
        }
    });
    if (problem) {
        emit failed(*problem);
        return;
    }
    m_settings.drafts().keep(topic(), {});
    if (m_seen) m_seen = m_kind.again(m_session.shop(), now);
    setTexts(m_seen ? m_seen->texts : m_kind.blank.texts);
    m_session.announceChange();
    if (m_seen)
        showRecord();
    else
        beginNew(); // the next one
    emit done(sentence);
}

void OwnDataPanel::retireOrBringBack() {
    if (!m_seen) return;
    QString sentence;
    const auto problem =
        problemOf([&] { sentence = textOf(m_kind.retire(m_session.shop(), *m_seen, !m_seen->retired)); });
    if (problem) {
        emit failed(*problem);
        return;
    }
    m_seen = m_kind.again(m_session.shop(), *m_seen);
    m_session.announceChange();
    showRecord();
    emit done(sentence);
}

} // namespace shimledger::desk
