// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/guard.h"
#include "app/desk/kept_fields.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/job_intake.h"
#include "app/services/typed_length.h"
#endif

#include <QDialog>
#include <QStringList>

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

class QComboBox;
class QFormLayout;
class QLabel;
class QLineEdit;
class QPushButton;
class QSpinBox;

namespace shimledger::desk {

class LengthEdit;
class MessageStrip;

/// An earlier job on the same valve of the same model.
struct EarlierJob {
    inventory::Job job;
    std::vector<inventory::StackRow> target;
};

/// What a job is to be asked for, and what the shop knows already.
struct JobQuestion {
    std::optional<inventory::Job> before; ///< to be changed; none: a new one is to be opened
    std::string next_code;                ///< for a new one
    std::vector<inventory::ComponentModel> models;
    QStringList valves;                                             ///< names that are usual
    services::SizeUnit size_unit = services::SizeUnit::millimetres; ///< of sizes typed without one
    std::function<std::optional<EarlierJob>(const std::string& model, const std::string& valve)> earlier;
    std::function<std::optional<QString>(const services::JobIntake&)> book; ///< what speaks against it
    QVariantMap draft; ///< what a new job's fields said when it was left the last time
    std::function<void(const QVariantMap&)>
        keep; ///< of a new job, to be there the next time; empty: forget it
};

/// A job as it comes in, or as it is to be changed. It is booked by the dialog itself, which stays open with
/// the sentence that speaks against it; what was typed and not booked is there again the next time. Return
/// goes to the next field, as scanners send it after each mark; Ctrl+Return books.
class JobDialog : public QDialog, public ProblemTeller {
    Q_OBJECT

public:
    explicit JobDialog(JobQuestion question, QWidget* parent = nullptr);

    [[nodiscard]] Fields fields() const; ///< by name, for drafts and tests
    [[nodiscard]] QString problem() const;
    [[nodiscard]] QString sizesFrom() const; ///< what is said of where sizes come from
    void book();                             ///< closes where it went well
    void startAfresh();                      ///< forgets what was left the last time
    void reject() override;
    void tellProblem(const Problem& problem) override; ///< in its own strip: it stands before the window's

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    enum Size { clamp, port_inner, port_outer, shim_id, seat, preload, sizes };

    QFormLayout* makeJobForm();
    QFormLayout* makeValveForm();
    void fill(const inventory::Job& job);
    void keepWhatIsLeft();
    void lookAtModel();
    void lookAtEarlier();
    void lend(const std::optional<inventory::JobValve>& valve);
    [[nodiscard]] bool knownModel() const;
    void lendLegs(int legs);
    void restore(const QVariantMap& values);
    [[nodiscard]] int newKindLegs() const;
    /// Throws InputError on what is missing or no such thing, after the focus has gone there.
    [[nodiscard]] services::JobIntake read();
    [[nodiscard]] Length size(Size which);
    [[nodiscard]] std::optional<Length> optionalSize(Size which);

    JobQuestion m_question;
    QVariantMap m_blank; ///< what the fields say before anybody types
    int m_lent_legs = 2; ///< what the model brought, and is not a person's word
    std::optional<EarlierJob> m_earlier;
    std::array<QString, sizes> m_lent; ///< what each size field was given, and is not a person's word

    QLineEdit* m_code;
    QLineEdit* m_customer;
    QLineEdit* m_component;
    QComboBox* m_model;
    QLabel* m_model_words;
    QComboBox* m_kind;
    QLineEdit* m_description;
    QComboBox* m_valve;
    QSpinBox* m_legs;
    QLineEdit* m_due;
    QSpinBox* m_priority;
    QLineEdit* m_note;
    std::array<LengthEdit*, sizes> m_sizes{};
    QLabel* m_lent_words;
    QComboBox* m_target;
    MessageStrip* m_strip;
    QFormLayout* m_job_form;
    QPushButton* m_afresh;
};

} // namespace shimledger::desk
