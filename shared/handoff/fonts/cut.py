"""Cuts the static fonts in this folder out of the variable Archivo of the pages.

    python3 -m venv cut && cut/bin/pip install fonttools==4.68.0 brotli
    cut/bin/python cut.py ../../../ui/node_modules/@fontsource-variable/archivo/files

The variable font comes in parts by script; Latin and its extension are cut at the same weight and width and joined.
The dates in the files are left as they are, so that the same input gives the same bytes.
"""

import io
import sys
from pathlib import Path

from fontTools.merge import Merger
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

# Name, weight, width: text, figures and names of points, headings.
CUTS = [("Text", 480, 96), ("Figure", 650, 86), ("Head", 750, 91)]


def cut(file: Path, weight: int, width: int) -> io.BytesIO:
    font = TTFont(file, recalcTimestamp=False)
    font = instantiateVariableFont(font, {"wght": weight, "wdth": width}, inplace=True)
    font.flavor = None
    held = io.BytesIO()
    font.save(held)
    held.seek(0)
    return held


def main(folder: Path, to: Path) -> None:
    for name, weight, width in CUTS:
        parts = [cut(folder / f"archivo-{part}-wdth-normal.woff2", weight, width) for part in ("latin", "latin-ext")]
        font = Merger().merge(parts)
        font.recalcTimestamp = False
        font["head"].created = font["head"].modified = TTFont(parts[0])["head"].modified
        for record in font["name"].names:
            if record.nameID in (1, 16):
                record.string = "Archivo"
            elif record.nameID in (2, 17):
                record.string = name
            elif record.nameID == 4:
                record.string = f"Archivo {name}"
            elif record.nameID == 6:
                record.string = f"Archivo-{name}"
        font.save(to / f"Archivo-{name}.ttf")


main(Path(sys.argv[1]), Path(__file__).parent)
