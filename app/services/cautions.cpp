// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/cautions.h"

namespace shimledger::services {

const std::vector<std::string>& workCautions() {
    static const std::string leave_no_pressure = "Suspension parts hold pressure and spring force: release "
                                                 "the gas charge and all spring preload before "
                                                 "anything is opened.";
    static const std::string check_every_disc = "A wrong stack or a bent disc changes how a vehicle handles: "
                                                "check every disc against the build sheet, "
                                                "in its order, before the shaft is closed.";
    static const std::string only_an_aid =
        "The figures given here are an aid to a trained person, who follows the maker's service data and the "
        "local rules.";
    static const std::vector<std::string> cautions = {
        leave_no_pressure,
        "Wear eye protection, above all where the peening of a thread is ground back.",
        "Renew locking compound or peening as the maker says, and tighten to the maker's torque.",
        check_every_disc,
        only_an_aid,
    };
    return cautions;
}

const std::vector<std::string>& dampingCautions() {
    static const std::vector<std::string> cautions = {
        "This is a model of one valve in steady flow and not a dyno: trust ratios of two stacks before "
        "newtons.",
        "The first ride on a changed stack is a slow one, and both legs are built alike.",
    };
    return cautions;
}

} // namespace shimledger::services
