"""All that is said is said in German and in Spanish too, wholly and in the trade's own words."""

import re
from collections.abc import Iterator
from functools import cache
from gettext import GNUTranslations
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.extract import extract_from_file
from babel.messages.pofile import read_po
from django.conf import settings
from django.template import engines
from django.template.base import NodeList, Template
from django.templatetags.i18n import BlockTranslateNode, TranslateNode

from shoprepair.shop.spoken import spoken

FOLDER = Path("shoprepair/locale")
LANGUAGES = tuple(code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE)
KEYWORDS = {
    **dict.fromkeys(("_", "gettext", "gettext_lazy", "gettext_noop"), (1,)),
    **dict.fromkeys(("ngettext", "ngettext_lazy"), (1, 2)),
    **dict.fromkeys(("pgettext", "pgettext_lazy"), ((1, "c"), 2)),
    **dict.fromkeys(("npgettext", "npgettext_lazy"), ((1, "c"), 2, 3)),
}
Said = tuple[str | None, str]
"""The context, and the English text; of one that counts the text for one."""

GLOSSARY = {
    "front tube": "Fronttube",
    "strut": "Strut",
    "casing": "Hülle",
    "bladder": "Bladder",
    "back edge": "Hinterkante",
    "valve": "Ventil",
    r"hose\b": "Schlauch",
    "window": "Fenster",
    r"scrape\b": "Scheuerstelle",
    "fold test": "Falttest",
    "ripstop tape": "Ripstop-Tape",
    "polyester adhesive cloth": "Polyester-Klebetuch",
    "stretch film": "Folienflicken",
    "offshore wind": "ablandig",
    "enquiry": "Anfrage",
    "self-check": "Selbstcheck",
}
"""One word for one thing: what an English text names so, the German names so."""

ALIKE = {
    "%(counter)s material",
    "%(element)s %(side)s",
    "%(size)s %(words)s",
    "192 mm",
    "41 mm",
    "CSV",
    "No.",
    "Code",
    "Extra",
    "JSON",
    "Journal",
    "Kite",
    "Kites",
    "Letter",
    "Material",
    "Material %(number)s",
    "Name",
    "No",
    "PDF",
    "Person",
    "Person %(number)s",
    "Bladder",
    "Strut",
    "Struts",
    "Tape",
    "Total",
    "Tube",
    "Tubes",
    "Wing",
    "Wings",
    "bar",
    "kPa",
    "kites",
    "leash",
    "no",
    "psi",
    "strut",
    "struts",
    "wings",
}
"""Words that English shares with one of the others."""
SOURCE = r"[A-Z][\w&, ]+ \d{4}(, NASA .*)?|NASA .*"
"""Who found it out, and when, reads so in every language."""


@pytest.fixture(scope="module", params=LANGUAGES)
def language(request) -> str:
    return request.param


@pytest.fixture(scope="module")
def translated(language) -> dict[Said, Message]:
    """Every text with what the language says for it."""
    return catalogue(language)


@pytest.fixture(scope="module")
def german() -> dict[Said, Message]:
    return catalogue("de")


@pytest.fixture(scope="module")
def spanish() -> dict[Said, Message]:
    return catalogue("es")


@cache
def catalogue(language: str) -> dict[Said, Message]:
    with (FOLDER / language / "LC_MESSAGES" / "django.po").open("rb") as file:
        return {_key(message): message for message in read_po(file, locale=language) if message.id}


@pytest.fixture(scope="module")
def said() -> set[Said]:
    """Every text of the program that is marked as one that is said in the reader's language."""
    return {*_in_code(), *_in_templates(), *_in_programs()}


def test_everything_that_is_said_is_said_in_every_language(said, translated):
    assert said - set(translated) == set(), "gather them with `make messages`, then translate"
    assert [key for key, message in translated.items() if not all(_forms(message))] == []


def test_no_sentence_is_left_that_nothing_says_any_more(said, translated):
    assert set(translated) - said == set()


def test_no_sentence_is_a_guess(translated):
    assert [key for key, message in translated.items() if message.fuzzy] == []


def test_nothing_is_left_in_english_but_what_has_the_same_name(translated):
    same = {text for (_, text), message in translated.items() if text in _forms(message)}
    assert {text for text in same - ALIKE if not re.fullmatch(SOURCE, text)} == set()


def test_no_catalogue_is_a_guess_as_a_whole(language):
    """One that is marked so in its head is left out when they are compiled."""
    with (FOLDER / language / "LC_MESSAGES" / "django.po").open("rb") as file:
        assert not read_po(file).fuzzy, "take `#, fuzzy` out of its head"


def test_what_is_filled_into_a_sentence_is_filled_into_the_other_one_too(translated):
    for key, message in translated.items():
        for text in _forms(message):
            assert _slots(text) in [_slots(source) for source in _sources(message)], key


def test_a_text_that_is_joined_to_another_keeps_the_space_between_them(translated):
    for (_, source), message in translated.items():
        for text in _forms(message):
            assert text.startswith(" ") == source.startswith(" "), source
            assert "  " not in text.strip()


def test_what_the_program_reads_is_what_was_translated(language, translated):
    """The compiled form is kept beside the text, so that nobody needs a compiler to run a shop."""
    with (FOLDER / language / "LC_MESSAGES" / "django.mo").open("rb") as file:
        compiled = GNUTranslations(file)
    for (context, text), message in translated.items():
        if not isinstance(message.id, tuple):
            one = compiled.pgettext(context, text) if context else compiled.gettext(text)
            assert one == _forms(message)[0], "run `make messages`"
            continue
        for number in (0, 1, 2, 5, 11):  # one of each form that a language counts in
            counted = compiled.ngettext(*message.id, number)
            assert counted == _forms(message)[compiled.plural(number)], "run `make messages`"


def test_one_thing_has_one_german_word(german):
    for (_, text), message in german.items():
        for english, word in GLOSSARY.items():
            if re.search(rf"\b{english}", text, re.IGNORECASE):
                assert word.lower() in _forms(message)[0].lower(), text


def test_a_customer_is_du(german):
    for message in german.values():
        for text in _forms(message):
            assert not re.search(r"\bIhnen\b|(?<![.!?:“] )(?<!^)\b(Sie|Ihre?[mnrs]?)\b", text), text


def test_german_marks_what_is_said_by_german_signs(german):
    for message in german.values():
        for text in _forms(message):
            assert "”" not in text, text
            assert text.count("„") == text.count("“"), text


def test_spanish_marks_what_is_said_by_spanish_signs(spanish):
    for message in spanish.values():
        for text in _forms(message):
            assert "“" not in text, text
            assert text.count("«") == text.count("»"), text


def test_a_customer_is_tu(spanish):
    for message in spanish.values():
        for text in _forms(message):
            assert not re.search(r"\b[Uu]sted(es)?\b", text), text


def _key(message: Message) -> Said:
    return message.context, message.id[0] if isinstance(message.id, tuple) else message.id


def _forms(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


def _sources(message: Message) -> tuple[str, ...]:
    return message.id if isinstance(message.id, tuple) else (message.id,)


def _in_code() -> Iterator[Said]:
    for path in sorted(Path("shoprepair").rglob("*.py")):
        if "gettext" not in path.read_text():
            continue
        for _line, found, _comments, context in extract_from_file("python", path, keywords=KEYWORDS):
            texts = found if isinstance(found, tuple) else (found,)
            yield context, texts[0]


def _in_templates() -> Iterator[Said]:
    for path in sorted(Path("templates").rglob("*.html")):
        source = path.read_text()
        # Words handed on to a part of the page or to a filter.
        yield from (
            (None, text.replace("%", "%%")) for _, text in re.findall(r"""_\((["'])(.+?)\1\)""", source)
        )
        if "translate" not in source:
            continue
        template: Template = engines["django"].from_string(source).template
        yield from _translated(template.nodelist)


def _in_programs() -> Iterator[Said]:
    for path in sorted(Path("static/js").glob("*.js")):
        yield from ((None, said.text) for said in spoken(path.read_text()))


def _translated(nodes: NodeList) -> Iterator[Said]:
    for node in nodes.get_nodes_by_type(TranslateNode):
        text = node.filter_expression.var.literal
        yield _context(node), str(text).replace("%", "%%")
    for node in nodes.get_nodes_by_type(BlockTranslateNode):
        yield _context(node), node.render_token_list(node.singular)[0]


def _context(node: TranslateNode | BlockTranslateNode) -> str | None:
    return node.message_context.var if node.message_context else None


def _slots(text: str) -> list[str]:
    """Places to be filled in, and marks that tell a browser something."""
    return sorted(re.findall(r"%\(\w+\)[sd]|\{\w*\}|</?\w+[^>]*>", text))
