import pytest
from django.template import Context, Template

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop.units import Units

IMPERIAL = Units(pressure="psi", length="in", temperature="°F")


def written(template: str, value: object, units: Units) -> str:
    return Template(f"{{{{ value|{template}:units }}}}").render(Context({"value": value, "units": units}))


@pytest.mark.parametrize(
    ("filter_name", "value", "metric", "imperial"),
    [
        ("as_length", 0.035, "35 mm", "1 3/8 in"),
        ("as_pressure", 48263.3, "0.48 bar", "7.0 psi"),
        ("as_line_load", 6000, "6.00 kN/m", "6.00 kN/m"),
        ("as_quantity", Quantity(0.5, "m"), "500 mm", "19.7 in"),
        ("as_quantity", {"value": "inf", "unit": ""}, "∞", "∞"),
        ("as_sentence", Sentence("at {a}", {"a": Quantity(0.0254, "m")}), "at 25 mm", "at 1 in"),
        ("as_sentence", "just words", "just words", "just words"),
        ("as_length", None, "–", "–"),
        ("as_pressure", None, "–", "–"),
        ("as_line_load", None, "–", "–"),
        ("as_quantity", None, "–", "–"),
        ("as_sentence", None, "", ""),
    ],
)
def test_every_template_can_write_figures_in_the_readers_units(
    filter_name: str, value: object, metric: str, imperial: str
) -> None:
    assert written(filter_name, value, Units()) == metric
    assert written(filter_name, value, IMPERIAL) == imperial


def test_words_in_a_sentence_cannot_become_markup() -> None:
    assert written("as_sentence", Sentence("<b>{a}</b>", {"a": Quantity(1, "m")}), Units()) == (
        "&lt;b&gt;1.00 m&lt;/b&gt;"
    )
