"""The materials a job is likely to need, so that their lots are written beside a name."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext

from shoprepair.mechanics.description import Answer, Element, FindingKind
from shoprepair.papers.steps import Task, needs_opening

_CANOPY = frozenset({Element.CANOPY, Element.TRAILING_EDGE})


def likely(tasks: Sequence[Task]) -> tuple[str, ...]:
    """Names in the order in which they are used, each once."""
    return tuple(dict.fromkeys(name for task in tasks for name in _of(task)))


def _of(task: Task) -> Iterable[str]:
    if task.kind is None or task.kind is FindingKind.STAIN:
        return
    if task.kind is FindingKind.RESIDUE or task.old_patch is Answer.YES:
        yield gettext("Solvent")
    if task.kind is FindingKind.SEAM_OPENED:
        yield gettext("Sewing thread")
    elif task.element is Element.VALVE:
        yield gettext("Valve")
    elif task.element is Element.HOSE:
        yield gettext("Hose and clamps")
    elif task.element in _CANOPY and task.kind is not FindingKind.RESIDUE:
        yield gettext("Ripstop tape")
    elif task.element is Element.WINDOW and task.kind is not FindingKind.RESIDUE:
        yield gettext("Window film")
    elif needs_opening(task):
        yield from _casing(task)


def _casing(task: Task) -> Iterable[str]:
    sewn_only = {FindingKind.SEAM_OPENED, FindingKind.STITCHING, FindingKind.LEAK}
    if task.kind not in sewn_only and task.element not in {Element.HANDLE, Element.BRIDLE_POINT}:
        yield gettext("Polyester casing cloth")
    yield gettext("Sewing thread")
    if task.kind in {FindingKind.LEAK, FindingKind.BURST} or task.through_bladder is Answer.YES:
        yield gettext("TPU film")
