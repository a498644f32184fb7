"""Names read from the right keep to themselves within a sentence."""

import pytest
from django.template import Context, Template

from shoprepair.shop.isolated import BEGIN, END, isolated


@pytest.mark.parametrize("name", ["נעמה", "عبد الرحمن", "Teist 8 של נעמה"])
def test_a_name_with_letters_from_the_right_is_parted_from_its_sentence(name: str) -> None:
    assert isolated(name) == f"{BEGIN}{name}{END}"


@pytest.mark.parametrize("name", ["", "Rype 7.0", "Þórdís Čeněk", "Λ 12"])
def test_any_other_name_stays_as_it_is(name: str) -> None:
    assert isolated(name) == name


def test_a_page_parts_it_and_still_writes_no_markup_from_a_name() -> None:
    page = Template("{{ name|isolated }}, 4 May").render(Context({"name": "<b>נעמה"}))
    assert page == f"{BEGIN}&lt;b&gt;נעמה{END}, 4 May"
