# SPDX-License-Identifier: GPL-3.0-or-later
"""The riding year in the workshop: which days are worked, and how many jobs a day brings."""

import datetime

FIRST = datetime.date(2025, 11, 20)
LAST = datetime.date(2026, 11, 20)
STOCKTAKE = datetime.date(2026, 1, 10)
OPENING_COUNT = datetime.date(2025, 11, 19)
LAST_ORDER = datetime.date(2026, 10, 26)  # the manager has not sat down to it since
SETTLE = datetime.date(2026, 10, 12)      # from here on, parts of the open jobs head for their closing stock

# Jobs per hundred working days, by month: the rush before and early in the season, quiet at midsummer,
# a second wave when the racing stops, then nothing much until the new year.
_JOBS_PER_100_DAYS = {1: 190, 2: 250, 3: 290, 4: 270, 5: 230, 6: 180, 7: 120, 8: 130, 9: 170, 10: 150, 11: 100, 12: 80}


def working_days():
    day = FIRST
    while day <= LAST:
        saturday_in_season = day.weekday() == 5 and 2 <= day.month <= 5
        holiday = (day.month, day.day) >= (12, 24) or (day.month, day.day) <= (1, 1)
        if (day.weekday() < 5 or saturday_in_season or day == STOCKTAKE) and not holiday:
            yield day
        day += datetime.timedelta(days=1)


def jobs_on(day, draws):
    """Five chances a day, so that the number is intermittent around the month's mean."""
    return sum(draws.below(500) < _JOBS_PER_100_DAYS[day.month] for _ in range(5))
