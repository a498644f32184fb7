"""What is said of an opening that may run: whole sentences, one for each kind of it and each verdict."""

from dataclasses import dataclass

from shoprepair.mechanics.cutting import Severity
from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.mechanics.words import gettext_noop

HOLE, CRACK, CUT, TEAR = "A hole", "A crack", "A cut", "A tear"
CUT_ALONG, CUT_AROUND, CUT_THIS_WAY = "A cut along the tube", "A cut around the tube", "A cut this way"
SEAM = "An opening of this seam"
OF_A_SCUFF = gettext_noop("Load asks {asked} of this scuff; it still holds about {left}.")
OF_CLOTH = gettext_noop("Load asks {asked} of this cloth; it holds about {left}.")


@dataclass(frozen=True, slots=True)
class _Said:
    certain: str
    runs: str
    not_yet: str
    never: str = ""
    too_long: str = ""
    out: str = ""


_OF_SAILCLOTH = {
    "A hole": _Said(
        certain=gettext_noop("A hole of {length} runs here for certain; do not ride."),
        runs=gettext_noop("A hole runs at about {run_length} here; do not ride."),
        not_yet=gettext_noop("A hole runs at about {run_length} here; this one is {length}."),
        never=gettext_noop("A hole of {length} does not run here."),
    ),
    "A crack": _Said(
        certain=gettext_noop("A crack of {length} runs here for certain; do not ride."),
        runs=gettext_noop("A crack runs at about {run_length} here; do not ride."),
        not_yet=gettext_noop("A crack runs at about {run_length} here; this one is {length}."),
        never=gettext_noop("A crack of {length} does not run here."),
    ),
    "A cut": _Said(
        certain=gettext_noop("A cut of {length} runs here for certain; do not ride."),
        runs=gettext_noop("A cut runs at about {run_length} here; do not ride."),
        not_yet=gettext_noop("A cut runs at about {run_length} here; this one is {length}."),
        never=gettext_noop("A cut of {length} does not run here."),
    ),
    "A tear": _Said(
        certain=gettext_noop("A tear of {length} runs here for certain; do not ride."),
        runs=gettext_noop("A tear runs at about {run_length} here; do not ride."),
        not_yet=gettext_noop("A tear runs at about {run_length} here; this one is {length}."),
        never=gettext_noop("A tear of {length} does not run here."),
    ),
    "An opening of this seam": _Said(
        certain=gettext_noop("An opening of this seam of {length} runs here for certain; do not ride."),
        runs=gettext_noop("An opening of this seam runs at about {run_length} here; do not ride."),
        not_yet=gettext_noop(
            "An opening of this seam runs at about {run_length} here; this one is {length}."
        ),
        never=gettext_noop("An opening of this seam of {length} does not run here."),
    ),
}
_OF_A_CASING = {
    "A hole": _Said(
        too_long=gettext_noop(
            "A hole longer than the tube's radius, {radius}, lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("A hole of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("A hole runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop("A hole runs at about {run_length} here; this one is {length}."),
        out=gettext_noop("A hole lets the bladder out from {radius} here; this one is {length}."),
    ),
    "A cut": _Said(
        too_long=gettext_noop(
            "A cut longer than the tube's radius, {radius}, lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("A cut of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("A cut runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop("A cut runs at about {run_length} here; this one is {length}."),
        out=gettext_noop("A cut lets the bladder out from {radius} here; this one is {length}."),
    ),
    "A cut along the tube": _Said(
        too_long=gettext_noop(
            "A cut along the tube longer than the tube's radius, {radius}, "
            "lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("A cut along the tube of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("A cut along the tube runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop("A cut along the tube runs at about {run_length} here; this one is {length}."),
        out=gettext_noop(
            "A cut along the tube lets the bladder out from {radius} here; this one is {length}."
        ),
    ),
    "A cut around the tube": _Said(
        too_long=gettext_noop(
            "A cut around the tube longer than the tube's radius, {radius}, "
            "lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("A cut around the tube of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("A cut around the tube runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop("A cut around the tube runs at about {run_length} here; this one is {length}."),
        out=gettext_noop(
            "A cut around the tube lets the bladder out from {radius} here; this one is {length}."
        ),
    ),
    "A cut this way": _Said(
        too_long=gettext_noop(
            "A cut this way longer than the tube's radius, {radius}, lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("A cut this way of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("A cut this way runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop("A cut this way runs at about {run_length} here; this one is {length}."),
        out=gettext_noop("A cut this way lets the bladder out from {radius} here; this one is {length}."),
    ),
    "An opening of this seam": _Said(
        too_long=gettext_noop(
            "An opening of this seam longer than the tube's radius, {radius}, "
            "lets the bladder out; do not inflate."
        ),
        certain=gettext_noop("An opening of this seam of {length} runs here for certain; do not inflate."),
        runs=gettext_noop("An opening of this seam runs at about {run_length} here; do not inflate."),
        not_yet=gettext_noop(
            "An opening of this seam runs at about {run_length} here; this one is {length}."
        ),
        out=gettext_noop(
            "An opening of this seam lets the bladder out from {radius} here; this one is {length}."
        ),
    ),
}


def of_sailcloth(what: str, length_m: float, longest_m: float, severity: Severity) -> Sentence:
    """Running for certain, running, running later, or not at all on a canopy so large."""
    said, run = _OF_SAILCLOTH[what], severity.run_length_m
    if severity.certain:
        return _with(said.certain, length=length_m)
    if severity.load_ratio >= 1:
        return _with(said.runs, run_length=run)
    if run <= longest_m:
        return _with(said.not_yet, length=length_m, run_length=run)
    return _with(said.never, length=length_m)


def of_a_casing(what: str, length_m: float, radius_m: float, severity: Severity) -> Sentence:
    """The sentence that decides: beyond the radius, running for certain, running, or holding so far."""
    said, run = _OF_A_CASING[what], severity.run_length_m
    if length_m > radius_m:
        return _with(said.too_long, radius=radius_m)
    if severity.certain:
        return _with(said.certain, length=length_m)
    if severity.load_ratio >= 1:
        return _with(said.runs, run_length=run)
    if run < radius_m:
        return _with(said.not_yet, length=length_m, run_length=run)
    return _with(said.out, length=length_m, radius=radius_m)


def _with(text: str, **lengths_m: float) -> Sentence:
    return Sentence(text, {name: Quantity(value, "m") for name, value in lengths_m.items()})
