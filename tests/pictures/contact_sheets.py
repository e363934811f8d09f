#!/usr/bin/env python3
"""Draws every kind of picture and tiles what three renderers make of it.

Each row of a sheet is one night or site: left the browser, in the middle a
second renderer that shares no code with the program's own, right the program's
PNG. `disagreements.csv` tells where one of the two differs from the browser: a
text with too little or too much ink, a block of the picture with another share
of ink.
"""

import argparse
import collections
import csv
import io
import pathlib
import subprocess
import time

import numpy
from PIL import Image, ImageDraw, ImageFont

import cases
from browser import Browser

# Widths of one picture on a sheet, and how high a sheet may be, pixels.
TILE = {"a4": 560, "phone": 390, "": 560}
HIGHEST = 3000
# A picture higher than this goes on over the edge of its tile.
HIGHEST_TILE = 2400
BLOCK = 24
# What is called a disagreement: ink of a text over that in the browser, and
# the difference of a block's share of ink. Fonts differ by less.
TEXT_INK = (0.45, 1.9)
BLOCK_INK = 0.14

TEXTS = """
[...document.querySelectorAll('svg text:not([aria-hidden])')].map(text => {
  const box = text.getBoundingClientRect();
  return [text.textContent, box.left, box.top, box.right, box.bottom];
})
"""
SIZE = """
(() => { const svg = document.documentElement;
  return [svg.width.baseVal.value, svg.height.baseVal.value]; })()
"""


def opened(data):
    return Image.open(io.BytesIO(data)).convert("RGB")


def second(renderer, svg):
    """The picture by the second renderer, at one pixel each."""
    if renderer == "cairosvg":
        import cairosvg
        return opened(cairosvg.svg2png(url=str(svg)))
    return opened(subprocess.run(["rsvg-convert", str(svg)], capture_output=True,
                                 check=True).stdout)


def grey(image, size):
    if image.size != size:
        image = image.resize(size, Image.Resampling.BOX)
    return numpy.asarray(image.convert("L"), dtype=float) / 255.0


def ink_of_text(pixels, box):
    """Ink in a box beyond the grey that most of it has."""
    left, top, right, bottom = (int(round(edge)) for edge in box)
    part = pixels[max(top - 1, 0):bottom + 1, max(left - 1, 0):right + 1]
    return float(abs(part - numpy.median(part)).sum()) if part.size else 0.0


def blocks(pixels):
    """Mean grey of each block."""
    rows, columns = (length // BLOCK for length in pixels.shape)
    cut = pixels[:rows * BLOCK, :columns * BLOCK]
    return cut.reshape(rows, BLOCK, columns, BLOCK).mean(axis=(1, 3))


def disagreements(texts, reference, other):
    """What another renderer shows differently: (what, left, top, here, there)."""
    found = []
    of_text = numpy.zeros(blocks(reference).shape, dtype=bool)
    for words, *box in texts:
        here, there = ink_of_text(reference, box), ink_of_text(other, box)
        if here > 1.0 and not TEXT_INK[0] <= there / here <= TEXT_INK[1]:
            found.append((words, box[0], box[1], here, there))
        left, top, right, bottom = (max(int(edge), 0) // BLOCK for edge in box)
        of_text[top:bottom + 1, max(left - 1, 0):right + 2] = True
    here, there = blocks(reference), blocks(other)
    for row, column in numpy.argwhere((abs(here - there) > BLOCK_INK) & ~of_text):
        found.append(("block", column * BLOCK, row * BLOCK,
                      here[row, column], there[row, column]))
    return found


def tile(images, caption, width):
    """Pictures side by side below their caption, or words where one is missing."""
    scaled = []
    for image in images:
        if image is not None:
            height = max(1, round(image.height * width / image.width))
            image = image.resize((width, height), Image.Resampling.LANCZOS)
            image = image.crop((0, 0, width, min(height, HIGHEST_TILE)))
        scaled.append(image)
    height = max([40] + [image.height for image in scaled if image is not None])
    row = Image.new("RGB", (len(images) * (width + 12) + 12, height + 34), "#8899aa")
    pen = ImageDraw.Draw(row)
    pen.text((12, 6), caption, fill="black", font=ImageFont.load_default(17))
    for index, image in enumerate(scaled):
        at = (12 + index * (width + 12), 30)
        if image is None:
            pen.text(at, "nothing drawn", fill="black", font=ImageFont.load_default(15))
        else:
            row.paste(image, at)
    return row


def save_sheets(rows, path):
    """Writes rows on as many sheets as they need; their names."""
    sheets, height = [[]], 0
    for row in rows:
        if sheets[-1] and height + row.height > HIGHEST:
            sheets.append([])
            height = 0
        sheets[-1].append(row)
        height += row.height
    names = []
    for number, sheet in enumerate(filter(None, sheets), 1):
        whole = Image.new("RGB", (max(row.width for row in sheet),
                                  sum(row.height for row in sheet)), "#8899aa")
        y = 0
        for row in sheet:
            whole.paste(row, (0, y))
            y += row.height
        name = path.with_name(f"{path.name}-{number}.png")
        whole.save(name, optimize=False, compress_level=1)
        names.append(name)
    return names


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    cases.add_options(parser)
    parser.add_argument("--second", choices=["rsvg-convert", "cairosvg"], default="cairosvg",
                        help="the second renderer [default: cairosvg]")
    parser.add_argument("--font", default="Liberation Sans",
                        help="the face of browser and second renderer, best that of the PNG "
                             "[default: Liberation Sans]")
    options = parser.parse_args()
    drawn = options.out / "drawn"
    drawn.mkdir(parents=True, exist_ok=True)
    started = time.monotonic()
    rows, table = collections.defaultdict(list), []
    failed = 0
    with Browser() as browser:
        for case in cases.chosen(options):
            for paper, size in cases.looks(case, options):
                name = "-".join(filter(None, (case.name, paper, size)))
                path = drawn / f"{name}.{'html' if case.is_page else 'svg'}"
                command, complaint = cases.draw(case, paper, size, path, options)
                if complaint:
                    failed += 1
                    print(f"{command}\n  {complaint}")
                    rows[case.kind, paper, size].append(
                        tile([None], f"{case.caption}: {complaint[:90]}", 1700))
                    continue
                if case.is_page:
                    # Dark on a phone, light as it is printed.
                    images = []
                    for width, media in ((390, "screen"), (718, "print")):
                        browser.show(path, width, phone=media == "screen")
                        browser.ask("Emulation.setEmulatedMedia", media=media)
                        height = browser.run("document.documentElement.scrollHeight")
                        images.append(opened(browser.screenshot(width, height)))
                    browser.ask("Emulation.setEmulatedMedia", media="")
                    rows[case.kind, paper, size].append(tile(images, case.caption, 718))
                    continue
                png = path.with_suffix(".png")
                _, complaint = cases.draw(case, paper, size, png, options)
                own = None if complaint else opened(png.read_bytes())
                words = path.read_text(encoding="utf-8")
                path.write_text(words.replace('"sans-serif"', f'"{options.font}, sans-serif"'),
                                encoding="utf-8")
                browser.show(path, 800)
                width, height = (round(length) for length in browser.run(SIZE))
                browser.show(path, width, height)
                texts = browser.run(TEXTS)
                by_browser = opened(browser.screenshot(width, height))
                by_second = second(options.second, path)
                rows[case.kind, paper, size].append(
                    tile([by_browser, by_second, own], case.caption, TILE[size]))
                reference = grey(by_browser, (width, height))
                for renderer, image in ((options.second, by_second), ("own PNG", own)):
                    if image is None:
                        table.append((case.kind, name, renderer, "nothing drawn", "", "", "", ""))
                        continue
                    for what, left, top, here, there in disagreements(
                            texts, reference, grey(image, (width, height))):
                        table.append((case.kind, name, renderer, what, round(left), round(top),
                                      round(here, 2), round(there, 2)))
    for key, tiles in rows.items():
        for name in save_sheets(tiles, options.out / "-".join(filter(None, key))):
            print(name)
    with open(options.out / "disagreements.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(("kind", "picture", "renderer", "what", "left_px", "top_px",
                         "ink_in_browser", "ink_here"))
        writer.writerows(table)
    by_renderer = collections.Counter((row[0], row[2]) for row in table)
    for (kind, renderer), number in sorted(by_renderer.items()):
        print(f"{kind}: {renderer} disagrees with the browser in {number} places")
    print(f"{sum(map(len, rows.values()))} rows, {failed} failed, {len(table)} disagreements, "
          f"{time.monotonic() - started:.0f} s; {options.out / 'disagreements.csv'}")


if __name__ == "__main__":
    main()
