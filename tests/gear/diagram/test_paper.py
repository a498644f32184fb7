import base64
import logging
import subprocess
from pathlib import Path

import pytest
from PIL import Image
from weasyprint import HTML

from shoprepair.gear.diagram import Pin, draw, load_legend, load_map
from shoprepair.gear.planform import Planform
from shoprepair.gear.plot import strength_plot
from shoprepair.mechanics.description import Band
from tests.gear.conftest import Drawn, Library

PINS = [Pin(1, 0.3, 0.05, Band.GROUNDED), Pin(12, -0.4, 0.5, Band.WATCH)]


def printed(svgs: list[str], folder: Path) -> Image.Image:
    """What a grey printer makes of pictures, at 72 dots an inch."""
    images = "".join(
        f'<p><img src="data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}" width="480"></p>'
        for svg in svgs
    )
    HTML(string=images).write_pdf(folder / "sheet.pdf")
    command = ["pdftoppm", "-gray", "-r", "72", "-singlefile", folder / "sheet.pdf", folder / "sheet"]
    subprocess.run(command, check=True)
    with Image.open(folder / "sheet.pgm") as sheet:
        return sheet.copy()


def draw_on_paper(one: Drawn) -> str:
    return draw(one.planform, detail="paper", load=load_map(one.planform, one.pattern), pins=PINS)


@pytest.mark.parametrize("name", ["Lunde 5.4 wing", "Skarv 9 kite", "Krykkje 10 kite"])
def test_paper_understands_every_stroke_of_a_drawing(
    drawn: Library, name: str, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    one = drawn[name]
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        printed([draw_on_paper(one), load_legend(), strength_plot(one.pattern)], tmp_path)
    assert [record.getMessage() for record in caplog.records] == []


def test_the_hardest_worked_cloth_prints_darkest(holm: Planform, tmp_path: Path) -> None:
    """In grey the mean tone of the leading edge falls with every step of its load."""
    means = []
    for ratio in (0.02, 0.12, 0.25, 0.9):
        load = {f"edge-{side}-{n}": ratio for side in ("left", "right") for n in range(1, 8)}
        grey = printed([draw(holm, detail="paper", load=load)], tmp_path)
        histogram = grey.histogram()
        means.append(sum(tone * count for tone, count in enumerate(histogram)) / sum(histogram))
    assert means == sorted(set(means), reverse=True)
