// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/find_words.h"

#include <QLocale>
#include <QRegularExpression>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr int whole = 0;
constexpr int beginning = 1;
constexpr int middle = 2;

bool figureCharacter(QChar c) {
    return (c >= QLatin1Char('0') && c <= QLatin1Char('9')) || c == QLatin1Char('.');
}

/// -1 where it is none, or none yet: "12.", "1.2.3".
qint64 thousandthsOf(QStringView figure) {
    constexpr double most = 1e12;
    bool good = false;
    const double value = QLocale::c().toDouble(figure, &good);
    if (!good || figure.endsWith(QLatin1Char('.')) || value < 0 || value > most) {
        return -1;
    }
    return std::llround(value * 1000);
}

bool wordEndsAt(const QString& text, qsizetype place) {
    return place < 0 || place >= text.size() || !text.at(place).isLetterOrNumber();
}

} // namespace

FindKey::FindKey(const QString& text) : m_text(text.toLower()) {
    qsizetype at = 0;
    while (at < m_text.size()) {
        if (!m_text.at(at).isDigit()) {
            ++at;
            continue;
        }
        qsizetype end = at;
        while (end < m_text.size() && figureCharacter(m_text.at(end))) {
            ++end;
        }
        // A full stop behind a number ends a sentence.
        const qsizetype length = end - at - (m_text.at(end - 1) == QLatin1Char('.') ? 1 : 0);
        const bool alone = (at == 0 || !m_text.at(at - 1).isLetter()) && wordEndsAt(m_text, at + length);
        if (alone && length > 0) {
            m_figures.push_back({thousandthsOf(QStringView(m_text).mid(at, length)), at, length});
        }
        at = std::max(end, at + 1);
    }
}

/// Half a step of the last decimal to either side; the figures of keys are sizes in thousandths of a mm.
FindWords::Word FindWords::inInches(const QString& number) {
    constexpr double thousandths_an_inch = 25'400;
    const qsizetype point = number.indexOf(QLatin1Char('.'));
    const auto decimals = static_cast<double>(point < 0 ? 0 : number.size() - point - 1);
    bool good = false;
    const double inches = QLocale::c().toDouble(number, &good);
    constexpr double most_inches = 40'000;
    if (!good || inches > most_inches) return {number, true, -1, -1};
    return {number, true, std::llround(inches * thousandths_an_inch),
            static_cast<qint64>(std::floor(thousandths_an_inch / 2 * std::pow(10.0, -decimals))) + 1};
}

FindWords::FindWords(const QString& typed, services::SizeUnit bare) {
    static const QRegularExpression between(QString::fromUtf8(
        "((?<=[0-9.\"])|(?<=[0-9]mm)|(?<=[0-9] mm)|(?<=[0-9]in)|(?<=[0-9] in))\\s*[x\u00d7*]\\s*(?=[0-9.])"));
    static const QRegularExpression unit(QStringLiteral("^([0-9.]+)(mm|in|inch|inches|\"|'')$"));
    const QString text = typed.toLower().replace(between, QStringLiteral(" "));
    for (const services::SizeWord& size : services::sizeWords(text.toStdString())) {
        QString word = QString::fromStdString(size.text);
        if (word.at(0).isDigit()) { // a decimal comma is what some keyboards give
            word.replace(QLatin1Char(','), QLatin1Char('.'));
        }
        if (word.size() > 1 && word.at(0) == QLatin1Char('.') && word.at(1).isDigit()) {
            word.prepend(QLatin1Char('0'));
        }
        if (const auto with_unit = unit.match(word); with_unit.hasMatch()) {
            word = with_unit.captured(1);
            if (with_unit.captured(2) != QLatin1String("mm")) {
                m_words.push_back(inInches(word));
                continue;
            }
        } else if (bare == services::SizeUnit::inches && word.at(0).isDigit() &&
                   word.contains(QLatin1Char('.')) && std::ranges::all_of(word, figureCharacter)) {
            m_words.push_back(inInches(word));
            continue;
        }
        const bool figure = word.at(0).isDigit() && std::ranges::all_of(word, figureCharacter);
        m_words.push_back({word, figure, figure ? thousandthsOf(word) : -1, -1});
    }
}

int FindWords::rankOf(const Word& word, const FindKey& key) {
    int best = -1;
    const auto offer = [&best](int rank) { best = best < 0 ? rank : std::min(best, rank); };
    if (word.figure) {
        for (const FindKey::Figure& figure : key.m_figures) {
            const bool same = word.off < 0 ? word.thousandths == figure.thousandths
                                           : std::abs(word.thousandths - figure.thousandths) < word.off;
            if (word.thousandths >= 0 && figure.thousandths >= 0 && same) {
                return whole;
            }
            if (word.off >= 0) {
                continue; // the beginnings of inches are not those of millimetres
            }
            if (QStringView(key.m_text).mid(figure.begin, figure.length).startsWith(word.text)) {
                offer(beginning);
            }
        }
        return best;
    }
    for (qsizetype at = key.m_text.indexOf(word.text); at >= 0 && best != whole;
         at = key.m_text.indexOf(word.text, at + 1)) {
        const bool begins = wordEndsAt(key.m_text, at - 1);
        offer(!begins ? middle : wordEndsAt(key.m_text, at + word.text.size()) ? whole : beginning);
    }
    return best;
}

FindFit FindWords::fit(const FindKey& key) const {
    FindFit fit{true, true, whole};
    for (const Word& word : m_words) {
        const int rank = rankOf(word, key);
        if (rank < 0) {
            return {};
        }
        fit.whole_figures = fit.whole_figures && (!word.figure || rank == whole);
        fit.rank = std::max(fit.rank, rank);
    }
    return fit;
}

std::vector<bool> shownOf(const std::vector<FindFit>& fits) {
    const bool any_whole =
        std::ranges::any_of(fits, [](const FindFit& fit) { return fit.fits && fit.whole_figures; });
    std::vector<bool> shown;
    shown.reserve(fits.size());
    for (const FindFit& fit : fits) {
        shown.push_back(fit.fits && (fit.whole_figures || !any_whole));
    }
    return shown;
}

} // namespace shimledger::desk
