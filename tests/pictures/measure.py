#!/usr/bin/env python3
"""Measures each picture and page as a browser sets it.

Smallest type on a screen and in the PDF of an A4 sheet, contrast of text and
lines with what lies beneath or beside them (WCAG 2.2: 4.5:1 and 3:1), texts that
overlap or leave the sheet, lines through texts, pages wider than their screen.
`faults.csv` has a line per fault, `measured.csv` one per kind and look.
"""

import argparse
import collections
import csv
import io
import pathlib
import time

import numpy
import pymupdf
from PIL import Image

import cases
from browser import Browser

FONTS = ("DejaVu Sans", "Liberation Sans")
SCALE = 2
LEAST = {"a4": 7.0 / 72.0 * 96.0, "phone": 11.0}
LEAST_PT = 7.0
TEXT, LINE = 4.5, 3.0
# The share of what touches a text's letters that a line may take.
STRUCK = 0.02
SCRIPT = pathlib.Path(__file__).with_name("measured.js").read_text(encoding="utf-8")
HIDE = """
(() => { const style = document.createElementNS('http://www.w3.org/1999/xhtml', 'style');
  style.textContent = 'text:not([aria-hidden]){visibility:hidden!important}';
  document.documentElement.append(style); })()
"""


def in_font(font):
    return f"""
(() => {{ const style = document.createElementNS('http://www.w3.org/1999/xhtml', 'style');
  style.textContent = '*{{font-family:"{font}"!important}}';
  document.documentElement.append(style); }})()
"""


def luminance(color):
    """Relative luminance of sRGB, WCAG 2.2."""
    c = numpy.asarray(color, dtype=float)[..., :3] / 255.0
    linear = numpy.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    return linear @ numpy.array([0.2126, 0.7152, 0.0722])


def contrast(a, b):
    a, b = luminance(a), luminance(b)
    return (numpy.maximum(a, b) + 0.05) / (numpy.minimum(a, b) + 0.05)


def over(color, ground):
    """A colour with its opacity over a ground."""
    return color[3] * numpy.array(color[:3]) + (1.0 - color[3]) * numpy.asarray(ground)


def pixels(png):
    return numpy.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=float)


def text_faults(text, with_texts, without):
    """Contrast of a text with what lies beneath it, and how much of it a line crosses."""
    left, top, right, bottom = (int(round(SCALE * edge)) for edge in text["box"])
    here = (slice(max(top, 0), bottom), slice(max(left, 0), right))
    ground, seen = without[here], with_texts[here]
    if not ground.size:
        return None
    letters = abs(seen - ground).max(axis=-1) > 40.0
    if letters.sum() < 4:
        return None
    near = letters
    for _ in range(SCALE):
        wider = near.copy()
        wider[1:] |= near[:-1]
        wider[:-1] |= near[1:]
        wider[:, 1:] |= near[:, :-1]
        wider[:, :-1] |= near[:, 1:]
        near = wider
    beneath = ground[near]
    typical = numpy.median(beneath, axis=0)
    color = over(text["color"], typical)
    ratio = float(contrast(color, typical))
    # What touches the letters and has nearly their own grey.
    return ratio, float((contrast(color, beneath) < 0.5 * ratio).mean())


def line_contrast(stroke, seen):
    """Contrast of a line with the fainter of its two sides, where it is seen."""
    found = []
    rows, columns, _ = seen.shape
    for x, y, dx, dy in stroke["points"]:
        aside = 0.5 * stroke["width"] + 1.6
        places = [(x, y), (x + aside * dx, y + aside * dy), (x - aside * dx, y - aside * dy)]
        spots = [(int(SCALE * py), int(SCALE * px)) for px, py in places]
        if not all(0 <= row < rows and 0 <= column < columns for row, column in spots):
            continue
        at, *sides = (seen[spot] for spot in spots)
        if abs(at - numpy.array(stroke["color"][:3])).max() > 90.0:
            continue  # A dash's gap, or under something else.
        ratio = max(float(contrast(over(stroke["color"], side), side)) for side in sides)
        if ratio > 1.3:  # Else inside a texture of its own ink.
            found.append(ratio)
    return float(numpy.median(found)) if len(found) > 2 else None


def overlaps(texts):
    for index, a in enumerate(texts):
        for b in texts[index + 1:]:
            if a["picture"] < 0 or a["picture"] != b["picture"]:
                continue
            wide = min(a["box"][2], b["box"][2]) - max(a["box"][0], b["box"][0])
            high = min(a["box"][3], b["box"][3]) - max(a["box"][1], b["box"][1])
            if wide > 0.5 and high > 0.5:
                yield f"{a['words']} | {b['words']}", min(wide, high)


def smallest_in_pdf(data):
    """The smallest type of a PDF in points, with its words, and its pages."""
    with pymupdf.open(stream=data, filetype="pdf") as document:
        spans = [(span["size"], span["text"]) for page in document
                 for block in page.get_text("dict")["blocks"]
                 for line in block.get("lines", ()) for span in line["spans"]
                 if span["text"].strip()]
        return min(spans, default=(0.0, "no text at all")), document.page_count


class Findings:
    def __init__(self):
        self.faults, self.least = [], collections.defaultdict(dict)

    def add(self, case, look, fault, where, value):
        self.faults.append((case.kind, look, fault, where[:90], f"{value:.2f}",
                            cases.shown(case, look)))

    def lowest(self, case, look, what, value):
        kept = self.least[case.kind, look]
        kept[what] = min(kept.get(what, value), value)

    def count(self, case, look, what, number=1):
        kept = self.least[case.kind, look]
        kept[what] = kept.get(what, 0) + number


def judge(findings, case, look, size, page, seen, without, font):
    """Adds what is wrong with a page as the browser set it in one font."""
    texts = page["texts"]
    least = LEAST[size]
    for words, by in overlaps(texts):
        findings.add(case, look, f"texts overlap in {font}", words, by)
        findings.count(case, look, "overlaps")
    for text in texts:
        findings.lowest(case, look, "type_px", text["size"])
        if text["size"] < least - 0.02:
            findings.add(case, look, "type is too small, px", text["words"], text["size"])
        if text["sheet"]:
            box, sheet = text["box"], text["sheet"]
            out = max(sheet[0] - box[0], sheet[1] - box[1], box[2] - sheet[2], box[3] - sheet[3])
            if out > 0.5:
                findings.add(case, look, f"text leaves the sheet in {font}", text["words"], out)
                findings.count(case, look, "cut")
        if seen is None or text["picture"] < 0:
            continue
        judged = text_faults(text, seen, without)
        if judged is None:
            findings.add(case, look, "text is not seen", text["words"], 0.0)
            continue
        findings.lowest(case, look, "text_contrast", judged[0])
        if judged[0] < TEXT:
            findings.add(case, look, "text is pale", text["words"], judged[0])
        if judged[1] > STRUCK:
            findings.add(case, look, "a line crosses the text", text["words"], judged[1])
            findings.count(case, look, "crossed")
    if seen is not None:
        for stroke in page["strokes"]:
            ratio = line_contrast(stroke, seen)
            if ratio is None:
                continue
            findings.lowest(case, look, "line_contrast", ratio)
            if ratio < LINE:
                findings.add(case, look, "line is pale", stroke["mark"], ratio)
    for twin in page["twins"]:
        findings.add(case, look, "two elements have one id", twin, 2.0)


def measure_page(findings, browser, case, path):
    """A page of HTML: on a phone, and printed."""
    for font in FONTS:
        browser.show(path, 390, 844, SCALE, phone=True)
        browser.run(in_font(font))
        page = browser.run(SCRIPT)
        seen = without = None
        if font == FONTS[1]:
            seen = pixels(browser.screenshot(390, page["height"]))
            browser.run(HIDE)
            without = pixels(browser.screenshot(390, page["height"]))
        judge(findings, case, "phone", "phone", page, seen, without, font)
        if page["width"] > 391:
            findings.add(case, "phone", "the page is wider than the screen", font, page["width"])
        browser.show(path, 718)
        browser.run(in_font(font))
        (size, words), pages = smallest_in_pdf(browser.pdf())
        findings.lowest(case, "print", "print_pt", size)
        if size < LEAST_PT - 0.05:
            findings.add(case, "print", "type is too small, pt", words, size)
        findings.count(case, "print", "sheets", pages)


def measure_picture(findings, browser, case, paper, size, path):
    look = f"{paper} {size}"
    for font in FONTS:
        browser.show(path, 800)
        browser.run(in_font(font))
        page = browser.run(SCRIPT)
        sheet = page["pictures"][0]
        width, height = round(sheet[2] - sheet[0]), round(sheet[3] - sheet[1])
        seen = without = None
        if font == FONTS[1]:
            browser.show(path, width, height, SCALE)
            browser.run(in_font(font))
            page = browser.run(SCRIPT)
            seen = pixels(browser.screenshot(width, height))
            browser.run(HIDE)
            without = pixels(browser.screenshot(width, height))
        judge(findings, case, look, size, page, seen, without, font)
    allowed = {"a4": 718, "phone": 390}[size]
    if width > allowed:
        findings.add(case, look, "the picture is wider than its size", "", width)
    if size == "a4" and paper == "light":
        # The browser would set a bare picture without margins.
        page = path.with_suffix(".print.html")
        page.write_text("<style>@page{size:A4;margin:10mm}body{margin:0}</style>"
                        + path.read_text(encoding="utf-8"), encoding="utf-8")
        browser.show(page, 718)
        (least, words), _ = smallest_in_pdf(browser.pdf())
        findings.lowest(case, look, "print_pt", least)
        if least < LEAST_PT - 0.05:
            findings.add(case, look, "type is too small, pt", words, least)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    cases.add_options(parser)
    options = parser.parse_args()
    drawn = options.out / "measured"
    drawn.mkdir(parents=True, exist_ok=True)
    started = time.monotonic()
    findings = Findings()
    with Browser() as browser:
        for case in cases.chosen(options):
            for paper, size in cases.looks(case, options):
                name = "-".join(filter(None, (case.name, paper, size)))
                path = drawn / f"{name}.{'html' if case.is_page else 'svg'}"
                command, complaint = cases.draw(case, paper, size, path, options)
                look = f"{paper} {size}".strip() or "page"
                if complaint:
                    findings.add(case, look, f"not drawn: {complaint}", "", 0.0)
                    continue
                if case.is_page:
                    findings.count(case, "print", "drawn")
                    measure_page(findings, browser, case, path)
                else:
                    findings.count(case, look, "drawn")
                    measure_picture(findings, browser, case, paper, size, path)
    with open(options.out / "faults.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(("kind", "look", "fault", "where", "value", "command"))
        writer.writerows(findings.faults)
    columns = ("drawn", "type_px", "print_pt", "text_contrast", "line_contrast", "overlaps",
               "cut", "crossed", "sheets")
    with open(options.out / "measured.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(("kind", "look", *columns))
        for (kind, look), kept in findings.least.items():
            cells = [kept.get(column, "") for column in columns]
            writer.writerow((kind, look, *(round(cell, 2) if cell != "" else "" for cell in cells)))
    print((options.out / "measured.csv").read_text())
    by_fault = collections.Counter((kind, fault) for kind, _, fault, *_ in findings.faults)
    for (kind, fault), number in sorted(by_fault.items()):
        print(f"{kind}: {fault}: {number}")
    print(f"{len(findings.faults)} faults, {time.monotonic() - started:.0f} s; "
          f"{options.out / 'faults.csv'}")


if __name__ == "__main__":
    main()
