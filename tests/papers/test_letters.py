"""Every letter on paper looks as its font draws it: text that can be copied out may still be drawn wrong."""

import pytest

from shoprepair.papers.printing.order import Order
from shoprepair.papers.printing.pages import made
from tests.papers.letters import WEIGHTS, drawn, held, likeness
from tests.papers.reading import picture

ALIKE = 0.95
NAMES = ("Tūī", "Čeněk", "Ağaoğlu", "Łukasz", "Řehoř", "İpek", "Größe", "Señor", "Ngaromoana")
OTHER_SCRIPTS = ("Тихонова", "Ελένη", "ليلى", "أبو", "شراع", "נעמה", "שרון")


def on_paper(word, weight=400):
    """The word, large and alone on a page."""
    style = f"<style>p {{ font-size: 60pt; font-weight: {weight}; white-space: nowrap }}</style>"
    page = f'<html lang="en"><head><title>x</title>{style}</head><body class="A4"><p>{word}</p></body></html>'
    sheet = picture(made(Order(page, ("sheet",))), dpi=100)
    return sheet.crop((0, 0, sheet.width, sheet.height // 2))


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("word", NAMES)
def test_a_name_is_drawn_with_its_own_letters(word, weight):
    assert likeness(on_paper(word, weight), drawn(word, weight)) > ALIKE


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("word", OTHER_SCRIPTS)
def test_a_name_in_another_script_is_shaped_and_runs_its_own_way(word, weight):
    assert likeness(on_paper(word, weight), drawn(word, weight)) > ALIKE


@pytest.mark.parametrize(
    ("one", "other"), [("Čeněk", "Ãenïk"), ("Tūī", "Tñ"), ("שרון", "ןורש"), ("Ağa", "Aga")]
)
def test_another_word_would_be_seen(one, other):
    assert likeness(on_paper(one), drawn(other)) < ALIKE


def test_no_letter_of_either_file_is_drawn_as_another():
    letters = sorted(each for each in held("latin") | held("latin-ext") if each.isalpha())
    words = ["".join(letters[at : at + 6]) for at in range(0, len(letters), 6)]

    assert [word for word in words if likeness(on_paper(word), drawn(word)) <= ALIKE] == []
