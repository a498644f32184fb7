"""Pages go out without the indentation of their templates."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import get_template
from django.test import Client
from django.urls import reverse

from shoprepair.shop.models import Staff

TEMPLATES = sorted((settings.BASE_DIR / "templates").rglob("*.html"))


@pytest.mark.django_db
def test_no_line_of_a_page_begins_with_a_gap(client: Client, counter: Staff) -> None:
    client.force_login(counter)
    assert not re.search(r"^[ \t]+\S", client.get(reverse("rack")).content.decode(), re.MULTILINE)


def test_a_template_keeps_its_lines() -> None:
    read = get_template("base.html").template.source
    written = Path(settings.BASE_DIR / "templates" / "base.html").read_text()
    assert read.count("\n") == written.count("\n")


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: str(path.relative_to(settings.BASE_DIR)))
def test_no_gap_at_the_beginning_of_a_line_means_anything(path: Path) -> None:
    """What is typed or shown as it was typed comes from variables; words to translate are trimmed."""
    written = path.read_text()
    for element in ("textarea", "pre"):
        assert not re.search(rf"<{element}\b[^>]*>[^<{{]*\n[ \t]", written)
    assert not re.search(r"{% blocktranslate(?![^%]*trimmed)[^%]*%}[^{]*\n", written)


def test_what_is_no_page_is_as_it_was_written() -> None:
    read = get_template("running/shoprepair.nginx.conf").template.source
    assert read == Path(settings.BASE_DIR / "templates/running/shoprepair.nginx.conf").read_text()
