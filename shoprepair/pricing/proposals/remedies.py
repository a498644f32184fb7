"""Which operations mend a finding: one table of part and kind, each entry a plain function.

Where an answer was not given the dearer one is taken; `unknown` says so. All thresholds are common
practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from shoprepair.mechanics.description import (
    Answer,
    Element,
    Face,
    FindingKind,
    Fold,
    Softens,
)

SMALL_CUT_M = 0.050
"""Up to here a casing cut takes the small patch."""
LONG_CUT_M = 0.300
"""From here a new panel of casing is worth offering."""
SMALL_BLADDER_CUT_M = 0.050
"""Up to here a bladder is patched rather than replaced."""
TAPED_TEAR_M = 0.150
SEWN_TEAR_M = 0.500
PANEL_FROM_M = 0.250
"""From here a new panel of canopy is worth offering."""
SMALL_HEM_TEAR_M = 0.100
JOINT_SHARE = 0.5
"""Stitching nearer the leading edge than this share of a strut is its joint, else its end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One operation of the catalogue for one damage."""

    code: str
    choice: str = ""
    """Remedies with one word here exclude each other."""
    preferred: bool = True
    optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What decides which operations mend a damage."""

    element: Element
    kind: FindingKind
    on_strut: bool = False
    length_m: float | None = None
    taken_m: float = 0.0
    """The length that is reckoned with: as measured, or the worst where nobody measured."""
    fold: Fold = Fold.UNTRIED
    face: Face = Face.UNKNOWN
    through_bladder: Answer = Answer.UNKNOWN
    softens: Softens = Softens.UNKNOWN
    stitched_left_m: float | None = None
    fraction: float = 0.0
    fitting: str = "inflation"
    """inflation, dump or hose, where the pin hit one."""
    tape_holds: bool = True
    old_patch: bool = False
    under: FindingKind | None = None
    wet: bool = False
    """Whether the washing of the whole inflatable is to stand with this damage."""


Remedies = tuple[Remedy, ...]
Rule = Callable[[Situation], Remedies]


def remedies(found: Situation) -> Remedies:
    """The operations for a damage, those it cannot do without first; each code once."""
    rules = RULES[part(found)]
    found_here = rules[found.kind](found)
    if found.old_patch and found.kind is not FindingKind.RESIDUE:
        found_here += _residue(found)
    if found.wet:
        found_here += (Remedy(code="wash-and-dry"),)
    return tuple({remedy.code: remedy for remedy in reversed(found_here)}.values())[::-1]


def either(choice: str, preferred: str, *others: str) -> Remedies:
    """Operations that exclude each other, the advised one first."""
    advised = Remedy(code=preferred, choice=choice)
    rest = (Remedy(code=code, choice=choice, preferred=False) for code in others)
    return (advised, *rest)


def _cut(found: Situation) -> Remedies:
    patch = "casing-patch-small" if found.taken_m <= SMALL_CUT_M else "casing-patch"
    if found.taken_m < LONG_CUT_M:
        return Remedy(code=patch), *_bladder_behind(found)
    return *either("casing", patch, "casing-panel"), *_bladder_behind(found)


def _bladder_behind(found: Situation) -> Remedies:
    if found.through_bladder is Answer.NO:
        return ()
    return _bladder(found, patched=found.taken_m <= SMALL_BLADDER_CUT_M)


def _bladder(found: Situation, *, patched: bool) -> Remedies:
    new = "bladder-replace-strut" if found.on_strut else "bladder-replace-le"
    return either("bladder", *(("bladder-patch", new) if patched else (new, "bladder-patch")))


def _scuff(found: Situation) -> Remedies:
    if found.fold is Fold.ROUND:
        return (Remedy(code="casing-scuff-ply", preferred=False, optional=True),)
    patch = "casing-patch-small" if found.taken_m <= SMALL_CUT_M else "casing-patch"
    if found.fold is Fold.EDGE:
        return either("casing", "casing-scuff-ply", patch)
    return either("casing", patch, "casing-scuff-ply")


def _seam(found: Situation) -> Remedies:
    code = "closing-seam-resew" if found.face is Face.BACK else "segment-seam-resew"
    if found.through_bladder is Answer.NO:
        return (Remedy(code=code),)
    # A bladder that bulged out of a seam is chafed, not slit: a patch does, however long the seam is open.
    return Remedy(code=code), *_bladder(found, patched=True)


def _burst(found: Situation) -> Remedies:
    rebuild = "strut-burst-rebuild" if found.on_strut else "le-burst-rebuild"
    mirror = Remedy(code="mirror-place-check", optional=True)
    return Remedy(code=rebuild), *_bladder(found, patched=False), mirror


def _leak(found: Situation) -> Remedies:
    return _bladder(found, patched=_slow(found))


def _slow(found: Situation) -> bool:
    return found.softens in (Softens.DAY, Softens.HOUR)


def _valve(found: Situation) -> Remedies:
    new = "dump-valve-replace" if found.fitting == "dump" else "valve-replace"
    return either("valve", *(("valve-reseal", new) if _slow(found) else (new, "valve-reseal")))


def _hose(found: Situation) -> Remedies:
    return either(
        "hose", *(("hose-refit", "hose-replace") if _slow(found) else ("hose-replace", "hose-refit"))
    )


def _strut_stitching(found: Situation) -> Remedies:
    return (Remedy(code="strut-joint-resew" if found.fraction < JOINT_SHARE else "strut-end-rebuild"),)


def _resewn_or_new(choice: str, resewn: str, new: str) -> Rule:
    def rule(found: Situation) -> Remedies:
        return either(choice, resewn, new) if found.stitched_left_m else either(choice, new, resewn)

    return rule


def _tear(found: Situation) -> Remedies:
    large = ("canopy-panel",) if found.taken_m >= PANEL_FROM_M else ()
    tape = ("canopy-tape",) if found.tape_holds and not large else ()
    if found.taken_m <= TAPED_TEAR_M:
        return _of_canopy(*tape, "canopy-patch-sewn")
    if found.taken_m <= SEWN_TEAR_M:
        return _of_canopy("canopy-patch-sewn", *large, *tape)
    return _of_canopy("canopy-panel", "canopy-patch-sewn")


def _of_canopy(*codes: str) -> Remedies:
    return (Remedy(code=codes[0]),) if len(codes) == 1 else either("canopy", *codes)


def _pane(found: Situation) -> Remedies:
    if not found.tape_holds:
        return (Remedy(code="window-replace"),)
    small = found.taken_m <= TAPED_TEAR_M
    return either(
        "window", *(("window-tape", "window-replace") if small else ("window-replace", "window-tape"))
    )


def _hem(found: Situation) -> Remedies:
    small = found.taken_m <= SMALL_HEM_TEAR_M
    pair = ("canopy-patch-sewn", "trailing-edge-rebuild")
    return either("trailing edge", *(pair if small else pair[::-1]))


def _residue(found: Situation) -> Remedies:
    pair = either("residue", "stretch-patch-peel", "stretch-patch-cut-out")
    if found.under is None or found.under in _COVERS:
        return pair
    return *pair, *remedies(replace(found, kind=found.under, under=None, old_patch=False, wet=False))


def _always(*remedies: Remedy) -> Rule:
    return lambda _: remedies


_COVERS = (FindingKind.RESIDUE, FindingKind.STAIN)
_COVERED: dict[FindingKind, Rule] = {
    FindingKind.RESIDUE: _residue,
    FindingKind.STAIN: _always(Remedy(code="wash-and-dry"), Remedy(code="full-check", optional=True)),
}
_TUBE: dict[FindingKind, Rule] = {
    **_COVERED,
    FindingKind.CUT: _cut,
    FindingKind.HOLE: _cut,
    FindingKind.TEAR: _cut,
    FindingKind.CRACK: _cut,
    FindingKind.SCUFF: _scuff,
    FindingKind.SEAM_OPENED: _seam,
    FindingKind.STITCHING: _seam,
    FindingKind.BURST: _burst,
    FindingKind.LEAK: _leak,
}
_SAIL: dict[FindingKind, Rule] = {
    **_COVERED,
    FindingKind.TEAR: _tear,
    FindingKind.CUT: _tear,
    FindingKind.HOLE: _tear,
    FindingKind.CRACK: _tear,
    FindingKind.SCUFF: _tear,
    FindingKind.SEAM_OPENED: _always(Remedy(code="canopy-seam-resew")),
    FindingKind.STITCHING: _always(Remedy(code="canopy-seam-resew")),
}
RULES: dict[Element, dict[FindingKind, Rule]] = {
    Element.LEADING_EDGE: _TUBE,
    Element.STRUT: _TUBE | {FindingKind.STITCHING: _strut_stitching},
    Element.CANOPY: _SAIL,
    Element.WINDOW: _SAIL | dict.fromkeys((FindingKind.CRACK, FindingKind.TEAR, FindingKind.HOLE), _pane),
    Element.TRAILING_EDGE: _SAIL
    | dict.fromkeys((FindingKind.TEAR, FindingKind.HOLE), _hem)
    | dict.fromkeys(
        (FindingKind.SEAM_OPENED, FindingKind.STITCHING), _always(Remedy(code="trailing-edge-resew"))
    ),
    Element.HANDLE: {FindingKind.STITCHING: _resewn_or_new("handle", "handle-resew", "handle-replace")},
    Element.BRIDLE_POINT: {
        FindingKind.STITCHING: _resewn_or_new("bridle point", "bridle-point-resew", "bridle-point-rebuild")
    },
    Element.VALVE: {FindingKind.LEAK: _valve},
    Element.HOSE: {FindingKind.LEAK: _hose},
}
"""Part and kind of finding to the rule that names the operations, beside a fitting those of its tube."""


def part(found: Situation) -> Element:
    """A cut beside a fitting is a cut of the tube that carries it."""
    if found.kind in RULES[found.element]:
        return found.element
    return Element.STRUT if found.on_strut else Element.LEADING_EDGE
