// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_contacts.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace shimledger::planner {

namespace {

// Pressing discs overlap by their pressure over this, some 1e-5 mm, while plates of this size answer with
// some 300 MPa/mm: stiff enough to be a contact, soft enough to solve.
constexpr double stiffness_mpa_per_mm = 5e5;
constexpr int angles = 10; // of half a lobe
constexpr int halvings = 20;
constexpr double least_part = 1e-3;
constexpr auto places = LobedContacts::deflection_places;

using Harmonics = std::array<double, 3>;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// Weights of w0, wn, w2n in the deflection at the contact angles.
std::array<Harmonics, angles> weightsAtAngles() {
    std::array<Harmonics, angles> weights{};
    for (int angle = 0; angle < angles; ++angle) {
        const double phase = (angle + 0.5) * std::numbers::pi / angles; // n times the angle
        weights[at(angle)] = {1.0, std::cos(phase), std::cos(2 * phase)};
    }
    return weights;
}

double along(const Harmonics& weight, const Harmonics& harmonics) {
    return weight[0] * harmonics[0] + weight[1] * harmonics[1] + weight[2] * harmonics[2];
}

/// How far the upper disc is from the lower one beyond the gap at rest.
Harmonics opening(const LobedContacts::Contact& contact, const Eigen::VectorXd& x) {
    Harmonics apart{};
    for (std::size_t k = 0; k < 3; ++k) {
        apart[k] = x(contact.upper + places[k]);
        if (contact.lower >= 0) apart[k] -= x(contact.lower + places[k]);
    }
    return apart;
}

double stiffnessOf(const LobedContacts::Contact& contact) {
    return stiffness_mpa_per_mm * contact.area_mm2 / angles;
}

} // namespace

void LobedContacts::addTo(const Eigen::VectorXd& x, double touching_mm, const std::vector<int>& free,
                          RefilledSystem& system, Eigen::VectorXd& residual) const {
    const auto weights = weightsAtAngles();
    for (const Contact& contact : m_contacts) {
        const double stiffness = stiffnessOf(contact);
        const Harmonics apart = opening(contact, x);
        std::array<double, 9> block{};
        for (const Harmonics& weight : weights) {
            const double gap = contact.gap_mm + along(weight, apart);
            if (gap >= touching_mm) continue;
            for (std::size_t k = 0; k < 3; ++k) {
                residual(contact.upper + places[k]) += stiffness * gap * weight[k];
                if (contact.lower >= 0) residual(contact.lower + places[k]) -= stiffness * gap * weight[k];
                for (std::size_t l = 0; l < 3; ++l) block[3 * k + l] += stiffness * weight[k] * weight[l];
            }
        }
        for (std::size_t k = 0; k < 3; ++k) {
            for (std::size_t l = 0; l < 3; ++l) {
                const auto put = [&](int a, int b, double value) {
                    const int row = free[at(a + places[k])], column = free[at(b + places[l])];
                    if (row >= column) system.add(row, column, value);
                };
                const double value = block[3 * k + l];
                put(contact.upper, contact.upper, value);
                if (contact.lower < 0) continue;
                put(contact.lower, contact.lower, value);
                put(contact.upper, contact.lower, -value);
                put(contact.lower, contact.upper, -value);
            }
        }
    }
}

double LobedContacts::stepPart(const Eigen::VectorXd& x, const Eigen::VectorXd& step,
                               const Eigen::VectorXd& residual) const {
    struct Closing {
        double gap, speed, stiffness;
    };
    std::vector<Closing> closings;
    const auto weights = weightsAtAngles();
    const double force = residual.dot(step); // slope of the energy at the start
    double contact_force = 0, contact_stiffness = 0;
    for (const Contact& contact : m_contacts) {
        const Harmonics apart = opening(contact, x), change = opening(contact, step);
        for (const Harmonics& weight : weights) {
            const Closing closing{contact.gap_mm + along(weight, apart), along(weight, change),
                                  stiffnessOf(contact)};
            closings.push_back(closing);
            if (closing.gap >= 0) continue;
            contact_force += closing.stiffness * closing.gap * closing.speed;
            contact_stiffness += closing.stiffness * closing.speed * closing.speed;
        }
    }
    // A Newton step ends where the tangent's slope is 0, so the tangent's stiffness along it is -force.
    const auto slope = [&](double part) {
        double sum = force - contact_force + part * (-force - contact_stiffness);
        for (const Closing& closing : closings)
            sum += closing.stiffness * std::min(0.0, closing.gap + part * closing.speed) * closing.speed;
        return sum;
    };
    if (!(force < 0) || slope(1) <= 0) return 1;
    double low = 0, high = 1;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (slope(middle) < 0 ? low : high) = middle;
    }
    return std::max(high, least_part);
}

} // namespace shimledger::planner
