"""forecasts/: a forecast of cloud as pandas and Python's csv write it, and forecasts.csv: the cloud
that numpy interpolates in it, at moments and over periods.
"""

import csv
import datetime
import os

import numpy as np
import pandas as pd

HERE = os.path.dirname(os.path.abspath(__file__))
FOLDER = os.path.join(HERE, "..", "forecasts")
SEED = 18021228
BEGIN = pd.Timestamp("2027-05-20T00:00:00Z")
# A forecast is interpolated over six hours at most.
LONGEST_GAP_H = 6.0


def hours():
    """Hourly for three days, then by three and by six hours, with a hole of nine."""
    near = np.arange(0.0, 72.0)
    far = np.arange(72.0, 144.0, 3.0)
    last = np.arange(144.0, 241.0, 6.0)
    steps = np.concatenate([near, far, last])
    return steps[(steps < 20.0) | (steps > 28.0)]


def cloud_at(at, cloud, hour):
    """numpy's line between the rows; nothing where there is no forecast."""
    after = int(np.searchsorted(at, hour, side="right"))
    if after > 0 and at[after - 1] == hour:
        return float(cloud[after - 1])
    if after == 0 or after == len(at) or at[after] - at[after - 1] > LONGEST_GAP_H:
        return None
    return float(np.interp(hour, at, cloud))


def cloud_over(at, cloud, begin, end):
    """Mean by numpy's trapezoid through the rows and both ends, and the most of them."""
    inside = at[(at > begin) & (at < end)]
    corners = np.concatenate([[begin], inside, [end]])
    values = [cloud_at(at, cloud, hour) for hour in corners]
    if None in values or np.any(np.diff(corners) > LONGEST_GAP_H):
        return None
    return float(np.trapezoid(values, corners) / (end - begin)), max(values)


def texts(moment, hours_after):
    return (moment + pd.Timedelta(hours=hours_after)).round("s").strftime("%Y-%m-%dT%H:%M:%SZ")


def main():
    os.makedirs(FOLDER, exist_ok=True)
    random = np.random.default_rng(SEED)
    at = hours()
    cloud = np.round(np.clip(random.normal(45.0, 45.0, len(at)), 0.0, 100.0), 1)
    times = BEGIN + pd.to_timedelta(at, unit="h")
    frame = pd.DataFrame({"time_utc": times, "cloud": cloud, "source": "invented"})
    plain = os.path.join(FOLDER, "pandas.csv")
    frame.to_csv(plain, index=False)
    # The index first, another order, and a missing value, which pandas leaves empty.
    shares = frame.sample(frac=1.0, random_state=SEED).drop(columns="source")
    shares["cloud_fraction"] = shares.pop("cloud") / 100.0
    gone = pd.DataFrame({"time_utc": [BEGIN + pd.Timedelta(minutes=90)], "cloud_fraction": [np.nan]})
    pd.concat([shares, gone]).to_csv(os.path.join(FOLDER, "pandas_shares.csv"))
    # As a spreadsheet that writes decimal commas saves it, for two sites.
    with open(os.path.join(FOLDER, "spreadsheet.csv"), "w", encoding="utf-8-sig", newline="") as file:
        rows = csv.writer(file, delimiter=";")
        rows.writerow(["site", "time_utc", "cloud", "remark"])
        for hour, percent in zip(at, cloud):
            for site, value in [("Salt Pan", percent), ("Tank", 100.0 - percent)]:
                moment = (BEGIN + pd.Timedelta(hours=hour)).strftime("%Y-%m-%d %H:%M")
                rows.writerow([site, moment, f"{value:.1f}".replace(".", ","), "a;b"])
    with open(os.path.join(HERE, "..", "forecasts.csv"), "w", encoding="utf-8", newline="\n") as file:
        file.write(
            "# The cloud of forecasts/ at a moment (no end), or over a period: its mean and its most.\n"
            f"# Source: numpy {np.__version__} (interp, trapezoid), pandas {pd.__version__}.\n"
            f"# Settings: seed {SEED}; straight lines between rows up to {LONGEST_GAP_H:g} hours apart;\n"
            "# empty where there is no forecast. Script make/forecasts.py.\n"
            f"# Made {datetime.date.today().isoformat()}.\n"
            "from_utc,to_utc,mean,most\n"
        )
        for case in range(160):
            begin = np.round(random.uniform(-3.0, 245.0) * 60.0) / 60.0
            if case % 4 == 0:
                value = cloud_at(at, cloud, begin)
                found = None if value is None else (value, value)
                end = ""
            else:
                length = np.round(random.uniform(0.1, 9.0) * 60.0) / 60.0
                found = cloud_over(at, cloud, begin, begin + length)
                end = texts(BEGIN, begin + length)
            values = ["", ""] if found is None else [f"{value:.6f}" for value in found]
            file.write(",".join([texts(BEGIN, begin), end, *values]) + "\n")


if __name__ == "__main__":
    main()
