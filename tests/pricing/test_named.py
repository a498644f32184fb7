"""Which damages a line's own words name."""

import pytest
from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext

from shoprepair.pricing import access
from shoprepair.pricing.named import names, unnumbered

LANGUAGES = [code for code, _ in settings.LANGUAGES]


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_damage_that_a_repair_is_for_is_found_in_every_language_of_a_quote(language):
    with translation.override(language):
        said = gettext("%(name)s, damage %(number)s") % {"name": "Flick 7", "number": 12}
    assert unnumbered(said) == "Flick 7"
    assert names(said, (12,))
    assert not names(said, (7,))


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("damages", [(3,), (1, 2), (5, 7, 12)])
def test_so_are_those_that_share_an_opening(language, damages):
    with translation.override(language):
        said = gettext("Opening and closing the %(tube_label)s for %(served)s") % {
            "tube_label": "tube",
            "served": access.numbered(damages),
        }
    assert not any(letter.isdigit() for letter in unnumbered(said))
    assert unnumbered(said).endswith(("tube", "tube)"))
    assert names(said, damages)
    assert not names(said, (*damages, 99))


def test_words_of_the_shops_own_stay_whole():
    assert unnumbered("Casing patch 8") == "Casing patch 8"
    assert not names("Casing patch 8", (8,))
