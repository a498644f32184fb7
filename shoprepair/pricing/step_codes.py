"""What the steps of an operation are for, kept as codes beside their words, so that nothing hangs on words.

A step may be written in any language and put in other words; what it does at the bench stays. Behind the
sign ⚠ a step says what to beware of.
"""

from collections.abc import Sequence
from difflib import get_close_matches
from enum import StrEnum

BEWARE = "⚠"
ALIKE = 0.6
"""How alike two lines are, of 1, for one to be the other in other words."""


class Does(StrEnum):
    CLEAR = "clear"
    """Draws the bladder clear of the place: needless where it is drawn out of the whole tube anyway."""
    SEW = "sew"
    """Takes the machine, with the thread of the lay-up in it."""
    KNIFE = "knife"
    """Takes the hot knife."""
    GLUE = "glue"
    """Takes the adhesive."""
    DRY = "dry"
    """What it leaves behind has to dry before anything follows."""


def read(code: str) -> frozenset[Does]:
    """The codes of one step, from how they are kept: 'glue dry'."""
    return frozenset(Does(each) for each in code.split() if each in list(Does))


def carried(steps: Sequence[str], before: Sequence[str], codes: Sequence[str]) -> list[str]:
    """The codes of steps that were written anew: each keeps that of the line it was, or most resembles."""
    known = dict(zip(before, codes, strict=False))
    left = [line for line in before if line not in steps]
    found = []
    for at, step in enumerate(steps):
        line = step if step in known else ""
        if not line and len(steps) == len(before) and before[at] in left:
            line = before[at]
        if not line:
            line = next(iter(get_close_matches(step, left, 1, ALIKE)), "")
        if line in left:
            left.remove(line)
        found.append(known.get(line, ""))
    return found if any(found) else []
