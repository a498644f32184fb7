"""What is said about a repair besides its figures: what was assumed, what it crosses, what to beware of."""

from collections.abc import Iterator

from django.utils.translation import gettext

from shoprepair.gear.curve import centreline
from shoprepair.gear.describe import planform
from shoprepair.jobs.assessment import finding_of
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import (
    SAILCLOTH,
    Answer,
    Condition,
    Face,
    FindingKind,
    Quantity,
    Sentence,
)
from shoprepair.pricing.layup import Layup, rows_seated
from shoprepair.pricing.models import Repair
from shoprepair.pricing.proposals import bladders, layups
from shoprepair.pricing.proposals.asked import Asked, asked
from shoprepair.pricing.proposals.situation import situation
from shoprepair.pricing.proposals.unknown import unknowns
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.pricing.tubes import LEADING_EDGE, Mark, TubeLine, key_of, place_of, tube
from shoprepair.shop.languages import gettext_lazy

QUARTERS_FROM_THE_BACK = {Face.BACK: 0, Face.TOP: 1, Face.UNDERSIDE: 1, Face.FRONT: 2}
"""How many quarters of the tube lie between a face's middle and its back, where the closing seam runs."""
_NEEDLE = gettext_lazy("Draw the bladder well clear before a needle goes through this casing.")
_SOLVENT = gettext_lazy(
    "Solvents burn and their fumes harm: no flame, open the window, and keep them off the bladder."
)
_HOT = gettext_lazy(
    "A hot knife seals cloth and ruins film: keep hot tools away from the bladder and the canopy."
)
_DRY = gettext_lazy(
    "Tape sticks to bone-dry cloth only: clean with alcohol, let it dry, try the stick first."
)
_SLICK = gettext_lazy("Slick coated cloth wants polyester adhesive cloth instead.")
_CAUTIONS = {
    "canopy-tape": (_DRY, _SLICK, _SOLVENT),
    "window-tape": (_DRY, _SOLVENT),
    "stretch-patch-peel": (_SOLVENT,),
    "stretch-patch-cut-out": (_HOT,),
    "casing-panel": (_NEEDLE, _HOT),
    "canopy-panel": (_HOT,),
    "window-replace": (_HOT,),
    "bladder-patch": (_SOLVENT,),
    "valve-reseal": (_SOLVENT,),
    "valve-replace": (_SOLVENT,),
    "dump-valve-replace": (_SOLVENT,),
    "le-burst-rebuild": (_NEEDLE, _HOT),
    "strut-burst-rebuild": (_NEEDLE, _HOT),
    **dict.fromkeys(
        (
            "casing-patch-small",
            "casing-patch",
            "casing-scuff-ply",
            "segment-seam-resew",
            "closing-seam-resew",
            "strut-joint-resew",
            "strut-end-rebuild",
            "handle-resew",
            "handle-replace",
            "bridle-point-resew",
            "bridle-point-rebuild",
        ),
        (_NEEDLE,),
    ),
}


def notes(repair: Repair) -> tuple[Sentence, ...]:
    """What the page says beside a repair, what matters most first."""
    damage, demand = repair.damage, asked(repair.damage)
    layup = layups.read(repair.layup)
    said = [*_too_weak(repair), *_tape(repair, demand), *_old_patch(repair), *_other_bladder(repair)]
    said += _one_for_all(repair)
    if isinstance(layup, Layup | Seam):
        said += _old_cloth(damage)
    if isinstance(layup, Layup) and demand is not None and damage.element not in SAILCLOTH:
        said += _crossings(damage, layup, demand)
    if damage.kind:
        said += unknowns(situation(damage, demand), repair.operation.code)
    if repair.layup and layups.changed(repair.layup, repair.proposed):
        said.append(Sentence(gettext("Changed by a person from what was proposed.")))
    return (*said, *map(Sentence, _CAUTIONS.get(repair.operation.code, ())))


def _too_weak(repair: Repair) -> Iterator[Sentence]:
    layup = layups.read(repair.layup)
    if layup is None or not repair.shortfall:
        return
    values = {
        "holds": Quantity(layup.strength_n_per_m, "N/m"),
        "asked": Quantity(layup.required_n_per_m, "N/m"),
    }
    demand = layups.read_asked(repair.layup)
    if isinstance(layup, Layup) and demand and not rows_seated(layups.beyond_the_damage(layup, demand)):
        yield Sentence(gettext("The patch no longer covers the damage with its overlap: make it larger."))
    percent = max(1, round(100 * repair.shortfall))
    yield Sentence(
        gettext("It is %(percent)s %% too weak here: it holds {holds} where {asked} are needed.")
        % {"percent": percent},
        values,
    )
    if repair.let_stand_by:
        reason = repair.let_stand_reason.replace("{", "{{").replace("}", "}}")
        yield Sentence(
            gettext("%(let_stand_by)s let it stand: %(reason)s")
            % {"let_stand_by": repair.let_stand_by, "reason": reason}
        )


def _tape(repair: Repair, demand: Asked | None) -> Iterator[Sentence]:
    """Whether adhesive alone would hold here, said beside every way of mending a canopy."""
    if demand is None or not repair.operation.code.startswith(("canopy-", "window-", "trailing-")):
        return
    if repair.damage.kind in (FindingKind.SEAM_OPENED, FindingKind.RESIDUE):
        return
    tape = layups.read(repair.layup)
    if not isinstance(tape, Tape):
        tape = layups.tape_for(demand)
    if tape.holds:
        return
    values = {
        "holds": Quantity(tape.strength_n_per_m, "N/m"),
        "asked": Quantity(tape.required_n_per_m, "N/m"),
    }
    yield Sentence(
        gettext("Tape will not hold here: it lasts at {holds}, and the canopy pulls {asked}."), values
    )


def _old_patch(repair: Repair) -> Iterator[Sentence]:
    code, damage = repair.operation.code, repair.damage
    if code == "stretch-patch-cut-out":
        yield Sentence(
            gettext("What lies under the old patch goes out with its panel: no other repair of it is needed.")
        )
    if code == "stretch-patch-peel":
        yield Sentence(gettext("What will not peel off cleanly has to be cut out with its panel."))
    if damage.old_patch == Answer.UNKNOWN and code in ("canopy-tape", "canopy-patch-sewn", "window-tape"):
        yield Sentence(gettext("Feel for residue of an old patch: nothing sticks on it."))


def _old_cloth(damage: Damage) -> Iterator[Sentence]:
    found = finding_of(damage)
    if found and found.condition is not Condition.SOUND:
        yield Sentence(
            gettext(
                "The cloth is %(condition)s: new stitching holds no better than what it is "
                "sewn to. Try its edge by hand, and offer a new panel where it tears."
            )
            % {"condition": gettext(found.condition)}
        )


def _other_bladder(repair: Repair) -> Iterator[Sentence]:
    if repair.operation.code == "bladder-patch" and repair.optional and not repair.choice:
        yield Sentence(
            gettext("The tube gets a new bladder for another damage: patch only if that one is not taken.")
        )


def _one_for_all(repair: Repair) -> Iterator[Sentence]:
    """Why holes that patches would mend are offered a new bladder alone."""
    if repair.operation.code.startswith(bladders.NEW) and not (repair.choice or repair.by_hand):
        yield Sentence(
            gettext(
                "One new bladder for the whole tube costs less than a patch at each hole. "
                "Leave it out to patch each."
            )
        )


def _crossings(damage: Damage, layup: Layup, demand: Asked) -> Iterator[Sentence]:
    """What the outline would cross of seams, strut joints and valves."""
    drawn, key = planform(damage.job.inflatable.pattern), key_of(damage)
    if key is None:
        return
    line, at = tube(drawn, key), place_of(damage, drawn)
    low, high = at - layup.outline_m[0] / 2, at + layup.outline_m[0] / 2
    if key == LEADING_EDGE and any(low < seam < high for seam in segment_seams(damage)):
        yield Sentence(
            gettext("The patch crosses a seam between two segments: unpick it there and sew it in.")
        )
    if demand.around_m and layup.outline_m[1] >= demand.around_m - 1e-9:
        yield Sentence(
            gettext("The patch goes once around the tube: a sleeve, its ends met at the closing seam.")
        )
    else:
        yield from _closing_seam(damage, layup, demand)
    yield from (_crossed(mark) for mark in _marks_under(line, low, high))


def segment_seams(damage: Damage) -> Iterator[float]:
    """Where the seams between cut segments lie along the leading edge, m from the left tip."""
    drawn = planform(damage.job.inflatable.pattern)
    half = centreline(drawn).length_m
    for number in range(1 - drawn.segments, drawn.segments):
        yield half + number * half / drawn.segments


def _closing_seam(damage: Damage, layup: Layup, demand: Asked) -> Iterator[Sentence]:
    half = layup.outline_m[1] / 2
    face = Face(damage.face)
    if demand.around_m is None:
        return
    if face is Face.UNKNOWN:
        yield Sentence(
            gettext("Which face it lies on was not said: keep the patch off the closing seam, or sew it in.")
        )
    elif half > QUARTERS_FROM_THE_BACK[face] * demand.around_m / 4:
        yield Sentence(gettext("The patch crosses the closing seam: open it there and sew the patch in."))


def _marks_under(line: TubeLine, low: float, high: float) -> Iterator[Mark]:
    for mark in line.marks:
        if mark.span_m[0] < high and low < mark.span_m[1]:
            yield mark


def _crossed(mark: Mark) -> Sentence:
    if mark.kind == "joint":
        return Sentence(
            gettext("The patch reaches the joint with the %(name)s: unpick as much of it as is in the way.")
            % {"name": mark.name}
        )
    if mark.kind == "end":
        return Sentence(gettext("The patch reaches the strut's pointed end: sew it into the end seam."))
    return Sentence(
        gettext("The patch reaches the %(name)s: cut it round the valve's own patch.") % {"name": mark.name}
    )
