"""Whoever is twelve reads the advice without help, in English and in German.

English: the grade level of Kincaid, Fishburne, Rogers and Chissom 1975 (Research Branch Report 8-75).
German: the first Vienna formula of Bamberger and Vanecek 1984 (Lesen - Verstehen - Lernen - Schreiben).
Both give the year at school; the seventh has pupils of twelve. Syllables are counted by where a word may be
parted and by its groups of vowels, and the larger count stands. Formulas from memory.
"""

import re
from collections.abc import Callable, Iterator

import pyphen
import pytest
from django.utils import translation

from shoprepair.jobs.advice.rules import RULES, Rule

YEAR = 7
LONGEST = 20
"""Words in a sentence."""
FILLED = {"length": "25 mm", "runs_at": "40 mm"}
Syllables = Callable[[str], int]


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_the_english_advice_is_read_at_twelve(rule):
    assert grade(" ".join(texts(rule))) <= YEAR


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_the_german_advice_is_read_at_twelve(rule):
    with translation.override("de"):
        assert school_year(" ".join(texts(rule))) <= YEAR


@pytest.mark.parametrize("language", ["en", "de"])
def test_no_sentence_of_the_advice_is_long(language):
    with translation.override(language):
        said = {text for rule in RULES.values() for text in texts(rule)}
        long = [text for text in said if any(len(words(each)) > LONGEST for each in sentences(text))]
    assert long == []


def test_the_measure_of_english_tells_hard_from_easy():
    """13 words of 24 syllables, by hand: 5.07 + 21.78 - 15.59 = 11.3."""
    platypus = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert grade(platypus) == pytest.approx(11.3, abs=1.0)
    assert grade("The cat sat on the mat.") < 1


def test_the_measure_of_german_tells_hard_from_easy():
    hard = "Unvorhergesehene Druckbeaufschlagung vorgeschädigter Schlauchhüllen verursacht Materialversagen."
    assert school_year(hard) > 15
    assert school_year("Lass die Luft raus. Roll es auf.") < 3


def grade(text: str) -> float:
    """Of an English text, by words in a sentence and syllables in a word."""
    spoken = words(text)
    syllables = sum(_syllables(word, ENGLISH) for word in spoken)
    return 0.39 * len(spoken) / len(sentences(text)) + 11.8 * syllables / len(spoken) - 15.59


def school_year(text: str) -> float:
    """Of a German text, by its sentences and the shares of its long and of its short words."""
    spoken = words(text)
    counted = [_syllables(word, GERMAN) for word in spoken]
    share = 100 / len(spoken)
    many, one = (sum(count >= 3 for count in counted), sum(count == 1 for count in counted))
    long = sum(len(word) > 6 for word in spoken)
    a_sentence = len(spoken) / len(sentences(text))
    return 0.1935 * many * share + 0.1672 * a_sentence + 0.1297 * long * share - 0.0327 * one * share - 0.875


def texts(rule: Rule) -> Iterator[str]:
    """Everything that a rule says."""
    yield str(rule.reason).format(**FILLED)
    for fix in filter(None, [rule.fix]):
        yield from (str(each) for each in (*fix.steps, *fix.use, *fix.never))
    yield from (str(each) for each in (*rule.meanwhile, *rule.later, *rule.checks, *rule.cautions))


def words(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+(?:[’'-][^\W\d_]+)*", text)


def sentences(text: str) -> list[str]:
    return [each for each in re.split(r"[.!?:](?:\s|$)", text) if words(each)]


ENGLISH, GERMAN = (pyphen.Pyphen(lang=lang, left=1, right=1) for lang in ("en_US", "de_DE"))
_SILENT = re.compile(r"(?<=[^aeiouyl])es?$|(?<=[^aeiouydt])ed$")


def _syllables(word: str, parts: pyphen.Pyphen) -> int:
    heard = _SILENT.sub("", word.lower()) if parts is ENGLISH else word.lower()
    groups = len(re.findall(r"[aeiouyäöü]+", heard))
    return max(1, groups, len(parts.inserted(word, "\x00").split("\x00")))
