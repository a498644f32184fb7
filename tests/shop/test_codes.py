"""What the program compares, keeps and is sent are codes: the same in every language."""

import pytest
from django.utils import translation

from shoprepair.counter.questions import _ASKED
from shoprepair.mechanics.description import Answer, Condition, Direction, Face, Fold, Quantity, Softens
from shoprepair.shop.languages import begun_large, begun_small, gettext_lazy, in_a_sentence
from shoprepair.shop.units import in_words
from shoprepair.work.step_figures import _of_opening

ANSWERS = {
    "direction": Direction,
    "face": Face,
    "fold": Fold,
    "condition": Condition,
    "through_bladder": Answer,
    "softens": Softens,
}


@pytest.mark.parametrize("language", ["en", "de", "es"])
@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_of_the_check_in_is_sent_as_its_code_in_every_language(name: str, language: str) -> None:
    with translation.override(language):
        sent = [f"{option.value}" for option in _ASKED[name].options]
    assert set(sent) <= {answer.value for answer in ANSWERS[name]}


def test_the_ends_of_an_opening_are_named_by_its_figures_whatever_its_words_say() -> None:
    def ends(tube: str, start: float, end: float) -> list[str]:
        values = {"length": 0.3, "from": start, "to": end}
        stored = {name: {"value": value, "unit": "m"} for name, value in values.items()}
        opening = {"tube": tube, "words": {"text": "rechts der Mitte", "values": stored}}
        figures = list(_of_opening(opening))
        assert figures[0].quantity == Quantity(0.3, "m")
        return [figure.name for figure in figures[1:]]

    assert ends("leading-edge", 0.5, 0.2) == ["from, left of the centre", "to, left of the centre"]
    assert ends("leading-edge", 0.2, 0.5) == ["from, right of the centre", "to, right of the centre"]
    assert ends("leading-edge", 0.1, 0.2) == ["from, left of the centre", "to, right of the centre"]
    assert ends("strut-left-1", 0.2, 0.5) == ["from, behind the leading edge", "to, behind the leading edge"]


def test_nouns_keep_their_capitals_within_a_german_sentence() -> None:
    label = gettext_lazy("Monday")
    assert in_a_sentence(label) == "monday"
    with translation.override("de"):
        assert (in_a_sentence(label), begun_small("Angebot 3")) == ("Montag", "Angebot 3")
    assert (begun_small("Quote 3"), begun_large("left Strut")) == ("quote 3", "Left Strut")


def test_a_formula_is_said_term_by_term_where_nobody_translated_it_whole() -> None:
    formula = "strength left × hot beach"
    assert in_words(formula) == formula
    with translation.override("de"):
        assert in_words(formula) == "verbliebene Festigkeit × heißer Strand"
        assert in_words(".") == "."
