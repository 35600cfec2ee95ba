// SPDX-License-Identifier: GPL-3.0-or-later
// How the job dialog is laid out; what it does is in job_dialog.cpp.
#include "app/desk/guard.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/length_edit.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/scrolling_area.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScreen>
#include <QSpinBox>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

constexpr int row_gap = 8;

/// A field with its label; the label's words name it for a screen reader, too.
void addRow(QFormLayout& form, const QString& label, QWidget* field, QWidget* named = nullptr) {
    form.addRow(label, field);
    (named != nullptr ? named : field)->setAccessibleName(QString(label).remove(QLatin1Char('&')));
}

} // namespace

JobDialog::JobDialog(JobQuestion question, QWidget* parent)
    : QDialog(parent), m_question(std::move(question)), m_code(new QLineEdit), m_customer(new QLineEdit),
      m_component(new QLineEdit), m_model(new QComboBox), m_model_words(new QLabel), m_kind(new QComboBox),
      m_description(new QLineEdit), m_valve(new QComboBox), m_legs(new QSpinBox), m_due(new QLineEdit),
      m_priority(new QSpinBox), m_note(new QLineEdit), m_lent_words(new QLabel), m_target(new QComboBox),
      m_strip(new MessageStrip), m_job_form(nullptr), m_afresh(nullptr) {
    const bool changes = m_question.before.has_value();
    setWindowTitle(changes ? tr("Change %1").arg(textOf(m_question.before->code)) : tr("New job"));
    auto* page = new QWidget;
    auto* columns = new QHBoxLayout;
    columns->setSpacing(24);
    columns->addLayout(makeJobForm(), 3);
    columns->addLayout(makeValveForm(), 2);
    auto* heap = new QVBoxLayout(page); // rows keep together at the top
    heap->addLayout(columns);
    heap->addStretch();
    auto* buttons = new QDialogButtonBox;
    QPushButton* book = buttons->addButton(changes ? tr("Change the &job") : tr("Open the &job"),
                                           QDialogButtonBox::AcceptRole);
    book->setToolTip(tr("(Ctrl+Return)"));
    m_afresh = buttons->addButton(tr("Start a&fresh"), QDialogButtonBox::ResetRole);
    m_afresh->setToolTip(tr("Forgets what was typed the last time."));
    const QPushButton* cancel = buttons->addButton(QDialogButtonBox::Cancel);
    for (QPushButton* button : buttons->findChildren<QPushButton*>()) {
        button->setAutoDefault(false); // Return is for the next field
    }
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(scrollingArea(page), 1);
    layout->addWidget(m_strip);
    layout->addWidget(buttons);
    guarded(book, &QPushButton::clicked, this, &JobDialog::book);
    guarded(m_afresh, &QPushButton::clicked, this, &JobDialog::startAfresh);
    guarded(cancel, &QPushButton::clicked, this, &JobDialog::reject);
    guarded(m_model, &QComboBox::currentTextChanged, this, &JobDialog::lookAtModel);
    guarded(m_kind, &QComboBox::currentIndexChanged, this, [this] { lendLegs(newKindLegs()); });
    guarded(m_valve, &QComboBox::currentTextChanged, this, &JobDialog::lookAtEarlier);
    if (changes) {
        fill(*m_question.before);
        for (QWidget* fixed : std::initializer_list<QWidget*>{m_code, m_model, m_legs}) {
            fixed->setEnabled(false);
            fixed->setToolTip(
                tr("A job keeps its code, model and legs; cancel it and open another instead."));
        }
    } else {
        m_code->setText(textOf(m_question.next_code));
    }
    lookAtModel();
    m_blank = valuesOf(fields());
    m_afresh->setVisible(!m_question.draft.isEmpty());
    if (!m_question.draft.isEmpty()) {
        restore(m_question.draft);
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("As it was left the last time; nothing is booked yet."));
    }
    (changes ? static_cast<QWidget*>(m_customer) : m_model)->setFocus();
    // As large as its fields where the screen has room; below that they scroll.
    const QSize whole = page->sizeHint() + QSize(60, 150);
    resize(whole.expandedTo({820, 0}).boundedTo(screen()->availableSize() - QSize(40, 80)));
}

QFormLayout* JobDialog::makeJobForm() {
    m_model->setEditable(true);
    m_model->setInsertPolicy(QComboBox::NoInsert);
    for (const inventory::ComponentModel& model : m_question.models) {
        m_model->addItem(textOf(model.code));
    }
    m_model->setCurrentIndex(-1);
    m_model_words->setWordWrap(true);
    m_kind->addItem(tr("fork"), static_cast<int>(inventory::ComponentKind::fork));
    m_kind->addItem(tr("shock"), static_cast<int>(inventory::ComponentKind::shock));
    m_kind->setPlaceholderText(tr("fork or shock?"));
    m_kind->setCurrentIndex(-1);
    m_valve->setEditable(true);
    m_valve->setInsertPolicy(QComboBox::NoInsert);
    m_valve->addItems(m_question.valves);
    m_valve->setCurrentIndex(-1);
    m_legs->setRange(1, 4);
    m_legs->setValue(2);
    m_priority->setRange(0, 9);
    m_due->setPlaceholderText(tr("2026-12-04, or empty"));
    m_job_form = new QFormLayout;
    m_job_form->setRowWrapPolicy(QFormLayout::WrapLongRows); // with large text
    m_job_form->setVerticalSpacing(row_gap);
    addRow(*m_job_form, tr("&Model"), m_model);
    m_job_form->addRow(QString(), m_model_words);
    addRow(*m_job_form, tr("Ki&nd of the new model"), m_kind);
    addRow(*m_job_form, tr("Its &description"), m_description);
    addRow(*m_job_form, tr("&Valve"), m_valve);
    addRow(*m_job_form, tr("&Legs"), m_legs);
    addRow(*m_job_form, tr("&Customer"), m_customer);
    addRow(*m_job_form, tr("Mar&k of the component"), m_component);
    addRow(*m_job_form, tr("Due da&y"), m_due);
    addRow(*m_job_form, tr("&Priority, 9 most urgent"), m_priority);
    addRow(*m_job_form, tr("N&ote"), m_note);
    addRow(*m_job_form, tr("Jo&b code"), m_code);
    return m_job_form;
}

QFormLayout* JobDialog::makeValveForm() {
    const QString labels[] = {tr("Cl&amp diameter"),        tr("Port, &inner diameter"),
                              tr("Port, oute&r diameter"),  tr("&Shim bore"),
                              tr("S&eat diameter, if any"), tr("Preload hei&ght, if any")};
    auto* form = new QFormLayout;
    form->setRowWrapPolicy(QFormLayout::WrapLongRows);
    form->setVerticalSpacing(row_gap);
    for (std::size_t i = 0; i < sizes; ++i) {
        m_sizes[i] = new LengthEdit({}, m_question.size_unit);
        addRow(*form, labels[i], m_sizes[i], m_sizes[i]->field());
    }
    m_lent_words->setWordWrap(true);
    form->addRow(m_lent_words);
    m_target->addItem(tr("comes later"));
    addRow(*form, tr("&Target stack"), m_target);
    form->setRowVisible(m_target, !m_question.before); // it is edited where it stands
    return form;
}

} // namespace shimledger::desk
