#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/job_intake.h"
#include "inventory/job_book.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace shimledger::command {

namespace {

constexpr const char* nothing = "none";

void takeLength(const std::string& text, Length& length) {
    if (!text.empty()) length = Length::parseMillimetres(text);
}

void takeLength(const std::string& text, std::optional<Length>& length) {
    if (text == nothing) {
        length.reset();
    } else if (!text.empty()) {
        length = Length::parseMillimetres(text);
    }
}

void takeText(const std::string& text, std::string& words) {
    if (!text.empty()) words = text == nothing ? std::string() : text;
}

void takeParticulars(const JobVerb& verb, inventory::Job& job) {
    if (!verb.valve.empty()) job.valve.name = verb.valve;
    takeLength(verb.clamp_od, job.valve.clamp_od);
    takeLength(verb.port_inner, job.valve.port_inner_diameter);
    takeLength(verb.port_outer, job.valve.port_outer_diameter);
    takeLength(verb.shim_id, job.valve.shim_id);
    takeLength(verb.seat, job.valve.seat_diameter);
    takeLength(verb.preload, job.valve.preload);
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

/// The earlier job's sizes; customer, days and notes are its own.
inventory::Job newJobLike(inventory::ShopFile& shop, const JobVerb& verb) {
    inventory::Job job;
    if (verb.like.empty()) return job;
    const inventory::Job like = inventory::JobBook(shop).get(verb.like);
    job.model = like.model;
    job.legs = like.legs;
    job.valve = like.valve;
    return job;
}

void takeModel(inventory::ShopFile& shop, const JobVerb& verb, services::JobIntake& intake) {
    inventory::Job& job = intake.job;
    if (!verb.model.empty()) job.model = verb.model;
    if (job.model.empty()) {
        throw InputError("a job needs --model, or --like and an earlier job");
    }
    if (!verb.description.empty() && verb.kind.empty()) {
        throw InputError("--description is of a new model: give its --kind, fork or shock, as well");
    }
    if (!verb.kind.empty()) {
        inventory::ComponentModel model;
        model.code = job.model;
        model.kind = inventory::parseComponentKind(verb.kind);
        model.description = verb.description;
        model.legs = verb.legs.value_or(model.kind == inventory::ComponentKind::shock ? 1 : 2);
        intake.new_model = model;
    } else if (!inventory::ComponentModels(shop).find(job.model)) {
        throw InputError(fmt::format("there is no model '{}' in the shop file; --kind fork or --kind shock "
                                     "makes it known",
                                     job.model));
    }
    const bool like_model = !verb.like.empty() && inventory::JobBook(shop).get(verb.like).model == job.model;
    if (verb.legs) {
        job.legs = *verb.legs;
    } else if (!like_model) {
        job.legs = intake.new_model ? intake.new_model->legs
                                    : inventory::ComponentModels(shop).find(job.model)->legs;
    }
}

} // namespace

int runJobOpen(const JobVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    services::JobIntake intake;
    intake.job = newJobLike(shop, verb);
    intake.job.code = verb.job;
    takeModel(shop, verb, intake);
    takeParticulars(verb, intake.job);
    if (!verb.target.empty()) {
        intake.target = services::bookRows(verb.target);
    } else if (!verb.like.empty()) {
        if (const auto target = inventory::JobBook(shop).stack(verb.like, inventory::StackRole::target)) {
            intake.target = target->rows;
        }
    }
    const std::string code = services::openJob(shop, intake);
    streams.out << fmt::format("{} is open: {}, {} valve, {} leg{}, {}.\n", code, intake.job.model,
                               intake.job.valve.name, intake.job.legs, intake.job.legs == 1 ? "" : "s",
                               intake.target.empty()
                                   ? std::string("no target yet")
                                   : fmt::format("target of {} rows", intake.target.size()));
    return exit_done;
}

int runJobChange(const JobVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
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
