// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/component_valves.h"
#include "app/services/job_intake.h"
#include "inventory/job_book.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <ostream>

namespace shimledger::command {

namespace {

constexpr const char* nothing = "none";

void takeLength(const char* option, const std::string& text, Length& length) {
    if (!text.empty()) length = millimetresOf(option, text);
}

void takeLength(const char* option, const std::string& text, std::optional<Length>& length) {
    if (text == nothing) {
        length.reset();
    } else if (!text.empty()) {
        length = millimetresOf(option, text);
    }
}

void takeText(const std::string& text, std::string& words) {
    if (!text.empty()) words = text == nothing ? std::string() : text;
}

void takeParticulars(const JobVerb& verb, inventory::Job& job) {
    takeValve(verb, job.valve);
    takeText(verb.customer, job.customer);
    takeText(verb.component, job.component);
    takeText(verb.note, job.note);
    if (verb.due == nothing) {
        job.due.reset();
    } else if (!verb.due.empty()) {
        job.due = inventory::CalendarDate::parse(verb.due);
    }
    if (verb.priority) job.priority = *verb.priority;
}

/// The model that is named, as the shop has it or as it is to be made known.
inventory::ComponentModel modelOf(inventory::ShopFile& shop, const JobVerb& verb, const std::string& code) {
    if (verb.kind.empty()) {
        if (!verb.description.empty()) {
            throw InputError("--description is of a new model: give its --kind, fork or shock, as well");
        }
        if (auto known = inventory::ComponentModels(shop).find(code)) return *known;
        mustBeModel(shop, code);
    }
    inventory::ComponentModel model;
    model.code = code;
    model.kind = inventory::parseComponentKind(verb.kind);
    model.description = verb.description;
    model.legs = verb.legs.value_or(services::usualLegs(model.kind));
    return model;
}

/// Model, legs, valve and target of the earlier job where nothing else is said; customer, days and notes are
/// its own.
services::JobIntake intakeOf(inventory::ShopFile& shop, const JobVerb& verb) {
    services::JobIntake intake;
    inventory::Job& job = intake.job;
    job.code = verb.job;
    std::optional<inventory::Job> like;
    if (!verb.like.empty()) {
        mustBeJob(shop, verb.like);
        like = inventory::JobBook(shop).get(verb.like);
        job.model = like->model;
        job.valve = like->valve;
        intake.target = services::targetRows(shop, verb.like);
    }
    if (!verb.model.empty()) job.model = verb.model;
    if (job.model.empty()) throw InputError("a job needs --model, or --like and an earlier job");
    const inventory::ComponentModel model = modelOf(shop, verb, job.model);
    if (!verb.kind.empty()) intake.new_model = model;
    const bool like_model = like && like->model == job.model;
    job.legs = verb.legs.value_or(like_model ? like->legs : model.legs);
    if (!verb.target.empty()) intake.target = services::bookRows(verb.target);
    // Of another valve than the earlier job's, or without one, the model's own sizes; what is typed goes over
    // them.
    for (const inventory::JobValve& valve : model.valves) {
        const bool meant =
            verb.valve.empty()
                ? !like && (model.valves.size() == 1 || (verb.all_valves && valve == model.valves.front()))
                : valve.name == verb.valve && !(like && like->valve.name == verb.valve);
        if (meant) job.valve = valve;
    }
    takeParticulars(verb, job);
    return intake;
}

} // namespace

void takeValve(const JobVerb& verb, inventory::JobValve& valve) {
    if (!verb.valve.empty()) valve.name = verb.valve;
    takeLength("--clamp-od", verb.clamp_od, valve.clamp_od);
    takeLength("--port-inner", verb.port_inner, valve.port_inner_diameter);
    takeLength("--port-outer", verb.port_outer, valve.port_outer_diameter);
    takeLength("--shim-id", verb.shim_id, valve.shim_id);
    takeLength("--seat", verb.seat, valve.seat_diameter);
    takeLength("--preload", verb.preload, valve.preload);
}

int runJobOpen(const JobVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const services::JobIntake intake = intakeOf(shop, verb);
    std::string code;
    std::vector<std::string> further;
    shop.atomically([&] {
        code = services::openJob(shop, intake);
        if (verb.all_valves) further = services::addModelValves(shop, code);
    });
    streams.out << fmt::format("{} is open: {}, {} valve, {} leg{}, {}.\n", code, intake.job.model,
                               intake.job.valve.name, intake.job.legs, intake.job.legs == 1 ? "" : "s",
                               intake.target.empty()
                                   ? std::string("no target yet")
                                   : fmt::format("target of {} rows", intake.target.size()));
    for (const std::string& valve : further) streams.out << valve << " is open as well.\n";
    return exit_done;
}

int runJobChange(const JobVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const inventory::Job before = inventory::JobBook(shop).get(verb.job);
    inventory::Job wanted = before;
    takeParticulars(verb, wanted);
    if (wanted == before) {
        throw InputError(
            fmt::format("nothing is given that differs from what job '{}' says already", verb.job));
    }
    services::changeJob(shop, before, wanted);
    streams.out << verb.job << " is changed.\n";
    return exit_done;
}

} // namespace shimledger::command
