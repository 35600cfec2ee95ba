// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/guard.h"

#include <QApplication>
#include <QDebug>
#include <QMetaObject>
#include <QWidget>

namespace shimledger::desk {

namespace {

ProblemTeller* tellerAbove(const QObject* from) {
    for (const QObject* object = from; object != nullptr; object = object->parent()) {
        if (auto* teller = dynamic_cast<ProblemTeller*>(const_cast<QObject*>(object))) return teller;
    }
    // A flow or a run is a member of its page and has no parent.
    for (QWidget* window : QApplication::topLevelWidgets()) {
        if (auto* teller = dynamic_cast<ProblemTeller*>(window)) return teller;
    }
    return nullptr;
}

} // namespace

void tellProblem(const QObject* from, const Problem& problem) noexcept {
    try {
        ProblemTeller* teller = tellerAbove(from);
        if (problem.kind == Problem::Kind::bug || teller == nullptr)
            qCritical().noquote() << problem.sentence;
        if (teller != nullptr) teller->tellProblem(problem);
    } catch (...) {
        // There is not even the memory to say so; the window stays all the same.
    }
}

void tellThrown(const QObject* from, const std::exception_ptr& thrown) noexcept {
    try {
        tellProblem(from, problemIn(thrown));
    } catch (...) { // as above
    }
}

void tellThrownLater(const QObject* from, const std::exception_ptr& thrown) noexcept {
    try {
        const Problem problem = problemIn(thrown);
        auto* object = const_cast<QObject*>(from);
        QMetaObject::invokeMethod(
            object, [from, problem] { tellProblem(from, problem); }, Qt::QueuedConnection);
    } catch (...) { // as above
    }
}

} // namespace shimledger::desk
