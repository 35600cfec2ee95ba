#include "planner/reorder/season.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace shimledger::planner {

namespace {

constexpr int shares = 13;
constexpr int least_demands = 26;
constexpr double least_agreement = 0.5;
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

} // namespace

double Season::factor(int ahead) const {
    if (!found()) return 1;
    const int period = (ahead % periods_per_year + periods_per_year) % periods_per_year;
    return factors[static_cast<std::size_t>(shareOf(period, periods_per_year))];
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
    const std::size_t first = demand.size() - 2 * year;
    const auto demands = std::count_if(demand.begin() + static_cast<std::ptrdiff_t>(first), demand.end(),
                                       [](double pieces) { return pieces > 0; });
    const Profile before = profileOf(demand, first, periods_per_year);
    const Profile last = profileOf(demand, first + year, periods_per_year);
    if (demands < least_demands || correlation(before, last) < least_agreement) return season;
    const double level = mean(before) + mean(last);
    for (std::size_t i = 0; i < shares; ++i) {
        const auto both = [&](std::size_t at) { return before[at] + last[at]; };
        const double smoothed =
            (both((i + shares - 1) % shares) + 2 * both(i) + both((i + 1) % shares)) / 4 / level;
        season.factors.push_back(std::clamp(smoothed, 0.25, 4.0));
    }
    double sum = 0;
    for (const double value : season.factors) sum += value;
    for (double& value : season.factors) value *= shares / sum;
    return season;
}

} // namespace shimledger::planner
