"""Dates degree-day requirements with numpy and with pandas, as main.go does with this project's packages.

    peers.py DIR NUMPY_OUT PANDAS_OUT

Degree-days by the single sine: Baskerville & Emin (1969), Ecology 50:514-517 (closed form from memory); by averages:
McMaster & Wilhelm (1997), Agricultural and Forest Meteorology 87:291-300, first interpretation (from memory). Written out here from the
formulas, not from the Go code.
"""

import sys
import time
from pathlib import Path

import numpy as np
import pandas as pd

BASES = [0.0, 5.0]
STARTS = [1, 60]
REQUIREMENTS = [50.01, 100.02, 200.01, 400.02, 800.01, 1600.02]
LAST = 365  # no later day of a year is looked at
ROUNDS = 3  # the quickest is told: what else a machine does only adds
ROUNDING = 1e-6  # degree-days: far more than a year's sum can be off, far less than a day brings


def sine(tmin, tmax, base):
    mean, half = (tmin + tmax) / 2, (tmax - tmin) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        angle = np.arcsin(np.clip((base - mean) / half, -1, 1))
    return ((mean - base) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi


def average(tmin, tmax, base):
    return np.maximum((tmin + tmax) / 2 - base, 0)


METHODS = {"sine": sine, "average": average}


def questions():
    """Every way to date a season but for its requirement: a sum serves for all of these."""
    for method, degree_days in METHODS.items():
        for base in BASES:
            for start in STARTS:
                yield method, degree_days, base, start


class Numpy:
    """Days in columns, sites in rows."""

    name = "numpy"
    row = [("date", "M8[D]"), ("tmin", "f8"), ("tmax", "f8")]

    def read(self, paths):
        tables = [np.loadtxt(path, dtype=self.row, delimiter=",", skiprows=2) for path in paths]
        days = tables[0]["date"]
        assert all(np.array_equal(table["date"], days) for table in tables)
        return days, np.stack([t["tmin"] for t in tables]), np.stack([t["tmax"] for t in tables])

    def date(self, data):
        days, tmin, tmax = data
        years = days.astype("M8[Y]")
        seasons = np.unique(years)
        begins = np.searchsorted(days, seasons.astype("M8[D]"))
        row = np.arange(len(tmin))
        dates = np.full((len(tmin), len(seasons), 0), "NaT", "M8[D]")
        for _, degree_days, base, start in questions():
            daily = degree_days(tmin, tmax, base)
            found = np.full((len(tmin), len(seasons), len(REQUIREMENTS)), "NaT", "M8[D]")
            for s, begin in enumerate(begins):
                first, end = begin + start - 1, begin + LAST
                sums = np.cumsum(daily[:, first:end], axis=1)  # not a number from a missing day on
                for r, need in enumerate(REQUIREMENTS):
                    reached = sums >= need
                    day = reached.argmax(axis=1)
                    ok = reached[row, day]
                    found[ok, s, r] = days[first + day[ok]]
            dates = np.concatenate([dates, found], axis=2)
        return dates

    def margin(self, data):
        """How close any sum comes to any requirement."""
        days, tmin, tmax = data
        nearest = np.inf
        for _, degree_days, base, start in questions():
            daily = degree_days(tmin, tmax, base)
            for begin in np.searchsorted(days, np.unique(days.astype("M8[Y]")).astype("M8[D]")):
                sums = np.cumsum(daily[:, begin + start - 1 : begin + LAST], axis=1)
                for need in REQUIREMENTS:
                    nearest = min(nearest, np.nanmin(np.abs(sums - need)))
        return nearest


class Pandas:
    """Days in rows, sites in columns. (A row for each day of each site, grouped by site and year, takes ten times as long.)"""

    name = "pandas"

    def read(self, paths):
        tables = {
            site: pd.read_csv(path, comment="#", index_col="date", parse_dates=True) for site, path in enumerate(paths)
        }
        return pd.concat(tables, axis=1).swaplevel(axis=1)

    def date(self, data):
        day = data.index.dayofyear
        answers = []
        for _, degree_days, base, start in questions():
            daily = degree_days(data["tmin_c"], data["tmax_c"], base)[(day >= start) & (day <= LAST)]
            season = daily.index.year
            sums = daily.groupby(season).cumsum(skipna=False)  # not a number from a missing day on
            first = pd.to_datetime(season.unique().astype(str)) + pd.Timedelta(days=start - 1)
            for need in REQUIREMENTS:
                short = (sums < need).groupby(season).sum()  # days that do not reach it
                on = short.apply(lambda site: first + pd.to_timedelta(site, unit="D"))
                answers.append(on.where((sums >= need).groupby(season).any()))
        # By site, season and question.
        return np.stack([on.to_numpy().astype("M8[D]").T for on in answers], axis=2)


def write(path, dates, first_year):
    asked = [f"{m},{base:g},{start},{need:g}" for m, _, base, start in questions() for need in REQUIREMENTS]
    text = np.where(np.isnat(dates), "", np.datetime_as_string(dates))
    with open(path, "w") as out:
        out.write("site,season,method,base,start,requirement,date\n")
        for site, seasons in enumerate(text):
            for s, answers in enumerate(seasons):
                out.writelines(f"{site},{first_year + s},{q},{date}\n" for q, date in zip(asked, answers))


def main(directory, *outs):
    paths = sorted(Path(directory).glob("site-*.csv"))
    for way, out in zip([Numpy(), Pandas()], outs, strict=True):
        reading, dating = [], []
        for _ in range(ROUNDS):
            began = time.perf_counter()
            data = way.read(paths)
            reading.append(time.perf_counter() - began)
            began = time.perf_counter()
            dates = way.date(data)
            dating.append(time.perf_counter() - began)
        version = {"numpy": np, "pandas": pd}[way.name].__version__
        print(f"{way.name + ' ' + version:16} {min(reading):8.3f} s {min(dating):8.3f} s")
        if way.name == "numpy":
            days, tmin, _ = data
            first_year = int(str(days[0])[:4])
            nearest = way.margin(data)
            told = (tmin.size, dates.shape[0] * dates.shape[1], dates.size, np.isnat(dates).sum(), nearest)
        write(out, dates, first_year)
    print("%d site-days, %d site-seasons, %d dates asked for, of which %d are none." % told[:4])
    print(f"The sum that comes nearest to a requirement is {nearest:.1e} degree-days away from it.")
    if not nearest > ROUNDING:
        sys.exit("peers.py: that is within rounding: choose requirements which no sum comes so near to")


if __name__ == "__main__":
    main(*sys.argv[1:])
