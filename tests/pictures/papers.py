"""The pages of every paper as pictures, in colour and as a printer without colour has them."""

import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

from tests.pictures.table import BY_HAND, THEMED
from tests.pictures.taking import Camera, Picture, is_paper

DOTS_PER_INCH = 80
TAGS = {"tag-62": "?paper=62", "tag-100": "?paper=100", "": "?paper=sheet"}
"""What a bag tag is printed on: label rolls, or the shop's own paper."""


def papers(camera: Camera, addresses: Mapping[str, str], paper: str) -> None:
    """Every paper of the shop, made on `paper`."""
    if "paper" not in camera.wish.sizes or camera.shop in {"nobody", *BY_HAND}:
        return
    with camera.context("owner") as context:
        for name, address in addresses.items():
            screen, _, state = name.partition(":")
            if state and camera.shop != THEMED:
                continue  # A state of its own is pictured in the demo shop, as on screens.
            if not is_paper(address) or not camera.wish.has(screen, state or camera.shop):
                continue
            for roll, query in TAGS.items() if screen == "bag-tag" else [("", "")]:
                with camera.missing(screen, state or camera.shop):
                    answer = context.request.get(f"{camera.base}{address}{query}")
                    if not answer.body().startswith(b"%PDF"):
                        camera.missed.append(f"{screen}, {camera.shop}: no paper, but {answer.url}")
                        continue
                    _pages(camera, screen, state or camera.shop, roll or paper.lower(), answer.body())


def _pages(camera: Camera, screen: str, state: str, paper: str, pdf: bytes) -> None:
    tones = {"": [], "-grey": ["-gray"]} if camera.shop == THEMED else {"": []}
    with tempfile.TemporaryDirectory() as folder:
        for tone, options in tones.items():
            stem = Path(folder) / f"page{tone}"
            command = ["pdftoppm", "-png", "-r", str(DOTS_PER_INCH), *options, "-", stem]
            subprocess.run(command, input=pdf, check=True)
            for number, page in enumerate(sorted(Path(folder).glob(f"page{tone}-[0-9]*.png")), start=1):
                picture = Picture(screen, state, f"{paper}{tone}-{number}")
                camera.keep(picture, lambda path, page=page: path.write_bytes(page.read_bytes()))
