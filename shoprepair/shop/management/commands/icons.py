import io
import shutil
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from PIL import Image

from shoprepair.shop.installed import ICONS

FOLDER = Path(settings.BASE_DIR) / "static" / "img" / "app"
TOUCH = ("touch", "maskable", 180)
"""For devices that ask for no manifest and round its corners themselves."""
COLOURS = 64


class Command(BaseCommand):
    help = "Make the PNG icons of the installed shop from their drawings, the SVG files beside them."
    requires_system_checks: list[str] = []

    def handle(self, **_options: Any) -> None:
        try:
            from playwright.sync_api import sync_playwright  # only those who work on the code have it
        except ImportError:
            raise CommandError("The icons are drawn with Playwright: run `make icons`.") from None
        wanted = [TOUCH, *((name, purpose, size) for name, (size, purpose) in ICONS.items())]
        with sync_playwright() as playwright:
            own = shutil.which("chromium-headless-shell") or shutil.which("chromium")
            browser = playwright.chromium.launch(executable_path=own)
            page = browser.new_page()
            for name, drawing, size in wanted:
                _keep(name, drawn(page, (FOLDER / f"{drawing}.svg").read_text(), size))
                self.stdout.write(f"{FOLDER.name}/{name}.png")
            browser.close()


def drawn(page: Any, svg: str, size: int) -> bytes:
    """A drawing as PNG, as many pixels wide and high; what it leaves free stays transparent."""
    page.set_content(svg.replace("<svg ", f'<svg width="{size}" height="{size}" ', 1))
    return bytes(page.locator("svg").screenshot(omit_background=True))


def _keep(name: str, png: bytes) -> None:
    """In as few colours as the flat drawing has, softened edges too; black alone keeps every edge."""
    with Image.open(io.BytesIO(png)) as picture:
        if name.startswith("monochrome"):
            few = picture.convert("LA")
        else:
            few = picture.convert("RGBA").quantize(COLOURS, method=Image.Quantize.FASTOCTREE)
        few.save(FOLDER / f"{name}.png", optimize=True)
