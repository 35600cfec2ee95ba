// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/remembered_ways.h"

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <limits>

namespace shimledger::planner {

namespace {

constexpr std::string_view magic = "shimways1\n";
constexpr std::size_t most_answers = 80;
constexpr std::int64_t most_discs = 100'000;

/// FNV-1a, 64 bits (public domain, Fowler, Noll and Vo).
std::uint64_t checksum(std::string_view bytes) {
    std::uint64_t sum = 14695981039346656037ULL;
    for (const char c : bytes) {
        sum ^= static_cast<unsigned char>(c);
        sum *= 1099511628211ULL;
    }
    return sum;
}

void put(std::string& to, std::int64_t value) {
    char bytes[sizeof value];
    std::memcpy(bytes, &value, sizeof value);
    to.append(bytes, sizeof value);
}
void put(std::string& to, double value) {
    std::int64_t bits = 0;
    std::memcpy(&bits, &value, sizeof value);
    put(to, bits);
}
void put(std::string& to, const std::string& text) {
    put(to, static_cast<std::int64_t>(text.size()));
    to += text;
}

/// Reads what put() wrote; bad() once anything is not as it must be.
class Reader {
public:
    explicit Reader(std::string_view bytes) : m_left(bytes) {}

    std::int64_t whole(std::int64_t least, std::int64_t most) {
        std::int64_t value = 0;
        if (m_bad || m_left.size() < sizeof value) {
            m_bad = true;
            return least;
        }
        std::memcpy(&value, m_left.data(), sizeof value);
        m_left.remove_prefix(sizeof value);
        if (value < least || value > most) {
            m_bad = true;
            return least;
        }
        return value;
    }
    double number() {
        const std::int64_t bits =
            whole(std::numeric_limits<std::int64_t>::min(), std::numeric_limits<std::int64_t>::max());
        double value = 0;
        std::memcpy(&value, &bits, sizeof value);
        return value;
    }
    std::string text() {
        const std::int64_t size = whole(0, static_cast<std::int64_t>(m_left.size()));
        if (m_bad || static_cast<std::size_t>(size) > m_left.size()) {
            m_bad = true;
            return {};
        }
        std::string text(m_left.substr(0, static_cast<std::size_t>(size)));
        m_left.remove_prefix(static_cast<std::size_t>(size));
        return text;
    }
    [[nodiscard]] bool bad() const { return m_bad; }
    [[nodiscard]] bool atEnd() const { return m_left.empty(); }

private:
    std::string_view m_left;
    bool m_bad = false;
};

/// The same number has the same bits; nothing is rounded.
bool sameBits(std::span<const double> a, std::span<const double> b) {
    return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size_bytes()) == 0);
}

std::string keyOf(const StackSpec& target, const std::vector<DiscSize>& sizes, const WayRules& rules,
                  const std::string& version) {
    std::string key;
    put(key, version);
    const ValveGeometry& valve = target.valve();
    for (const Length length :
         {valve.clamp_od, valve.port_inner_diameter, valve.port_outer_diameter, valve.shim_id,
          valve.seat_diameter.value_or(Length::fromMicrometres(-1)), valve.preload})
        put(key, length.micrometres());
    put(key, static_cast<std::int64_t>(target.rows().size()));
    for (const DiscRow& row : target.rows()) {
        put(key, std::int64_t{row.count});
        put(key, row.od.micrometres());
        put(key, row.thickness.micrometres());
        put(key, row.ring_id.value_or(Length::fromMicrometres(-1)).micrometres());
        put(key, row.material.name);
        put(key, row.material.elastic_modulus_mpa);
        put(key, row.material.poisson_ratio);
        put(key, row.material.tensile_strength_mpa);
    }
    put(key, static_cast<std::int64_t>(sizes.size()));
    for (const DiscSize& size : sizes) {
        for (const Length length : {size.od, size.id, size.thickness}) put(key, length.micrometres());
    }
    put(key, rules.within);
    put(key, rules.od_step.micrometres());
    put(key, rules.height_tolerance.micrometres());
    put(key, std::int64_t{rules.most_discs});
    put(key, rules.working_lift_mm);
    put(key, static_cast<std::int64_t>(rules.regime));
    return key;
}

} // namespace

RememberedWays::RememberedWays(const StackSpec& target, const std::vector<DiscSize>& sizes,
                               const WayRules& rules, WayMemory* memory)
    : m_target(target), m_sizes(&sizes), m_rules(rules), m_memory(memory) {
    if (m_memory != nullptr) {
        m_key = keyOf(target, sizes, rules, m_memory->version());
        recall();
    }
    if (!m_answers.empty()) return;
    const StackWays& fresh = maker();
    m_own = fresh.ownDiscs();
    m_answers.push_back({-1, {}, 0, {}, fresh.why()});
    m_learned = true;
}

void RememberedWays::recall() {
    const std::optional<std::string> kept = m_memory->read(m_key);
    if (!kept || takeBytes(*kept)) return;
    m_answers.clear();
    m_own.clear();
}

StackWays& RememberedWays::maker() {
    if (!m_maker) m_maker = std::make_unique<StackWays>(m_target, *m_sizes, m_rules);
    // What it is asked may change what it says next, so it is asked all of it.
    for (; m_maker_asked < m_path.size(); ++m_maker_asked) {
        const Answer& answer = m_answers[static_cast<std::size_t>(m_path[m_maker_asked])];
        static_cast<void>(m_maker->cheapest(answer.prices, answer.count));
    }
    return *m_maker;
}

std::vector<StackWay> RememberedWays::cheapest(std::span<const double> prices, int count) {
    const int before = m_path.empty() ? 0 : m_path.back();
    for (std::size_t i = 1; i < m_answers.size(); ++i) {
        const Answer& answer = m_answers[i];
        if (answer.before != before || answer.count != count || !sameBits(answer.prices, prices)) continue;
        m_path.push_back(static_cast<int>(i));
        return answer.ways;
    }
    StackWays& fresh = maker();
    Answer answer{before, {prices.begin(), prices.end()}, count, fresh.cheapest(prices, count), fresh.why()};
    ++m_maker_asked;
    for (StackWay& way : answer.ways) way.rows.clear();
    m_path.push_back(static_cast<int>(m_answers.size()));
    m_answers.push_back(std::move(answer));
    m_learned = true;
    return m_answers.back().ways;
}

const std::string& RememberedWays::why() {
    return m_answers[static_cast<std::size_t>(m_path.empty() ? 0 : m_path.back())].why;
}

const std::vector<std::pair<int, int>>& RememberedWays::ownDiscs() {
    return m_own;
}

void RememberedWays::keep() {
    if (m_memory == nullptr || !m_learned) return;
    if (m_answers.size() > most_answers) forgetOthers();
    m_memory->write(m_key, bytes());
    m_learned = false;
}

/// All but what was asked this time.
void RememberedWays::forgetOthers() {
    std::vector<Answer> asked{m_answers.front()};
    for (int& place : m_path) {
        asked.push_back(std::move(m_answers[static_cast<std::size_t>(place)]));
        place = static_cast<int>(asked.size()) - 1;
        asked.back().before = place - 1;
    }
    m_answers = std::move(asked);
}

std::string RememberedWays::bytes() const {
    std::string body;
    put(body, m_key);
    put(body, static_cast<std::int64_t>(m_own.size()));
    for (const auto& [size, discs] : m_own) {
        put(body, std::int64_t{size});
        put(body, std::int64_t{discs});
    }
    const std::size_t count = std::min(m_answers.size(), most_answers);
    put(body, static_cast<std::int64_t>(count));
    for (std::size_t i = 0; i < count; ++i) {
        const Answer& answer = m_answers[i];
        put(body, std::int64_t{answer.before});
        put(body, static_cast<std::int64_t>(answer.prices.size()));
        for (const double price : answer.prices) put(body, price);
        put(body, std::int64_t{answer.count});
        put(body, static_cast<std::int64_t>(answer.ways.size()));
        for (const StackWay& way : answer.ways) {
            put(body, way.deviation);
            put(body, static_cast<std::int64_t>(way.discs.size()));
            for (const auto& [size, discs] : way.discs) {
                put(body, std::int64_t{size});
                put(body, std::int64_t{discs});
            }
        }
        put(body, answer.why);
    }
    std::string all(magic);
    put(all, static_cast<std::int64_t>(checksum(body)));
    return all + body;
}

bool RememberedWays::takeBytes(const std::string& bytes) {
    std::string_view rest = bytes;
    if (!rest.starts_with(magic)) return false;
    rest.remove_prefix(magic.size());
    Reader head(rest.substr(0, sizeof(std::int64_t)));
    const std::int64_t sum =
        head.whole(std::numeric_limits<std::int64_t>::min(), std::numeric_limits<std::int64_t>::max());
    if (head.bad()) return false;
    rest.remove_prefix(sizeof(std::int64_t));
    if (static_cast<std::int64_t>(checksum(rest)) != sum) return false;
    Reader reader(rest);
    if (reader.text() != m_key) return false;
    const auto sizes = static_cast<std::int64_t>(m_sizes->size());
    const auto readDiscs = [&](std::vector<std::pair<int, int>>& discs) {
        const std::int64_t count = reader.whole(0, sizes);
        for (std::int64_t i = 0; i < count && !reader.bad(); ++i) {
            const int size = static_cast<int>(reader.whole(0, sizes - 1));
            discs.emplace_back(size, static_cast<int>(reader.whole(1, most_discs)));
        }
    };
    readDiscs(m_own);
    const std::int64_t count = reader.whole(1, static_cast<std::int64_t>(most_answers));
    for (std::int64_t i = 0; i < count && !reader.bad(); ++i) {
        Answer answer;
        answer.before = static_cast<int>(reader.whole(-1, i - 1));
        const std::int64_t prices = reader.whole(0, sizes);
        for (std::int64_t p = 0; p < prices && !reader.bad(); ++p) answer.prices.push_back(reader.number());
        answer.count = static_cast<int>(reader.whole(0, 1'000'000));
        const std::int64_t ways = reader.whole(0, 1'000'000);
        for (std::int64_t w = 0; w < ways && !reader.bad(); ++w) {
            StackWay& way = answer.ways.emplace_back();
            way.deviation = reader.number();
            readDiscs(way.discs);
        }
        answer.why = reader.text();
        m_answers.push_back(std::move(answer));
    }
    return !reader.bad() && reader.atEnd();
}

} // namespace shimledger::planner
