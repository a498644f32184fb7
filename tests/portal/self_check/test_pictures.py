"""The small pictures of the self-check: in the ink and the thread of the look that is on."""

import re
from pathlib import Path

import pytest
from django.conf import settings

PICTURES = sorted(Path(settings.BASE_DIR, "templates/portal/self_check/pictures").glob("*.svg"))
FROM_THE_LOOK = {"currentColor", "none"}


@pytest.mark.parametrize("picture", PICTURES, ids=lambda path: path.stem)
def test_no_picture_holds_a_colour_of_its_own(picture: Path) -> None:
    drawn = picture.read_text(encoding="utf-8")
    colours = set(re.findall(r'\b(?:fill|stroke|color|stop-color)="([^"]+)"', drawn))
    assert colours <= FROM_THE_LOOK
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl|style=", drawn)


def test_the_thread_of_the_pictures_is_that_of_the_look() -> None:
    assert any('class="accent"' in path.read_text(encoding="utf-8") for path in PICTURES)
    css = Path(settings.BASE_DIR, "static/css/self-check.css").read_text(encoding="utf-8")
    assert ".accent { color: var(--thread); }" in css
