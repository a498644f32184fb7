"""Passwords and log-in names that the owner may take as they stand for somebody new."""

import re
import secrets
import unicodedata

from shoprepair.shop import people

_WORDS = """
amber anchor apple april arrow autumn badge bamboo basil beach beacon berry birch blanket bottle
branch breeze bridge bright bronze brook bucket button cabin candle canoe carrot cedar chalk cherry
clay cliff clover coast cobalt copper coral cotton cradle crane cricket crystal curtain daisy damson
dawn dolphin dragon drift dune eagle ember engine evening falcon fern fiddle field finch flint
forest fossil fountain friday garden garlic ginger glacier granite grape gravel green guitar hammer
harbour hazel heron hill honey hornet island ivory jacket january jasper jelly jungle kettle kitchen
ladder lagoon lantern lemon lilac linen lobster maple marble march meadow melon mirror monday
morning mountain mustard nectar needle north nutmeg oak oasis ocean olive onion orange orchard otter
paddle pantry paper pebble pepper piano pigeon pillow planet plum pocket pond poppy potter prairie
puddle pumpkin purple quartz quill rabbit rain raven ribbon river robin rocket rope rose ruby saddle
saffron sailor salmon sand saturn season shadow silver slate snow south spark spring squirrel stone
storm summer sunday swallow table teapot thistle thunder timber tomato trumpet tulip tunnel turnip
valley velvet violet walnut water wheat willow window winter wooden yellow zebra
"""
WORDS = tuple(_WORDS.split())
HOW_MANY = 4
_PLAIN = str.maketrans({"ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ð": "d", "đ": "d", "þ": "th", "ł": "l"})
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")


def password(shop_name: str = "") -> str:
    """Four words and two figures: quickly said across the bench, and not soon guessed."""
    while True:
        words = [secrets.choice(WORDS) for _ in range(HOW_MANY)]
        made = "-".join([*words, str(10 + secrets.randbelow(90))])
        if not people.password_faults(made, name="", username="", shop_name=shop_name):
            return made


def username(name: str) -> str:
    """A log-in name that is free: the first name in small plain letters, with a figure where it is taken."""
    plain = unicodedata.normalize("NFKD", name.lower().translate(_PLAIN))
    words = _NOT_IN_A_NAME.sub(
        " ", "".join(each for each in plain if not unicodedata.combining(each))
    ).split()
    first = words[0] if words else "person"
    wanted, number = first, 1
    while people.is_taken(wanted):
        number += 1
        wanted = f"{first}{number}"
    return wanted
