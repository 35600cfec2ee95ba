// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/own_data.h"
#endif

#include <QString>
#include <QWidget>

#include <optional>
#include <vector>

class QCheckBox;
class QFormLayout;
class QLabel;
class QLineEdit;
class QListWidget;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class ShopSession;

/// All parts (or drawers, suppliers ...) as a list, and the one that is picked as a form: made new, changed,
/// retired, with what was changed before. What was typed and not saved is kept, by record.
class OwnDataPanel : public QWidget {
    Q_OBJECT

public:
    OwnDataPanel(services::OwnDataKind kind, ShopSession& session, AppSettings& settings,
                 QWidget* parent = nullptr);

    void reload(); ///< the shop has changed: it is read again when the list is looked at; what is typed stays
    void beginNew();
    void save();
    void retireOrBringBack();

    [[nodiscard]] QLineEdit* find() const { return m_find; }
    [[nodiscard]] QTableWidget* list() const { return m_list; }
    [[nodiscard]] QWidget* field(const QString& name) const; ///< by the field's name; null: there is none
    void setField(const QString& name, const QString& text);
    [[nodiscard]] QString fieldText(const QString& name) const;
    [[nodiscard]] QPushButton* saveButton() const { return m_save; }
    [[nodiscard]] QPushButton* retireButton() const { return m_retire; }
    [[nodiscard]] QPushButton* newButton() const { return m_new; }
    [[nodiscard]] QListWidget* history() const { return m_history; }
    [[nodiscard]] QCheckBox* retiredToo() const { return m_retired_too; }

signals:
    void done(const QString& sentence);
    void failed(const QString& sentence);

protected:
    void keyPressEvent(QKeyEvent* event) override; ///< Ctrl+Return saves
    void showEvent(QShowEvent* event) override;

private:
    struct Field {
        QWidget* widget = nullptr;
        /// What it was given to show, and what it says then: a line does not show breaks, and must not take
        /// them away.
        std::string given{}, shown{};
    };
    [[nodiscard]] static std::string shownBy(const QWidget* widget);
    void layOut();
    [[nodiscard]] QWidget* makeField(const services::OwnDataField& field);
    void read();
    void pick(int row);
    void showRecord();
    void fillList();
    void narrow();
    void typed();
    [[nodiscard]] std::vector<std::string> texts() const;
    void setTexts(const std::vector<std::string>& texts);
    [[nodiscard]] QString keyOf(const services::OwnDataRecord& record) const;
    [[nodiscard]] QString topic() const; ///< of the draft
    void selectKey(const QString& key);

    services::OwnDataKind m_kind;
    ShopSession& m_session;
    AppSettings& m_settings;
    std::vector<services::OwnDataRecord> m_records;
    std::optional<services::OwnDataRecord> m_seen; ///< the one in hand; none: a new one
    bool m_filling = false;
    bool m_begun = false; ///< something is in hand
    bool m_stale = true;  ///< the shop has changed since it was read
    std::vector<Field> m_fields;
    QFormLayout* m_form = nullptr;
    QLineEdit* m_find;
    QCheckBox* m_retired_too;
    QTableWidget* m_list;
    QLabel* m_title;
    QPushButton* m_new;
    QPushButton* m_save;
    QPushButton* m_retire;
    QListWidget* m_history;
};

} // namespace shimledger::desk
