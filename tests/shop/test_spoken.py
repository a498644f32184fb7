"""What the programs in the browser say comes in the reader's language, with the programs that say it."""

import json
import re
from pathlib import Path

import pytest
from django.template import Context, Template
from django.test import Client
from django.utils import translation

from shoprepair.shop import bundles
from shoprepair.shop.spoken import Spoken, spoken, with_words

SAID = "Copied"
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
PROGRAMS = sorted(Path("static/js").glob("*.js"))


def page(names: str = "words copy") -> str:
    """The address of the programs of a page."""
    template = Template(f"{{% load bundles %}}{{% scripts %}}{names}{{% endscripts %}}")
    return re.search(r'src="([^"]+)"', template.render(Context()))[1]


def words(client: Client, address: str) -> dict[str, object]:
    program = client.get(address).content.decode()
    return json.loads(re.search(r"window\.shopWords = (\{.*?\});", program)[1])


def test_a_text_alone_and_one_that_counts_are_found() -> None:
    program = (
        """tell(say("Copied", { a: 1 })); say.count("1 \\"tick\\"", "%(count)s ticks", n); essay("No");"""
    )
    assert list(spoken(program)) == [Spoken("Copied"), Spoken('1 "tick"', "%(count)s ticks")]


def test_an_english_page_brings_no_words_for_they_are_in_the_programs(client: Client) -> None:
    assert "words-" not in page()
    assert "shopWords = {" not in client.get(page()).content.decode()


@pytest.mark.django_db
def test_another_language_brings_the_words_of_the_pages_own_programs_before_them(client: Client) -> None:
    with translation.override("de"):
        address, other = page(), page("words signature")
    assert words(client, address) == {SAID: "Kopiert"}
    assert SAID not in words(client, other)
    served = client.get(address).content.decode()
    assert served.index("window.shopWords = {") < served.index("window.say =")


@pytest.mark.django_db
def test_a_text_that_counts_has_its_two_forms(client: Client) -> None:
    with translation.override("es"):
        told = words(client, page("words ticks"))
    assert all(isinstance(forms, str) or len(forms) == 2 for forms in told.values())
    assert [forms for forms in told.values() if isinstance(forms, list)]


def test_a_page_without_programs_that_speak_brings_no_words() -> None:
    with translation.override("de"):
        assert "words" not in page("offer")


def test_in_a_language_that_the_shop_does_not_speak_programs_speak_english() -> None:
    with translation.override("ar"):
        assert with_words(("words", "ticks")) == ("words", "ticks")


@pytest.mark.django_db
def test_words_of_a_language_that_the_shop_does_not_speak_are_not_there(client: Client) -> None:
    with pytest.raises(FileNotFoundError):
        bundles.address("js", ("words-fr", "words"))


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda path: path.name)
def test_whatever_a_program_says_is_found_to_be_translated(program: Path) -> None:
    """A text that is put together, or stands beside its call, is found by nobody."""
    code = COMMENT.sub("", program.read_text())
    assert len(list(spoken(code))) == len(re.findall(r"(?<![\w.])say(?:\.count)?\(", code))


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda path: path.name)
def test_no_program_says_a_sentence_in_english_alone(program: Path) -> None:
    code = COMMENT.sub("", program.read_text())
    said = {text for each in spoken(code) for text in each}
    written = re.findall(r'"([A-Z][a-z]+ [a-z][^"\n]*)"', re.sub(r"new Error\([^;]*", "", code))
    assert set(written) <= said
