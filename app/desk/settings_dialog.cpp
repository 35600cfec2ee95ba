// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/settings_dialog.h"

#include "app/desk/guard.h"
#include "app/desk/length_edit.h"
#include "app/desk/number_spin_box.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>

#include <cmath>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr Length least_lift = Length::fromMicrometres(50);
constexpr Length most_lift = Length::fromMicrometres(2000);

/// "fine: a 0.10 mm disc is within 6 um": what the class means for a disc that is used much.
QString toleranceText(const QString& name, planner::ToleranceClass strip) {
    constexpr double disc_mm = 0.10;
    return SettingsDialog::tr("%1 (0.10 mm is within \u00b1%2 \u00b5m)")
        .arg(name)
        .arg(std::lround(planner::toleranceHalfWidth(strip, disc_mm) * 1000));
}

} // namespace

SettingsDialog::SettingsDialog(const DeskChoices& choices, QWidget* parent)
    : QDialog(parent), m_before(choices), m_theme(new QComboBox), m_text_size(new QSpinBox),
      m_paper(new QComboBox), m_size_unit(new QComboBox),
      m_lift(new LengthEdit(tr("Working lift"), choices.size_unit)), m_tolerance(new QComboBox),
      m_waiting_day(new NumberSpinBox), m_person(new QLineEdit(choices.person)) {
    setWindowTitle(tr("Settings"));
    m_theme->addItem(tr("As the system"), static_cast<int>(Theme::system));
    m_theme->addItem(tr("Light"), static_cast<int>(Theme::light));
    m_theme->addItem(tr("Dark"), static_cast<int>(Theme::dark));
    m_theme->setCurrentIndex(m_theme->findData(static_cast<int>(choices.theme)));
    m_text_size->setRange(80, 200);
    m_text_size->setSingleStep(10);
    m_text_size->setSuffix(tr(" %"));
    m_text_size->setValue(choices.text_size_percent);
    m_paper->addItem(tr("A4"), static_cast<int>(Paper::a4));
    m_paper->addItem(tr("Letter"), static_cast<int>(Paper::letter));
    m_paper->setCurrentIndex(m_paper->findData(static_cast<int>(choices.paper)));
    m_size_unit->addItem(tr("mm"), static_cast<int>(SizeUnit::millimetres));
    m_size_unit->addItem(tr("inches"), static_cast<int>(SizeUnit::inches));
    m_size_unit->setCurrentIndex(m_size_unit->findData(static_cast<int>(choices.size_unit)));
    m_lift->setValue(Length::fromMillimetres(choices.working_lift_mm));
    using planner::ToleranceClass;
    for (const auto& [name, strip] : {std::pair(tr("normal"), ToleranceClass::normal),
                                      {tr("fine"), ToleranceClass::fine},
                                      {tr("precision"), ToleranceClass::precision}}) {
        m_tolerance->addItem(toleranceText(name, strip), static_cast<int>(strip));
    }
    m_tolerance->setCurrentIndex(m_tolerance->findData(static_cast<int>(choices.tolerance)));
    m_waiting_day->setRange(0, static_cast<double>(most_waiting_day) / 100);
    m_waiting_day->setDecimals(2);
    m_waiting_day->setSuffix(tr(" a day"));
    m_waiting_day->setValue(static_cast<double>(choices.waiting_day) / 100);
    for (QWidget* field : std::initializer_list<QWidget*>{m_theme, m_text_size, m_paper, m_size_unit, m_lift,
                                                          m_tolerance, m_waiting_day, m_person}) {
        field->setMinimumHeight(field->fontMetrics().height() + 12);
    }
    m_theme->setAccessibleName(tr("Colours"));
    m_text_size->setAccessibleName(tr("Text size"));
    m_paper->setAccessibleName(tr("Paper"));
    m_size_unit->setAccessibleName(tr("Sizes are typed in"));
    m_tolerance->setAccessibleName(tr("Thickness tolerance of the discs"));
    m_person->setMaxLength(40);
    m_person->setAccessibleName(tr("Your name or initials"));
    m_waiting_day->setAccessibleName(tr("What a waiting job costs"));

    auto* bands =
        new QLabel(tr("Discs that were not measured may be off by so much: the bands about the curves "
                      "show what that does. EN ISO 9445-1 has the classes of the strip."));
    bands->setWordWrap(true);
    auto* waiting =
        new QLabel(tr("In the currency of the suppliers. The reorder plan weighs it against dearer "
                      "suppliers that deliver sooner; 0 leaves it out."));
    waiting->setWordWrap(true);
    auto* units =
        new QLabel(tr("A size typed without a unit is in that unit; 0.15 mm and 0.006 in are understood "
                      "everywhere, with a decimal point or comma, and what they come to is shown. Names "
                      "of parts, lists and sheets are in mm."));
    units->setWordWrap(true);
    auto* form = new QFormLayout(this);
    form->addRow(tr("&Colours"), m_theme);
    form->addRow(tr("Text &size"), m_text_size);
    form->addRow(tr("&Paper"), m_paper);
    form->addRow(tr("Sizes are t&yped in"), m_size_unit);
    form->addRow(units);
    form->addRow(tr("&Working lift, 0.05 to 2 mm"), m_lift);
    form->addRow(tr("T&hickness tolerance"), m_tolerance);
    form->addRow(bands);
    form->addRow(tr("A &job that waits beyond its due day costs"), m_waiting_day);
    form->addRow(waiting);
    form->addRow(tr("&Name or initials, kept with wishes and tries"), m_person);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel);
    m_accept = buttons->button(QDialogButtonBox::Ok);
    form->addRow(buttons);
    for (int row = 0; row < form->rowCount(); ++row) {
        if (QLayoutItem* label = form->itemAt(row, QFormLayout::LabelRole)) {
            label->setAlignment(Qt::AlignVCenter); // the fields are taller than their words
        }
    }
    guarded(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    guarded(m_lift, &LengthEdit::changed, this, [this] {
        const auto lift = m_lift->value();
        m_accept->setEnabled(lift && *lift >= least_lift && *lift <= most_lift);
    });
}

DeskChoices SettingsDialog::choices() const {
    DeskChoices choices = m_before;
    choices.theme = static_cast<Theme>(m_theme->currentData().toInt());
    choices.text_size_percent = m_text_size->value();
    choices.paper = static_cast<Paper>(m_paper->currentData().toInt());
    choices.size_unit = static_cast<SizeUnit>(m_size_unit->currentData().toInt());
    if (const auto lift = m_lift->value()) {
        choices.working_lift_mm = lift->millimetres();
    }
    choices.tolerance = static_cast<planner::ToleranceClass>(m_tolerance->currentData().toInt());
    choices.person = m_person->text().trimmed();
    choices.waiting_day = std::llround(100 * m_waiting_day->value());
    return choices;
}

} // namespace shimledger::desk
