"""Reads every table that the program writes with libraries for data frames, SQL and spreadsheets.

`python tables.py PROGRAM` writes nothing. It asks the program for each table, with points and with
decimal commas, and fails at the first column that a library reads as another type than
docs/schema/columns.csv says, time that is not the one in UTC, empty field that is not null, or name
of a stranger that does not come out as it went in. LibreOffice 7.4.7.2 (Debian 12, package
libreoffice-calc-nogui); the others as in requirements.txt.

The commands of docs/formats.md, *Read by other libraries*, are run as they stand there.
"""

import csv
import datetime
import pathlib
import re
import sqlite3
import subprocess
import sys
import tempfile
import zoneinfo

import duckdb
import openpyxl
import pandas
import polars

ROOT = pathlib.Path(__file__).resolve().parents[3]
TYPES = {}
with open(ROOT / "docs/schema/columns.csv", encoding="utf-8", newline="") as file:
    for row in csv.DictReader(file):
        TYPES.setdefault(row["table"], {})[row["column"]] = row["type"]

# Names and values that are data to every reader.
STRANGERS = [
    ["name", "latitude_deg", "longitude_deg", "time_zone", "guide", "permit", "fee; a, b"],
    ['Ö "Q"; x, y', 37.18, -113.42, "America/Denver", 'Mara; "J", x', "007", "-3"],
    ["北門 <b>&amp;", 46.9275, 10.8125, "Europe/Vienna", "'text'", "+41 79 123 45 67", "1,5"],
    ["NULL", 5.6, -0.2, "Africa/Accra", "NaN", "1e5", ""],
    ["true", -43.6, 170.1, "Pacific/Auckland", "2027-05-29", "inf", ""],
]
ZONES = {row[0]: zoneinfo.ZoneInfo(row[3]) for row in STRANGERS[1:]}
OWN = {row[0]: dict(zip(STRANGERS[0][4:], row[4:])) for row in STRANGERS[1:]}

SCAN = ["scan", "strangers.csv"]
NIGHT = ["night", 'strangers.csv#Ö "Q"; x, y', "--on", "2027-05-29"]
TABLES = {
    "windows": [SCAN + ["--from", "2027-03-20", "--to", "2027-04-20", "--light", "any"],
                SCAN + ["--from", "2027-05-01", "--to", "2027-06-20", "--light", "blend"]],
    "months": [SCAN + ["--by", "month", "--from", "2027-03-01", "--to", "2027-05-10"]],
    "years": [SCAN + ["--by", "year", "--from", "2027-11-20", "--to", "2028-02-10",
                      "--light", "dark"]],
    "months beside": [SCAN + ["--by", "month", "--compare", "years", "--from", "2027-03-01",
                              "--to", "2027-05-10"]],
    "season": [SCAN + ["--season", "--from", "2027-03-20", "--to", "2027-05-20"]],
    "trip": [["trip", "strangers.csv", "--from", "2027-05-01", "--to", "2027-06-20",
              "--light", "any", "--nights", "2"]],
    "night": [NIGHT],
}
# What LibreOffice calls the languages of the signs.
STYLES = {"comma": (",", ".", 44, 1033), "semicolon": (";", ",", 59, 1031)}
NUMBERS = ("number", "integer")


def check(right, *told):
    if not right:
        sys.exit(f"wrong: {told}")


def plain(folder, name, delimiter):
    """The rows as Python's csv reads them: the texts that were written."""
    with open(folder / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter=delimiter, strict=True))


def typed(kind, text, decimal):
    """The value that a text stands for; None where it is empty."""
    if text == "":
        return None
    if kind == "integer":
        return int(text)
    if kind == "number":
        return float(text.replace(decimal, "."))
    if kind == "boolean":
        return {"true": True, "false": False}[text]
    if kind == "date":
        return datetime.date.fromisoformat(text)
    if kind == "local time":
        return datetime.datetime.strptime(text, "%Y-%m-%d %H:%M:%S")
    if kind == "UTC time":
        return datetime.datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(
            tzinfo=datetime.timezone.utc)
    return text


def same(found, wanted):
    """Whether a library's value is this one."""
    if wanted is None:
        return found is None or found is pandas.NaT or found != found
    if isinstance(found, pandas.Timestamp):
        found = found.to_pydatetime()
    if isinstance(wanted, datetime.date) and isinstance(found, datetime.datetime) \
            and not isinstance(wanted, datetime.datetime):
        found = found.date() if found.time() == datetime.time() else found
    if isinstance(wanted, float):
        return float(found) == wanted
    return found == wanted


def compare(library, columns, rows, kinds, decimal):
    """Every value of every column against the text that was written."""
    check(all(len(values) == len(rows) for values in columns.values()), library, "rows")
    for name, values in columns.items():
        for value, row in zip(values, rows):
            wanted = typed(kinds.get(name, "text"), row[name], decimal)
            check(same(value, wanted), library, name, value, wanted)


def clocks(rows):
    """Local times with their offset are the times in UTC."""
    for row in rows:
        for name in row:
            utc = name.removesuffix("_local") + "_utc"
            if not name.endswith("_local") or utc not in row or not row[name]:
                continue
            local = typed("local time", row[name], ".")
            moment = typed("UTC time", row[utc], ".")
            zone = ZONES[row["site"]]
            check(moment.astimezone(zone).replace(tzinfo=None) == local, name, row[name], row[utc])
            if name in ("best_local", "time_local"):
                offset = moment.astimezone(zone).strftime("%:z") \
                    if sys.version_info >= (3, 12) else moment.astimezone(zone).isoformat()[-6:]
                check(row["utc_offset"] == offset, row["utc_offset"], offset)


def by_pandas(path, separator, decimal, kinds, rows):
    of = lambda *wanted: [name for name in rows[0] if kinds.get(name, "text") in wanted]
    table = pandas.read_csv(
        path, sep=separator, decimal=decimal, keep_default_na=False, na_values=[""],
        dtype={**dict.fromkeys(of("text", "month", "offset"), "str"),
               **dict.fromkeys(of("number"), "float64"), **dict.fromkeys(of("integer"), "Int64"),
               **dict.fromkeys(of("boolean"), "boolean")},
        parse_dates=of("date", "local time", "UTC time"), date_format="ISO8601")
    for name, dtype in table.dtypes.items():
        kind = kinds.get(name, "text")
        filled = table[name].notna().any()
        if kind in ("date", "local time") and filled:
            check(str(dtype).startswith("datetime64") and "UTC" not in str(dtype), name, dtype)
        if kind == "UTC time" and filled:
            check("UTC" in str(dtype), name, dtype)
    values = {}
    for name in table:
        column = table[name].astype(object)
        values[name] = [None if pandas.isna(value) else value for value in column]
    compare("pandas", values, rows, kinds, decimal)


POLARS = {"text": polars.String, "month": polars.String, "offset": polars.String,
          "number": polars.Float64, "integer": polars.Int64, "boolean": polars.Boolean,
          "date": polars.Date, "local time": polars.Datetime("us"),
          "UTC time": polars.Datetime("us", "UTC")}


def by_polars(path, separator, decimal, kinds, rows):
    # Without being told, it finds the types itself, except of columns that are empty.
    table = polars.read_csv(path, separator=separator, decimal_comma=decimal == ",",
                            try_parse_dates=True, infer_schema_length=None,
                            schema_overrides={name: polars.String for name in rows[0]
                                              if kinds.get(name, "text") == "text"})
    for name, dtype in table.schema.items():
        kind = kinds.get(name, "text")
        filled = table[name].null_count() < len(rows)
        if filled and not (kind == "number" and dtype == polars.Int64):
            check(dtype == POLARS[kind], "polars", name, dtype, kind)
    compare("polars", {name: table[name].to_list() for name in table.columns}, rows, kinds, decimal)


DUCKDB = {"text": "VARCHAR", "month": "VARCHAR", "offset": "VARCHAR", "number": "DOUBLE",
          "integer": "BIGINT", "boolean": "BOOLEAN", "date": "DATE", "local time": "TIMESTAMP",
          "UTC time": "TIMESTAMP WITH TIME ZONE"}


def by_duckdb(path, separator, decimal, kinds, rows):
    types = {name: DUCKDB[kinds.get(name, "text")] for name in rows[0]}
    connection = duckdb.connect()
    connection.execute("SET TimeZone = 'UTC'")
    whole = connection.read_csv(str(path), delimiter=separator, decimal=decimal, dtype=types)
    check([str(t) for t in whole.types] == list(types.values()), "duckdb", whole.types)
    # Written as Parquet and read back, it is the same.
    for table in (whole, None):
        if table is None:
            parquet = path.with_suffix(".parquet")
            whole.write_parquet(str(parquet))
            table = connection.read_parquet(str(parquet))
        names, found = table.columns, table.fetchall()
        columns = {name: [row[index] for row in found] for index, name in enumerate(names)}
        compare("duckdb", columns, rows, kinds, decimal)


def by_sqlite(rows, kinds, decimal):
    """As its shell imports CSV: all text, turned into numbers by the types of the columns."""
    affinity = {"number": "REAL", "integer": "INTEGER"}
    connection = sqlite3.connect(":memory:")
    quoted = {name: '"' + name.replace('"', '""') + '"' for name in rows[0]}
    columns = ", ".join(f"{quoted[name]} {affinity.get(kinds.get(name, 'text'), 'TEXT')}"
                        for name in quoted)
    connection.execute(f"CREATE TABLE t ({columns})")
    marks = ", ".join("?" * len(quoted))
    texts = [[row[name].replace(decimal, ".") if kinds.get(name) == "number" else row[name]
              for name in quoted] for row in rows]
    connection.executemany(f"INSERT INTO t VALUES ({marks})", texts)
    for name, column in quoted.items():
        kind = kinds.get(name, "text")
        stored = {kind for kind, in connection.execute(
            f"SELECT DISTINCT typeof({column}) FROM t WHERE {column} <> ''")}
        if kind in NUMBERS:
            check(stored <= {"real", "integer"}, "sqlite", name, stored)
        if kind == "UTC time":
            # Its own functions know the form.
            for text, read in connection.execute(
                    f"SELECT {column}, strftime('%Y-%m-%dT%H:%M:%SZ', {column}) FROM t "
                    f"WHERE {column} <> ''"):
                check(text == read, "sqlite", name, text, read)
        if kind == "date":
            for text, read in connection.execute(f"SELECT {column}, date({column}) FROM t "
                                                 f"WHERE {column} <> ''"):
                check(text == read, "sqlite", name, text, read)


def by_libreoffice(folder, name, style, kinds, rows):
    """What a spreadsheet in the country of the signs has in its cells."""
    _, decimal, sign, language = STYLES[style]
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless",
         "--convert-to", "xlsx", f"--infilter=CSV:{sign},34,76,1,,{language},false,true,false",
         "--outdir", str(folder / "sheets"), str(folder / name)],
        check=True, capture_output=True)
    sheet = openpyxl.load_workbook((folder / "sheets" / name).with_suffix(".xlsx")).active
    cells = list(sheet.iter_rows())
    header = [cell.value for cell in cells[0]]
    check(header == list(rows[0]), "libreoffice", header)
    for row, line in zip(rows, cells[1:], strict=True):
        for column, cell in zip(header, line):
            check(cell.data_type != "f", "libreoffice: a formula", column, cell.value)
            kind, text = kinds.get(column), row[column]
            if column in OWN[rows[0]["site"]]:
                continue  # A number that is the user's own becomes a number.
            if kind == "month" or kind == "UTC time" or (kind == "text" and text not in ("true",)):
                check(cell.value == (text or None), "libreoffice", column, cell.value, text)
            if kind in NUMBERS or kind in ("date", "local time"):
                wanted = typed(kind, text, decimal)
                check(same(cell.value, wanted), "libreoffice", column, cell.value, text)
            if kind == "offset" and text:
                # A duration: the local time less it is UTC.
                ahead = cell.value
                if isinstance(ahead, datetime.time):
                    ahead = datetime.timedelta(hours=ahead.hour, minutes=ahead.minute)
                hours, minutes = int(text[1:3]), int(text[4:6])
                wanted = datetime.timedelta(hours=hours, minutes=minutes)
                check(ahead == (wanted if text[0] == "+" else -wanted), column, ahead, text)


def strangers(rows):
    for row in rows:
        if not row["site"]:
            continue  # A free evening of a trip.
        check(row["site"] in OWN, row["site"])
        for name, value in OWN[row["site"]].items():
            check(row[name] == value, name, row[name], value)


def documented(program, folder):
    """The commands of the documentation, as they stand there."""
    text = (ROOT / "docs/formats.md").read_text(encoding="utf-8")
    section = text.split("## Read by other libraries\n")[1].split("\n## ")[0]
    (folder / "rakelight").symlink_to(program)
    ran = 0
    for language, code in re.findall(r"```(sh|python)\n(.*?)```", section, re.S):
        start = ["bash", "-ec"] if language == "sh" else [sys.executable, "-c"]
        subprocess.run(start + [code], check=True, cwd=folder, stdout=subprocess.DEVNULL,
                       env={"PATH": f"{folder}:{pathlib.Path(sys.executable).parent}:/usr/bin:/bin",
                            "HOME": str(folder)})
        ran += 1
    check(ran >= 4, "commands", ran)
    return ran


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    check(set(TABLES) == set(TYPES), sorted(TYPES))
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        with open(folder / "strangers.csv", "w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(STRANGERS)
        for table, commands in TABLES.items():
            kinds = TYPES[table]
            for number, command in enumerate(commands):
                for style, (separator, decimal, *_) in STYLES.items():
                    file = f"{table.replace(' ', '_')}_{number}_{style}.csv"
                    run = subprocess.run([program, *command, "--quiet", "--format", "csv",
                                          "--csv-style", style, "-o", file], cwd=folder,
                                         capture_output=True, text=True)
                    check(run.returncode == 0, command, run.stderr)
                    rows = plain(folder, file, separator)
                    own = [name for name in rows[0] if name not in kinds]
                    check(list(rows[0])[:len(kinds)] == list(kinds), table, list(rows[0]))
                    check(set(own) <= set(STRANGERS[0]), own)
                    clocks(rows)
                    strangers(rows)
                    by_pandas(folder / file, separator, decimal, kinds, rows)
                    by_polars(folder / file, separator, decimal, kinds, rows)
                    by_duckdb(folder / file, separator, decimal, kinds, rows)
                    by_sqlite(rows, kinds, decimal)
                    by_libreoffice(folder, file, style, kinds, rows)
                    print(f"{table}, {style}: {len(rows)} rows, {len(rows[0])} columns")
        print(f"{documented(program, folder)} commands of docs/formats.md")


main()
