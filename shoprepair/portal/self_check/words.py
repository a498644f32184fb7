"""The words of the questions: plain, short, and the shop's own for what they name."""

from typing import NamedTuple

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

Lazy = Promise | str


class Asked(NamedTuple):
    """A question, and what helps to answer it."""

    question: Lazy
    hint: Lazy = ""


class Said(NamedTuple):
    """One answer: on its row, under its name, and on its tag once it is given."""

    name: Lazy
    hint: Lazy = ""
    tag: Lazy = ""
    picture: str = ""


QUESTIONS: dict[str, Asked] = {
    "kind": Asked(question=_("What is damaged?")),
    "size": Asked(question=_("How big is it?"), hint=_("The size is printed on the cloth.")),
    "at": Asked(
        question=_("Where is the damage?"),
        hint=_("Tap the place. You look at it from above, with the front tube at the top."),
    ),
    "look": Asked(question=_("What does it look like?")),
    "length": Asked(
        question=_("How long is it?"),
        hint=_("Hold it against the damage. Between two sizes, take the longer one."),
    ),
    "fold": Asked(
        question=_("Do the fold test"),
        hint=_("Let the air out. Fold the cloth along the scrape and look at the fold from the side."),
    ),
    "softens": Asked(question=_("How fast does it go soft?"), hint=_("Pumped up, lying still in the shade.")),
    "far": Asked(question=_("Where are you now?")),
}

KINDS = {
    "wing": Said(name=_("Wing"), hint=_("You hold it in your hands"), picture="wing"),
    "kite": Said(name=_("Kite"), hint=_("It flies on lines"), picture="kite"),
}
UNSURE_SIZE = Said(
    name=_("Not sure"), hint=_("We then reckon with the largest"), tag=_("size not sure"), picture="unsure"
)
LOOKS = {
    "cut": Said(name=_("Cut"), hint=_("A slit right through the cloth"), picture="cut"),
    "scrape": Said(name=_("Scrape"), hint=_("Rubbed rough or thin, not through"), picture="scrape"),
    "seam": Said(name=_("Opened seam"), hint=_("The stitching has come apart"), picture="seam"),
    "hole": Said(name=_("Hole"), hint=_("From a thorn, a stone, a stick"), picture="hole"),
    "burst": Said(name=_("Burst"), hint=_("It tore open with a bang"), picture="burst"),
    "soft": Said(name=_("Goes soft"), hint=_("Loses air, nothing to be seen"), picture="soft"),
    "torn": Said(name=_("Torn cloth"), hint=_("A tear in the thin cloth"), picture="torn"),
    "cloudy": Said(name=_("Cloudy window"), hint=_("Milky or creased, not open"), picture="cloudy"),
    "cracked": Said(name=_("Cracked window"), hint=_("Split or broken through"), picture="cracked"),
    "valve": Said(name=_("Loose valve or hose"), hint=_("It leaks, wobbles or comes off"), picture="valve"),
}
LENGTHS = {
    "nail": Said(name=_("A fingernail"), picture="nail"),
    "coin": Said(name=_("A coin"), picture="coin"),
    "palm": Said(name=_("Across your palm"), picture="palm"),
    "hand": Said(name=_("Your hand, wrist to fingertip"), picture="hand"),
    "longer": Said(name=_("Longer than a hand"), tag=_("longer than a hand"), picture="longer"),
    "unsure": Said(
        name=_("Not sure"),
        hint=_("We then take the worst"),
        tag=_("length not sure"),
        picture="unsure",
    ),
}
FOLDS = {
    "round": Said(
        name=_("It stays round"),
        hint=_("Like a fold in a thick blanket"),
        tag=_("fold stays round"),
        picture="fold-round",
    ),
    "edge": Said(
        name=_("It folds to a sharp edge"),
        hint=_("Like a fold in paper"),
        tag=_("fold is sharp"),
        picture="fold-edge",
    ),
    "untried": Said(
        name=_("I cannot try it now"),
        hint=_("We then take the worst"),
        tag=_("fold not tried"),
        picture="unsure",
    ),
}
SOFTENS = {
    "day": Said(
        name=_("Within a day"), hint=_("A session still goes well"), tag=_("soft in a day"), picture="day"
    ),
    "hour": Said(
        name=_("Within an hour"), hint=_("Soft before you are back"), tag=_("soft in an hour"), picture="hour"
    ),
    "minutes": Said(
        name=_("Within minutes"), hint=_("You can watch it sink"), tag=_("soft in minutes"), picture="minutes"
    ),
    "unsure": Said(
        name=_("Not sure"), hint=_("We then take the worst"), tag=_("how fast: not sure"), picture="unsure"
    ),
}
FARS = {
    "home": Said(
        name=_("At home"), hint=_("Or with a shop that can be reached"), tag=_("at home"), picture="home"
    ),
    "far": Said(
        name=_("Far from any shop"),
        hint=_("On a trip, days away from one"),
        tag=_("far from any shop"),
        picture="far",
    ),
    "unsure": Said(
        name=_("Not sure"), hint=_("We then take it as at home"), tag=_("how far: not sure"), picture="unsure"
    ),
}
UP_TO = pgettext_lazy("a length", "up to {length}")
SIZE_UP_TO = pgettext_lazy("an area", "Up to {most} m²")
SIZE_BETWEEN = pgettext_lazy("an area", "{least} to {most} m²")
SIZE_OVER = pgettext_lazy("an area", "More than {least} m²")
