// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/season.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdlib>

namespace shimledger::planner {

namespace {

constexpr int shares = 13;
constexpr int least_demands = 26;
constexpr double least_agreement = 0.5;
constexpr std::size_t most_years = 3;
constexpr double settled = 12; ///< demand under the smoothing of one period
constexpr int widest_reach = 4;
using Profile = std::array<double, shares>;

int shareOf(int period_of_year, int periods_per_year) {
    return std::min(shares - 1, period_of_year * shares / periods_per_year);
}

Profile profileOf(const std::vector<double>& demand, std::size_t first, int periods_per_year) {
    Profile profile{};
    for (int period = 0; period < periods_per_year; ++period) {
        profile[static_cast<std::size_t>(shareOf(period, periods_per_year))] +=
            demand[first + static_cast<std::size_t>(period)];
    }
    return profile;
}

double mean(const Profile& profile) {
    double sum = 0;
    for (const double value : profile) sum += value;
    return sum / shares;
}

double correlation(const Profile& a, const Profile& b) {
    const double mean_a = mean(a), mean_b = mean(b);
    double ab = 0, aa = 0, bb = 0;
    for (std::size_t i = 0; i < shares; ++i) {
        ab += (a[i] - mean_a) * (b[i] - mean_b);
        aa += (a[i] - mean_a) * (a[i] - mean_a);
        bb += (b[i] - mean_b) * (b[i] - mean_b);
    }
    return aa > 0 && bb > 0 ? ab / std::sqrt(aa * bb) : 0;
}

double agreement(const std::vector<Profile>& years) {
    double sum = 0;
    int pairs = 0;
    for (std::size_t a = 0; a < years.size(); ++a) {
        for (std::size_t b = a + 1; b < years.size(); ++b, ++pairs) sum += correlation(years[a], years[b]);
    }
    return pairs > 0 ? sum / pairs : 0;
}

} // namespace

double Season::factor(int ahead) const {
    if (!found()) return 1;
    const int period = (ahead % periods_per_year + periods_per_year) % periods_per_year;
    return factors[static_cast<std::size_t>(period)];
}

double Season::meanAhead(double periods) const {
    if (!found() || !(periods > 0)) return 1;
    double sum = 0;
    for (int period = 0; period < periods; ++period) sum += factor(period) * std::min(1.0, periods - period);
    return sum / periods;
}

Season findSeason(const std::vector<double>& demand, int periods_per_year) {
    Season season;
    season.periods_per_year = periods_per_year;
    const auto year = static_cast<std::size_t>(periods_per_year);
    if (periods_per_year < shares || demand.size() < 2 * year) return season;
    const auto demands = std::count_if(demand.end() - 2 * static_cast<std::ptrdiff_t>(year), demand.end(),
                                       [](double pieces) { return pieces > 0; });
    const std::size_t years = std::min<std::size_t>(most_years, demand.size() / year);
    const std::size_t first = demand.size() - years * year;
    std::vector<Profile> profiles;
    for (std::size_t i = 0; i < years; ++i) {
        profiles.push_back(profileOf(demand, first + i * year, periods_per_year));
    }
    if (demands < least_demands || agreement(profiles) < least_agreement) return season;
    std::vector<double> of_year(year, 0.0);
    double sum = 0;
    for (std::size_t i = first; i < demand.size(); ++i) {
        of_year[(i - first) % year] += demand[i];
        sum += demand[i];
    }
    const double level = sum / static_cast<double>(year);
    // So many neighbours that chance has settled, and no more.
    const int reach = std::clamp(static_cast<int>(std::ceil(settled / level)), 1, widest_reach);
    double factors = 0;
    for (int i = 0; i < periods_per_year; ++i) {
        double smoothed = 0;
        for (int k = 1 - reach; k < reach; ++k) {
            const int place = (i + k + periods_per_year) % periods_per_year;
            smoothed += (reach - std::abs(k)) * of_year[static_cast<std::size_t>(place)];
        }
        season.factors.push_back(std::clamp(smoothed / (reach * reach) / level, 0.05, 4.0));
        factors += season.factors.back();
    }
    for (double& value : season.factors) value *= periods_per_year / factors;
    return season;
}

} // namespace shimledger::planner
