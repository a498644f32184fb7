"""The page of parts shows every part that pages share, from the templates that the pages use."""

from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.mechanics.description import Band
from shoprepair.office.views.page_parts import COLOURS
from shoprepair.shop import undoing
from shoprepair.shop.models import Letter

pytestmark = pytest.mark.django_db


@pytest.fixture
def shown(as_person, owner):
    library.load()
    return as_person(owner).get(reverse("page-parts"))


def test_every_shared_part_is_on_the_page_of_parts(shown):
    templates = Path(settings.BASE_DIR, "templates")
    there = {str(path.relative_to(templates)) for path in (templates / "parts").rglob("*.*")}

    assert there <= {template.name for template in shown.templates}


def test_each_part_is_shown_in_each_of_its_states(shown):
    page = shown.content.decode()

    for band in Band:
        assert f'data-band="{band}"' in page
    for state in Letter.State.values:
        assert f'data-state="{state}"' in page
    for tone in ("success", "warning", "error"):
        assert f'data-tone="{tone}"' in page
    assert page.count("has-error") == 6


def test_a_notice_with_undo_is_shown_and_its_button_changes_nothing(as_person, owner):
    client = as_person(owner)
    page = client.get(reverse("page-parts"))
    shown = [undo for undo in map(undoing.read, page.context["messages"]) if undo]

    assert len(shown) == 1
    answer = client.post(shown[0].url, dict(shown[0].fields))
    assert answer.status_code == 302
    assert not answer.cookies["look"].value


def test_every_colour_of_the_look_is_shown_under_its_name():
    tokens = Path(settings.BASE_DIR, "static", "css", "page-parts.css").read_text()

    for name in (name for names in COLOURS.values() for name in names):
        assert f"[data-token={name}] {{ background: var(--{name}); }}" in tokens


def test_without_a_pattern_the_page_says_so(as_person, owner):
    assert "no pattern to draw yet" in as_person(owner).get(reverse("page-parts")).content.decode()
