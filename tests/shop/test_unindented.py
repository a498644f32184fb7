"""Pages go out without the indentation of their templates, and without lines that say nothing."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template import Engine
from django.template.loader import get_template
from django.test import Client
from django.urls import reverse

from shoprepair.shop.models import Staff

TEMPLATES = sorted((settings.BASE_DIR / "templates").rglob("*.html"))


@pytest.mark.django_db
def test_no_line_of_a_page_begins_with_a_gap(client: Client, counter: Staff) -> None:
    client.force_login(counter)
    assert not re.search(r"^[ \t]+\S", client.get(reverse("rack")).content.decode(), re.MULTILINE)


def test_a_template_keeps_its_lines_while_the_shop_is_worked_on(tmp_path: Path) -> None:
    read = _read("<p>\n    {% if a %}\n        b\n    {% endif %}\n</p>\n", tmp_path, debug=True)
    assert read == "<p>\n{% if a %}\nb\n{% endif %}\n</p>\n"


def test_a_line_that_only_decides_leaves_no_line_in_the_page(tmp_path: Path) -> None:
    read = _read("<p>\n    {% if a %}\n        b\n    {% endif %}\n\n    {# why #}\n</p>\n", tmp_path)
    assert read == "<p>\n{% if a %}b\n{% endif %}{# why #}</p>\n"


def test_two_words_on_two_lines_stay_two_words(tmp_path: Path) -> None:
    written = "one\n{% if a %}two{% endif %}\n{% for b in c %}{{ b }}{% endfor %}\n{{ d }}\nfour\n"
    assert _read(written, tmp_path) == written


def _read(written: str, folder: Path, debug: bool = False) -> str:
    """What is left of a template when it is read."""
    (folder / "page.html").write_text(written)
    engine = Engine(dirs=[str(folder)], debug=debug, loaders=["shoprepair.shop.unindented.Loader"])
    return str(engine.get_template("page.html").source)


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
