"""The steps that agreed work is made of, before anybody keeps them."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from shoprepair.pricing import step_codes
from shoprepair.pricing.access import Opening
from shoprepair.pricing.access import numbered as damages_named
from shoprepair.pricing.step_codes import Does
from shoprepair.pricing.tubes import key_of
from shoprepair.shop.languages import gettext_lazy
from shoprepair.work.cautions import Told, told
from shoprepair.work.models import Step
from shoprepair.work.taken import Taken

Kind = Step.Kind
SETTLED = (Step.State.DONE, Step.State.SKIPPED)
TENTH = Decimal("0.1")
OPEN_SHARE, DRAW_SHARE, REFIT_SHARE = Decimal("0.3"), Decimal("0.15"), Decimal("0.2")
"""How an opening's minutes fall on its steps [assumed]; closing takes the rest."""
FINGERS = gettext_lazy("Fingers beside the foot, never before the needle.")
CLEAR = gettext_lazy("Draw it well clear of every place that is sewn.")
NEEDLE = gettext_lazy("A needle through the bladder makes a second repair.")


@dataclass(slots=True, kw_only=True)
class Made:
    """One step to keep."""

    made_from: str
    kind: Step.Kind
    text: str
    caution: str = ""
    does: str = ""
    repair_id: int | None = None
    operation_code: str = ""
    damages: list[int] = field(default_factory=list)
    opening: dict[str, Any] = field(default_factory=dict)
    after: list[str] = field(default_factory=list)
    minutes: Decimal = Decimal(0)
    drying_hours: Decimal = Decimal(0)


@dataclass(slots=True, kw_only=True)
class Way:
    """A way into a tube: an opening that is unpicked and closed again, and what is reached through it."""

    number: int
    time: int
    """Which time it is opened: 1, or more where it was closed before more was agreed."""
    tube: str
    label: str
    start_m: float
    end_m: float
    damages: tuple[int, ...]
    minutes: Decimal
    bladder_out: bool
    words: dict[str, Any]
    """Where it lies, as a stored Sentence."""

    @property
    def key(self) -> str:
        return f"opening:{self.number}:{self.time}"

    @property
    def stored(self) -> dict[str, Any]:
        return {
            "number": self.number,
            "time": self.time,
            "tube": self.tube,
            "label": self.label,
            "start_m": self.start_m,
            "end_m": self.end_m,
            "bladder_out": self.bladder_out,
            "words": self.words,
        }


def way_of(opening: Opening, number: int) -> Way:
    """A planned opening, opened for the first time."""
    return Way(
        number=number,
        time=1,
        tube=opening.tube_key,
        label=opening.tube_label,
        start_m=opening.start_m,
        end_m=opening.end_m,
        damages=opening.damages,
        minutes=opening.minutes,
        bladder_out=opening.bladder_out,
        words=asdict(opening.words),
    )


def opened(way: Way) -> Made:
    served = damages_named(way.damages)
    return Made(
        made_from=f"{way.key}:open",
        kind=Kind.OPEN,
        text=(
            gettext("Unpick opening %(number)s in the closing seam of the %(label)s again, for %(served)s.")
            if way.time > 1
            else gettext("Unpick opening %(number)s in the closing seam of the %(label)s, for %(served)s.")
        )
        % {"number": way.number, "label": way.label, "served": served},
        damages=list(way.damages),
        opening=way.stored,
        minutes=(way.minutes * _open_share(way)).quantize(TENTH),
    )


def closed(way: Way) -> Made:
    share = 1 - _open_share(way) - (DRAW_SHARE + REFIT_SHARE if way.bladder_out else 0)
    return Made(
        made_from=f"{way.key}:close",
        kind=Kind.CLOSE,
        text=gettext("Close opening %(number)s in the closing seam of the %(label)s.")
        % {"number": way.number, "label": way.label},
        caution=f"{FINGERS} {NEEDLE}",
        damages=list(way.damages),
        opening=way.stored,
        minutes=(way.minutes * share).quantize(TENTH),
    )


def _open_share(way: Way) -> Decimal:
    return OPEN_SHARE if way.bladder_out else OPEN_SHARE + Decimal("0.1")


def bladder_key(tube: str, time: int) -> str:
    return f"bladder:{tube}:{time}"


def drawn_out(tube: str, label: str, time: int, ways: Sequence[Way]) -> Made:
    return Made(
        made_from=f"{bladder_key(tube, time)}:draw",
        kind=Kind.DRAW,
        text=(
            gettext("Draw the bladder of the %(label)s again, a line tied to it that stays in the tube.")
            if time > 1
            else gettext("Draw the bladder of the %(label)s, a line tied to it that stays in the tube.")
        )
        % {"label": label},
        caution=f"{CLEAR} {NEEDLE}",
        damages=sorted({number for way in ways for number in way.damages}),
        opening={"tube": tube, "label": label, "time": time},
        minutes=_of_all(ways, DRAW_SHARE),
    )


def refitted(tube: str, label: str, time: int, ways: Sequence[Way]) -> Made:
    return Made(
        made_from=f"{bladder_key(tube, time)}:refit",
        kind=Kind.REFIT,
        text=gettext("Draw the bladder of the %(label)s in with the line, dusted with talc, free of twists.")
        % {"label": label},
        damages=sorted({number for way in ways for number in way.damages}),
        opening={"tube": tube, "label": label, "time": time},
        minutes=_of_all(ways, REFIT_SHARE),
    )


def _of_all(ways: Sequence[Way], share: Decimal) -> Decimal:
    return sum((way.minutes * share for way in ways if way.bladder_out), Decimal(0)).quantize(TENTH)


def checked(time: int) -> Made:
    return Made(
        made_from=f"check:{time}",
        kind=Kind.CHECK,
        text=gettext(
            "Look the whole over: every agreed damage mended, no needle, clip or thread end left inside."
        ),
    )


def work_steps(work: Taken, before: Sequence[str], *, bladder_drawn: bool) -> list[Made]:
    """The steps of one agreed piece of work, one after the other; the first comes after `before`."""
    operation = work.operation
    codes = [*operation.step_codes, *[""] * len(operation.steps)] if operation else []
    lines = list(zip(operation.steps, codes, strict=False)) if operation else []
    if bladder_drawn:
        lines = [(line, code) for line, code in lines if Does.CLEAR not in step_codes.read(code)]
    steps = told(lines) or [(Told(_as_a_step(work)), "")]
    minutes = split_minutes(work.minutes, len(steps))
    rests = _rests(steps) if operation and operation.drying_hours else None
    made: list[Made] = []
    for at, (step, code) in enumerate(steps):
        made.append(
            Made(
                made_from=f"{work.key}:{at + 1}",
                kind=Kind.REPAIR,
                text=step.text,
                caution=step.caution,
                does=code,
                repair_id=work.repair.pk if work.repair else None,
                operation_code=operation.code if operation else "",
                damages=list(work.damages),
                after=[made[-1].made_from] if made else list(before),
                minutes=minutes[at],
                drying_hours=operation.drying_hours if operation and at == rests else Decimal(0),
            )
        )
    return made


def _as_a_step(work: Taken) -> str:
    return f"{work.name.rstrip('.')}."[:300]


def split_minutes(whole: Decimal, parts: int) -> list[Decimal]:
    """So many minutes over so many steps, to a tenth; the last takes what is left over."""
    each = (whole / parts).quantize(TENTH, rounding="ROUND_DOWN")
    return [each] * (parts - 1) + [whole - each * (parts - 1)]


def _rests(steps: Sequence[tuple[Told, str]]) -> int:
    """After which step it dries: the one that says so, else the last."""
    dries = [at for at, (_step, code) in enumerate(steps) if Does.DRY in step_codes.read(code)]
    return (dries or [len(steps) - 1])[-1]


def tube_of(work: Taken) -> str | None:
    """The tube that a piece of work lies on, whose bladder must be out for it; None where none."""
    if work.repair is None or work.operation is None or not work.operation.bladder_out:
        return None
    return key_of(work.repair.damage)


def in_order(works: Sequence[Taken]) -> list[Taken]:
    """Washing first, for nothing sticks to wet cloth; then the most dangerous damage; checks last."""

    def rank(work: Taken) -> tuple[int, int, int]:
        place = 0 if work.wets else 2 if work.is_care else 1
        return place, -work.urgency, min(work.damages, default=0)

    return sorted(works, key=rank)
