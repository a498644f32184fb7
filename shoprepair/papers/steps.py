"""What to do, in order: plain rules from what was found to the steps on the work order.

The order of work is common practice in the trade, no source. Plies, outline and rows are left as blanks
that are filled in by hand; nothing here sizes a repair.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.mechanics.description import Answer, Element, FindingKind, Fold
from shoprepair.mechanics.words import gettext_noop
from shoprepair.papers.context import in_runs, listed
from shoprepair.shop.languages import gettext_lazy

_TUBES = frozenset({Element.LEADING_EDGE, Element.STRUT})
_SEWN_TO_A_TUBE = frozenset({Element.HANDLE, Element.BRIDLE_POINT})
_AIR = frozenset({Element.VALVE, Element.HOSE})
_THROUGH_THE_CASING = frozenset(
    {FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.SEAM_OPENED, FindingKind.BURST}
)
_FROM_TO = (gettext_noop("from"), gettext_noop("as far as"))
_READ = (gettext_noop("pressure"), gettext_noop("air"), gettext_noop("at"))
_ROWS, _WHICH, _OUTLINE = gettext_noop("rows"), gettext_noop("which"), gettext_noop("outline")
"""What is written in by hand, kept in English and said in the paper's language."""


class Task(NamedTuple):
    """One damage as the bench needs it."""

    number: int
    title: str
    element: Element
    kind: FindingKind | None
    tube: str = ""
    """The tube in words, where the damage lies on one: 'leading edge', 'first strut left'."""
    fold: Fold = Fold.UNTRIED
    through_bladder: Answer = Answer.UNKNOWN
    wet: Answer = Answer.UNKNOWN
    old_patch: Answer = Answer.UNKNOWN
    doubled: bool = False


class Step(NamedTuple):
    """A sentence with a box to tick, and the names of what is written in by hand."""

    text: str
    blanks: tuple[str, ...] = ()


class Stretch(NamedTuple):
    """Steps that belong together, under one heading; `number` is the damage they mend."""

    heading: str
    steps: tuple[Step, ...]
    number: int | None = None
    alike: tuple[int, ...] = ()
    """All damages that are mended by these steps, where there are several."""

    @property
    def blanks(self) -> tuple[str, ...]:
        """All that is written in by hand."""
        return tuple(dict.fromkeys(blank for step in self.steps for blank in step.blanks))


Cell = tuple[Stretch, ...]
"""Stretches below one another that stand together."""


def needs_opening(task: Task) -> bool:
    """True when the bladder has to come out of the way: sewing through a casing, or a leak in a tube."""
    if task.element in _SEWN_TO_A_TUBE:
        return True
    if task.element not in _TUBES:
        return False
    if task.kind is FindingKind.SCUFF:
        return task.fold is not Fold.ROUND
    return task.kind in _THROUGH_THE_CASING | {FindingKind.LEAK, FindingKind.STITCHING}


def holds_air(task: Task) -> bool:
    """True when the repair is done only after a hold test."""
    return needs_opening(task) or task.element in _AIR or task.kind is FindingKind.LEAK


def rows(
    tasks: Sequence[Task], *, test_pressure: str, grounded: bool, wet: bool, came_with: Sequence[str] = ()
) -> list[tuple[Cell, ...]]:
    """The whole work in order, read across: before, opening, each damage, closing, test, last.

    Two cells to a row; three where that is all there is to do.
    """
    opened = [task for task in tasks if needs_opening(task)]
    first: list[Cell] = [(Stretch(gettext("Before"), tuple(_before(tasks, grounded=grounded, wet=wet))),)]
    repairs = _repairs(tasks)
    test = _hold_test(test_pressure) if any(map(holds_air, tasks)) else _LOOK_UNDER_TENSION
    last = Stretch(gettext("Last"), tuple(_last(came_with)))
    if not opened and len(repairs) == 1:
        return [(*first, *repairs, (test, last))]
    if not opened:
        # An even number of cells leaves no hole at the end of the sheet.
        return _in_twos([*first, *repairs, *([(test,), (last,)] if len(repairs) % 2 else [(test, last)])])
    opening: Cell = (Stretch(gettext("Open"), tuple(_open(opened))),)
    end = ((Stretch(gettext("Close"), _CLOSE),), (test, last))
    if len(repairs) % 2:
        return [((*first[0], *opening), repairs[0]), *_in_twos(repairs[1:]), end]
    return [(*first, opening), *_in_twos(repairs), end]


def _repairs(tasks: Sequence[Task]) -> list[Cell]:
    """What is done for each damage, said once for those that are alike."""
    alike: dict[tuple[str, tuple[Step, ...]], list[int]] = {}
    for task in tasks:
        alike.setdefault((task.title, tuple(_repair(task))), []).append(task.number)
    return [
        (Stretch(title, steps, numbers[0], tuple(numbers) if len(numbers) > 1 else ()),)
        for (title, steps), numbers in alike.items()
    ]


def _in_twos(cells: list[Cell]) -> list[tuple[Cell, ...]]:
    return [tuple(cells[at : at + 2]) for at in range(0, len(cells), 2)]


def _before(tasks: Sequence[Task], *, grounded: bool, wet: bool) -> Iterable[Step]:
    if grounded:
        yield Step(gettext("Do not inflate before the repair."))
    if wet or any(task.wet is Answer.YES for task in tasks):
        yield Step(gettext("Rinse, brush out the sand, dry until bone dry."))
    else:
        yield Step(gettext("Brush out sand and salt; work on bone-dry cloth."))
    if tasks:
        yield Step(gettext("Mark every damage; pin whatever else you find."))
    else:
        yield Step(gettext("Pin every damage on the job sheet; pump nothing before it is judged."))


def _open(opened: Sequence[Task]) -> Iterable[Step]:
    for tube in dict.fromkeys(task.tube for task in opened):
        numbers = in_runs(task.number for task in opened if task.tube == tube)
        yield Step(
            gettext("Closing seam of the %(value)s, for %(numbers)s:")
            % {"value": tube or gettext("tube"), "numbers": listed(numbers)},
            _FROM_TO,
        )
    yield Step(gettext("Draw the bladder on a line, valves and hoses freed."))
    yield Step(gettext("Hold it to the light behind each damage."))


_CLOSE = (
    Step(gettext_lazy("Nothing left inside; every needle and clip counted.")),
    Step(gettext_lazy("Bladder back untwisted; valves and hoses seated.")),
    Step(gettext_lazy("Close the seam in its old holes, past both ends."), (_ROWS,)),
)


def _hold_test(test_pressure: str) -> Stretch:
    return Stretch(
        gettext("Hold test"),
        (
            Step(gettext("Pump to half; look and listen at every repair.")),
            Step(
                gettext("Eye and ear protection on. Pump to %(test_pressure)s:")
                % {"test_pressure": test_pressure},
                _READ,
            ),
            Step(gettext("Leave it; read again:"), _READ),
        ),
    )


_LOOK_UNDER_TENSION = Stretch(
    gettext_lazy("Look"), (Step(gettext_lazy("Pump to rated pressure; look at every repair.")),)
)


def _last(came_with: Sequence[str]) -> Iterable[Step]:
    yield Step(gettext("Photograph every repair from both faces."))
    packed = gettext(" with %(came_with)s") % {"came_with": listed(came_with)} if came_with else ""
    yield Step(gettext("Dry and pack%(packed)s.") % {"packed": packed})


def _repair(task: Task) -> Iterable[Step]:
    if task.kind is None:
        yield Step(gettext("Not said yet what it is: answer it on the job sheet first."))
        return
    if task.old_patch is Answer.YES and task.kind is not FindingKind.RESIDUE:
        yield from _lift_residue()
    if task.element in _AIR:
        yield from _air_way(task)
    elif task.element in _TUBES:
        yield from ON_A_TUBE[task.kind](task)
    elif task.element in _SEWN_TO_A_TUBE:
        yield from _stitching(task)
    else:
        yield from ON_CLOTH[task.kind](task)


def _leak(_task: Task) -> Iterable[Step]:
    yield Step(gettext("Find the leak with soapy water; mark it on the film."))
    yield from _bladder_patch()
    yield Step(gettext("Find what made it: sand, a thread end, a burr."))


def _burst(task: Task) -> Iterable[Step]:
    yield Step(gettext("Cut back to sound cloth and sound seams."))
    yield Step(gettext("Check the mirror place on the other side before anything is closed."))
    yield from _casing_patch(task)
    yield Step(gettext("Patch or replace the bladder."), (_WHICH,))


def _scuff(task: Task) -> Iterable[Step]:
    if task.fold is Fold.ROUND:
        yield Step(
            gettext(
                "Fold along the mark again: it stays round, so cover and note it. An edge: patch as a cut."
            )
        )
        return
    if task.fold is Fold.UNTRIED:
        yield Step(
            gettext("Fold along the mark first: it was not tried. Stays round: cover and note it, no patch.")
        )
    yield from _casing_patch(task)


def _residue(_task: Task) -> Iterable[Step]:
    yield from _lift_residue()
    yield Step(gettext("Pin what lies under it as a damage of its own."))


def _opened_casing(task: Task) -> Iterable[Step]:
    yield Step(gettext("Trim loose yarns; fold round the ends: all sound?"))
    yield from _casing_patch(task)
    yield from _behind(task)


def _casing_patch(task: Task) -> Iterable[Step]:
    doubled = gettext(" Doubled here: two or three plies.") if task.doubled else ""
    yield Step(
        gettext("Cut patches, warp to warp, corners round.%(doubled)s") % {"doubled": doubled},
        (gettext_noop("plies inside"), gettext_noop("outside"), _OUTLINE),
    )
    yield Step(gettext("Inside and outside on clean cloth, stitched twice."), (_ROWS,))


def _bladder_patch() -> Iterable[Step]:
    yield Step(gettext("Clean the film, patch it well past the hole, press and let it cure."))


def _behind(task: Task) -> Iterable[Step]:
    if task.through_bladder is Answer.YES:
        yield from _bladder_patch()
    elif task.through_bladder is Answer.UNKNOWN:
        yield Step(gettext("Check the bladder behind it; patch it if it was cut."))


def _air_way(task: Task) -> Iterable[Step]:
    if task.element is Element.HOSE:
        yield Step(gettext("Soapy water along the hose and at both clamps."))
        yield Step(gettext("Change hose or clamps; press the ends right home."))
        return
    yield Step(gettext("Soapy water on the valve and round its base."))
    yield Step(gettext("Clean the seat or change the valve; a lifting base is bonded anew on clean film."))


def _reopened_seam(_task: Task) -> Iterable[Step]:
    yield Step(gettext("Unpick to sound stitches at both ends; look for torn holes."))
    yield Step(gettext("Restitch in the old holes, past both ends; patch over torn ones."), (_ROWS,))


def _stitching(_task: Task) -> Iterable[Step]:
    yield Step(gettext("Unpick loose thread; look for torn holes under it."))
    yield Step(gettext("Restitch at least as it was, both ends locked."), (_ROWS, gettext_noop("length")))
    yield Step(gettext("Pull hard by hand."))


def _residue_on_cloth(_task: Task) -> Iterable[Step]:
    yield from _lift_residue()
    yield Step(gettext("What will not peel is cut out with its panel."))


def _torn(task: Task) -> Iterable[Step]:
    if task.element is Element.WINDOW:
        yield Step(gettext("Clean both faces; round off every end."))
        yield Step(gettext("Patch both faces with film, or change the window."), (_WHICH,))
        return
    yield Step(gettext("Clean both faces with alcohol, dry, and try whether the tape sticks."))
    yield Step(
        gettext("Ripstop tape on both faces, corners round; polyester adhesive cloth on slick coated cloth."),
        (_OUTLINE,),
    )
    yield Step(gettext("Across a seam or hem: stitch it again."))


def _lift_residue() -> Iterable[Step]:
    yield Step(gettext("Lift the old patch: warm it, peel, clean off the rest with solvent, window open."))


def _stain(_task: Task) -> Iterable[Step]:
    yield Step(gettext("Wash with fresh water and dry; fold the cloth on the stain: does it stay round?"))


_Rule = Callable[[Task], Iterable[Step]]
ON_A_TUBE: dict[FindingKind, _Rule] = {
    **dict.fromkeys((FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.CRACK), _opened_casing),
    FindingKind.SCUFF: _scuff,
    FindingKind.SEAM_OPENED: _reopened_seam,
    FindingKind.STITCHING: _stitching,
    FindingKind.BURST: _burst,
    FindingKind.LEAK: _leak,
    FindingKind.RESIDUE: _residue,
    FindingKind.STAIN: _stain,
}
ON_CLOTH: dict[FindingKind, _Rule] = {
    **dict.fromkeys(
        (FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.CRACK, FindingKind.SCUFF), _torn
    ),
    # No cloth can be said to have these; a paper tells what to do all the same.
    **dict.fromkeys((FindingKind.BURST, FindingKind.LEAK), _torn),
    FindingKind.SEAM_OPENED: _reopened_seam,
    FindingKind.STITCHING: _stitching,
    FindingKind.RESIDUE: _residue_on_cloth,
    FindingKind.STAIN: _stain,
}
"""What is done about each kind of damage: on a tube's casing, and on canopy, window and trailing edge."""
