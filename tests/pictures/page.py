#!/usr/bin/env python3
"""Measures pages of HTML on a phone and on paper.

For each file: bytes; on a screen of 390 x 800 its height in screens, where the
answer begins and ends, the smallest type, and whether it scrolls sideways; in
print the sheets of A4 and the smallest type in points.
"""

import argparse
import pathlib

import pymupdf

from browser import Browser

WIDTH, HEIGHT = 390, 800

SCRIPT = """
(() => {
  const shown = element => element.getClientRects().length > 0;
  const sizes = [];
  const walker = document.createTreeWalker(document.querySelector('main') ?? document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.textContent.trim() || !shown(parent) || parent.closest('title,desc,style')) continue;
    const svg = parent.closest('svg');
    let size = parseFloat(getComputedStyle(parent).fontSize);
    if (svg) size *= svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    sizes.push([size, node.textContent.trim().slice(0, 40)]);
  }
  sizes.sort((a, b) => a[0] - b[0]);
  const answer = document.querySelector('.answer')?.getBoundingClientRect();
  return {
    height: document.documentElement.scrollHeight,
    width: document.documentElement.scrollWidth,
    answer: answer ? [answer.top, answer.bottom] : null,
    smallest: sizes[0],
  };
})()
"""


def printed(data):
    """The sheets of a PDF, and its smallest type in points."""
    with pymupdf.open(stream=data, filetype="pdf") as document:
        spans = [(span["size"], span["text"]) for page in document
                 for block in page.get_text("dict")["blocks"]
                 for line in block.get("lines", ()) for span in line["spans"]
                 if span["text"].strip()]
        return document.page_count, min(spans)


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="+", type=pathlib.Path)
    arguments = parser.parse_args()
    with Browser() as browser:
        for path in arguments.files:
            browser.show(path, WIDTH, HEIGHT, phone=True)
            page = browser.run(SCRIPT)
            sheets, (points, words) = printed(browser.pdf())
            pixels, text = page["smallest"]
            answer = " to ".join(f"{edge:.0f}" for edge in page["answer"] or ())
            print(f"{path.name}: {path.stat().st_size} bytes; "
                  f"{page['height'] / HEIGHT:.1f} screens, answer at {answer or '-'} px, "
                  f"{page['width']} px wide, smallest {pixels:.1f} px ({text}); "
                  f"{sheets} sheets, smallest {points:.2f} pt ({words[:40].strip()})")


if __name__ == "__main__":
    main()
