"""Makes the reference sheets beside this file with programs other than this project's.

Python 3.11 (its csv module), XlsxWriter 3.2.9 and openpyxl 3.1.5 were used; the content is invented.
Each workbook's .json holds what went in, as text, so that reading must give it back.
Run in this folder: python make_sheets.py
"""

import csv
import datetime
import io
import json
import random

import openpyxl
import xlsxwriter
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont


def delimited():
    random.seed(4180)
    pieces = ["a", "B", "7", '"', ",", ";", "\t", "|", "\n", "\r\n", " ", "é", "ñ", "°"]
    cases = []
    for number in range(80):
        delimiter = ",;\t|"[number % 4]
        quoting = [csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC][number % 3]
        line_end = ["\r\n", "\n"][number % 2]
        rows = [
            ["animal", "toe", "note"],
            *[
                [f"AB{row}", random.choice(["31.5", "30", ""]), "".join(random.choices(pieces, k=random.randrange(8)))]
                for row in range(6)
            ],
        ]
        text = io.StringIO(newline="")
        csv.writer(text, delimiter=delimiter, quoting=quoting, lineterminator=line_end).writerows(rows)
        assert list(csv.reader(io.StringIO(text.getvalue(), newline=""), delimiter=delimiter)) == rows
        cases.append({"delimiter": delimiter, "text": text.getvalue(), "rows": rows})
    source = "Written and read back by the csv module of Python 3.11; see make_sheets.py"
    with open("delimited-by-python.json", "w") as file:
        json.dump({"source": source, "cases": cases}, file, ensure_ascii=False, indent=1)


def days():
    """Days spread over what a workbook can hold, with a time of day."""
    first = datetime.datetime(1900, 3, 1)
    step = datetime.timedelta(days=7301, hours=5, minutes=7, seconds=11)
    return [first + step * number for number in range(400) if number * 7302 < 2_950_000]


def by_xlsxwriter(name, date_1904):
    workbook = xlsxwriter.Workbook(name + ".xlsx", {"default_date_format": "yyyy-mm-dd", "date_1904": date_1904})
    sheet = workbook.add_worksheet("Days & times")
    rows = []
    for row, moment in enumerate(day for day in days() if not date_1904 or day.year >= 1905):
        sheet.write_datetime(row, 0, moment, workbook.add_format({"num_format": "d. mmmm yyyy hh:mm"}))
        sheet.write_datetime(row, 1, moment.date())
        sheet.write_datetime(row, 2, moment.time(), workbook.add_format({"num_format": "h:mm AM/PM"}))
        time = moment.strftime("%H:%M") if moment.second == 0 else moment.strftime("%H:%M:%S")
        rows.append([
            moment.strftime("%Y-%m-%dT%H:%M:%S") if moment.time() != datetime.time() else moment.strftime("%Y-%m-%d"),
            moment.strftime("%Y-%m-%d"),
            time,
        ])
    kinds = workbook.add_worksheet("Kinds")
    bold = workbook.add_format({"bold": True})
    kinds.merge_range("A1:D1", "Trims of the spring", bold)
    kinds.write_row(1, 0, ["animal", "toe", "share", "note"])
    kinds.write_string(2, 0, "982000123456789")
    kinds.write_number(2, 1, 31.7)
    kinds.write_number(2, 2, 0.145, workbook.add_format({"num_format": "0.0%"}))
    kinds.write_rich_string(2, 3, "very ", bold, "lame", " today")
    kinds.write_number(3, 0, 982000123456789)
    kinds.write_formula(3, 1, "=B3*2", None, 63.4)
    kinds.write_boolean(3, 2, True)
    kinds.write_formula(3, 3, "=NA()", None, "#N/A")
    kinds.write_string(5, 0, " <b> & 'x' \"y\"\nline two _x0041_ ")
    hidden = workbook.add_worksheet("Old")
    hidden.write_string("B2", "kept")
    hidden.hide()
    workbook.close()
    expected = [
        {"worksheet": "Days & times", "hidden": False, "rows": [[n + 1, *row] for n, row in enumerate(rows)]},
        {
            "worksheet": "Kinds",
            "hidden": False,
            "rows": [
                [1, "Trims of the spring"],
                [2, "animal", "toe", "share", "note"],
                [3, "982000123456789", "31.7", "14.5%", "very lame today"],
                [4, "982000123456789", "63.4", "TRUE", "#N/A"],
                [6, " <b> & 'x' \"y\"\nline two _x0041_ "],
            ],
        },
        {"worksheet": "Old", "hidden": True, "rows": [[2, "", "kept"]]},
    ]
    with open(name + ".json", "w") as file:
        json.dump({"source": "XlsxWriter 3.2.9; see make_sheets.py", "tables": expected}, file, ensure_ascii=False, indent=1)


def by_openpyxl(name):
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    sheet.title = "Trims"
    random.seed(29500)
    rows = []
    for row in range(1, 201):
        kinds = [random.random(), random.uniform(-1e6, 1e6), float(random.randrange(10**6)), random.uniform(0, 1e-4)]
        # openpyxl writes 16 digits, so numbers of 15 come through it unchanged.
        number = float(f"{random.choice(kinds):.15g}")
        day = datetime.date(1950, 1, 1) + datetime.timedelta(days=random.randrange(36_500))
        text = random.choice(["sound", "é € ½", "a\tb", "  spaced  ", "=none", "x" * 300])
        sheet.cell(row, 1).value = day
        sheet.cell(row, 2).value = number
        sheet.cell(row, 4).value = text
        if text == "=none":
            sheet.cell(row, 4).data_type = "s"
        rows.append([row, day.isoformat(), number, "", text])
    rich = workbook.create_sheet("Rich")
    rich["A1"] = CellRichText("plain ", TextBlock(InlineFont(b=True), "bold"))
    workbook.create_sheet("Very hidden").sheet_state = "veryHidden"
    workbook["Very hidden"]["A1"] = datetime.timedelta(hours=26, minutes=30)
    workbook.save(name + ".xlsx")
    expected = [
        {"worksheet": "Trims", "hidden": False, "rows": rows},
        {"worksheet": "Rich", "hidden": False, "rows": [[1, "plain bold"]]},
        {"worksheet": "Very hidden", "hidden": True, "rows": [[1, "26:30"]]},
    ]
    with open(name + ".json", "w") as file:
        json.dump({"source": "openpyxl 3.1.5; see make_sheets.py", "tables": expected}, file, ensure_ascii=False, indent=1)


delimited()
by_xlsxwriter("workbook-by-xlsxwriter", False)
by_xlsxwriter("workbook-by-xlsxwriter-from-1904", True)
by_openpyxl("workbook-by-openpyxl")
