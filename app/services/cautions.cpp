#include "app/services/cautions.h"

namespace shimledger::services {

const std::vector<std::string>& workCautions() {
    static const std::vector<std::string> cautions = {
        "Suspension parts hold pressure and spring force: release the gas charge and all spring preload "
        "before "
        "anything is opened.",
        "Wear eye protection, above all where the peening of a thread is ground back.",
        "Renew locking compound or peening as the maker says, and tighten to the maker's torque.",
        "A wrong stack or a bent disc changes how a vehicle handles: check every disc against the build "
        "sheet, "
        "in its order, before the shaft is closed.",
        "The figures given here are an aid to a trained person, who follows the maker's service data and the "
        "local rules.",
    };
    return cautions;
}

} // namespace shimledger::services
