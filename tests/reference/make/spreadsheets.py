"""Tables as other programs save them, and the program's own tables read by pandas.

Without an argument: writes ../spreadsheets/, a few sites and a skyline saved by Python's csv, by
pandas, and by LibreOffice out of a workbook of openpyxl, with the signs of several countries.

With the program as argument: writes nothing; asks it for each style of CSV and compares what
pandas reads with what it reads in the default style.

LibreOffice 7.4.7.2 (Debian 12, package libreoffice-calc-nogui); the others as in requirements.txt.
"""

import csv
import io
import pathlib
import subprocess
import sys
import tempfile

import openpyxl
import pandas

FOLDER = pathlib.Path(__file__).parent.parent / "spreadsheets"
HEADER = ["name", "latitude_deg", "longitude_deg", "elevation_m", "time_zone", "notes",
          "camera.sensor_mm", "sky.glow", "guide", "permit fee"]
ROWS = [
    ["Tinaja Mesa", 37.18, -113.42, 1900.5, "America/Denver", "last mile on foot; snow, too",
     "35.9x23.9", "70 20 15 20.5; 210 30 20 19.8", "Mara", 12.5],
    ["Gratalm Hütte", 46.9275, 10.8125, 2310, "Europe/Vienna", "says \"closed\" in May", "36x24",
     None, "Jörg & Ann; both", None],
]
SKYLINE = [(0, 2.5), (90.5, 1.125), (180, -0.25)]


def german(value):
    """A value as text with a decimal comma."""
    if value is None:
        return ""
    return str(value).replace(".", ",") if isinstance(value, (int, float)) else value


def by_csv():
    with open(FOLDER / "csv_semicolon.csv", "w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(HEADER)
        writer.writerows([german(value) for value in row] for row in ROWS)
    with open(FOLDER / "csv_sep_line.csv", "w", encoding="utf-8", newline="") as file:
        file.write("sep=;\r\n")
        writer = csv.writer(file, delimiter=";", quoting=csv.QUOTE_ALL)
        writer.writerow(HEADER)
        writer.writerows([german(value) for value in row] for row in ROWS)
    with open(FOLDER / "skyline_semicolon.csv", "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(["azimuth_deg", "altitude_deg"])
        writer.writerows([german(value) for value in row] for row in SKYLINE)


def by_pandas():
    table = pandas.DataFrame(ROWS, columns=HEADER)
    table.to_csv(FOLDER / "pandas_semicolon.csv", sep=";", decimal=",", index=False)
    table.to_csv(FOLDER / "pandas_semicolon_points.csv", sep=";", index=False)
    table.to_csv(FOLDER / "pandas_unicode_text.csv", sep="\t", decimal=",", index=False,
                 encoding="utf-16")


def by_libreoffice():
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    sheet.append(HEADER)
    for row in ROWS:
        sheet.append(row)
    workbook.save(FOLDER / "places.xlsx")
    # As people see heights in a sheet: with a sign between thousands.
    for row in range(2, 2 + len(ROWS)):
        sheet.cell(row, 1 + HEADER.index("elevation_m")).number_format = "#,##0"
    with tempfile.TemporaryDirectory() as folder:
        thousands = pathlib.Path(folder) / "thousands.xlsx"
        workbook.save(thousands)
        for source, locale, separator, charset, name in [
            (FOLDER / "places.xlsx", "de-DE", 59, 76, "libreoffice_de.csv"),
            (FOLDER / "places.xlsx", "en-US", 44, 76, "libreoffice_en.csv"),
            (FOLDER / "places.xlsx", "fr-FR", 9, 65535, "libreoffice_unicode_text_fr.csv"),
            (thousands, "de-DE", 59, 76, "libreoffice_thousands_de.csv"),
        ]:
            profile = pathlib.Path(folder) / locale
            (profile / "user").mkdir(parents=True, exist_ok=True)
            (profile / "user" / "registrymodifications.xcu").write_text(
                '<?xml version="1.0" encoding="UTF-8"?>\n<oor:items '
                'xmlns:oor="http://openoffice.org/2001/registry"><item '
                'oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" '
                f'oor:op="fuse"><value>{locale}</value></prop></item></oor:items>\n')
            # Separator, quotation mark, encoding, first line, no columns, language,
            # quotes only where needed, cells as they are shown.
            options = f"{separator},34,{charset},1,,0,false,true"
            subprocess.run(
                ["soffice", f"-env:UserInstallation=file://{profile}", "--headless",
                 "--convert-to", f"csv:Text - txt - csv (StarCalc):{options}",
                 "--outdir", folder, str(source)],
                check=True, capture_output=True)
            made = pathlib.Path(folder) / (source.stem + ".csv")
            (FOLDER / name).write_bytes(made.read_bytes())


def read_back(program):
    """Compares each style, read by pandas, with the usual one."""
    signs = {"comma": (",", "."), "semicolon": (";", ","), "tab": ("\t", ".")}
    site = str(FOLDER / "csv_semicolon.csv")
    commands = {
        "scan": ["scan", site, "--from", "2027-05-01", "--to", "2027-06-30"],
        "scan --by month": ["scan", site, "--by", "month", "--from", "2027-05-01",
                            "--to", "2027-06-30"],
        "night": ["night", f"{site}#Tinaja Mesa", "--on", "2027-05-29"],
    }
    for name, command in commands.items():
        tables = {}
        for style, (separator, decimal) in signs.items():
            run = subprocess.run([program, *command, "--quiet", "--format", "csv",
                                  "--csv-style", style], check=True, capture_output=True)
            # A value of the user's own is passed through as it was written.
            tables[style] = pandas.read_csv(io.BytesIO(run.stdout), sep=separator,
                                            decimal=decimal, dtype={"permit fee": str})
        for style, table in tables.items():
            pandas.testing.assert_frame_equal(table, tables["comma"])
            numbers = table.select_dtypes("number").shape[1]
            print(f"{name}, {style}: {table.shape[0]} rows, {table.shape[1]} columns, "
                  f"{numbers} of them numbers, as in the usual style")


if len(sys.argv) > 1:
    read_back(sys.argv[1])
else:
    FOLDER.mkdir(exist_ok=True)
    by_csv()
    by_pandas()
    by_libreoffice()
