"""How the counter asks about a damage: the words, the order of the answers, and how each is drawn.

Which questions a damage needs is decided in `jobs.questions`; here they only get their faces.
"""

from typing import Any, NamedTuple

from django.utils.translation import gettext

from shoprepair.counter.forms.damages import FIELD_OF, DamageForm
from shoprepair.jobs.models import Damage
from shoprepair.jobs.questions import faces_for, kinds_for, questions_for
from shoprepair.mechanics.description import SAILCLOTH, Condition, Element, Face, FindingKind
from shoprepair.shop.languages import Words, gettext_lazy
from shoprepair.shop.units import Units, say_length

NOT_SAID = "not said"
CHIPS_M = (0.01, 0.025, 0.05, 0.1)
CHIPS_IN = ("1/2 in", "1 in", "2 in", "4 in")


class Option(NamedTuple):
    value: str
    label: str
    drawing: str = ""
    """Name of its drawing among the templates, where it has one."""
    quiet: bool = False
    """Stands last and pale: the answer of somebody who cannot say."""

    @property
    def mark(self) -> str:
        return f"counter/check_in/marks/{self.drawing}.svg"


class Question(NamedTuple):
    """One question as the panel shows it."""

    name: str
    """Of the form's field."""
    legend: str
    shape: str
    """Which template draws it: cards, face, length."""
    options: tuple[Option, ...] = ()
    hint: str = ""
    value: str = ""
    error: str = ""
    chips: tuple[str, ...] = ()
    unit: str = ""
    """In which a bare figure is read."""

    @property
    def is_short(self) -> bool:
        """Whether two such questions fit side by side."""
        return self.shape == "cards" and all(len(option.label) < 5 or option.quiet for option in self.options)

    @property
    def drawn(self) -> int:
        """How many of its answers are drawn."""
        return sum(bool(option.drawing) for option in self.options)

    @property
    def in_the_wind(self) -> bool:
        """Of faces: whether one of them meets the wind."""
        return any(option.value == Face.FRONT for option in self.options)

    @property
    def template(self) -> str:
        return f"counter/check_in/question_{self.shape}.html"


def _cards(name: str, legend: str, *options: Option, hint: str = "", shape: str = "cards") -> Question:
    return Question(name, legend, shape, options, hint)


_UNSURE = Option(NOT_SAID, gettext_lazy("can’t say"), quiet=True)
_YES, _NO = Option("yes", gettext_lazy("yes")), Option("no", gettext_lazy("no"))
_ASKED = {
    "direction": _cards(
        "direction",
        gettext_lazy("Runs"),
        Option("along", gettext_lazy("along the tube"), "along"),
        Option("around", gettext_lazy("around it"), "around"),
        Option("at an angle", gettext_lazy("at an angle"), "angle"),
        _UNSURE,
    ),
    "angle_deg": _cards(
        "angle_deg",
        gettext_lazy("How steep"),
        *(Option(str(degrees), f"{degrees}°") for degrees in (15, 30, 45, 60, 75)),
        Option("", gettext_lazy("can’t say"), quiet=True),
        hint=gettext_lazy("From the tube’s length: 0° runs along it, 90° around."),
    ),
    "face": _cards(
        "face",
        gettext_lazy("Where around the tube"),
        Option("top", gettext_lazy("top")),
        Option("front", gettext_lazy("front")),
        Option("back", gettext_lazy("back")),
        Option("underside", gettext_lazy("underside")),
        _UNSURE,
        hint=gettext_lazy("Cut through, seen from the tip: the wind comes from the left."),
        shape="face",
    ),
    "fold": _cards(
        "fold",
        gettext_lazy("Fold test along the mark"),
        Option("stays round", gettext_lazy("stays round"), "round"),
        Option("folds to an edge", gettext_lazy("folds to an edge"), "edge"),
        Option("not tried", gettext_lazy("not tried"), quiet=True),
        hint=gettext_lazy("Let the air out and fold the cloth along the mark."),
    ),
    "through_bladder": _cards("through_bladder", gettext_lazy("Through the bladder?"), _YES, _NO, _UNSURE),
    "old_patch": _cards("old_patch", gettext_lazy("Old patch or glue here?"), _YES, _NO, _UNSURE),
    "wet": _cards("wet", gettext_lazy("Wet or sandy here?"), _YES, _NO, _UNSURE),
    "condition": _cards(
        "condition",
        gettext_lazy("Cloth around it"),
        Option("sound", gettext_lazy("sound")),
        Option("faded", gettext_lazy("faded")),
        Option("brittle", gettext_lazy("brittle")),
    ),
    "softens": _cards(
        "softens",
        gettext_lazy("Pumped up, it is soft"),
        Option("within a day", gettext_lazy("within a day")),
        Option("within an hour", gettext_lazy("within an hour")),
        Option("within minutes", gettext_lazy("within minutes")),
        _UNSURE,
    ),
    "length_m": Question("length", gettext_lazy("How long"), "length"),
    "stitched_left_m": Question(
        "stitched_left",
        gettext_lazy("Stitching that still holds"),
        "length",
        hint=gettext_lazy("Add up the rows’ sound length on one side."),
    ),
}
_KIND_LABELS = {
    FindingKind.SEAM_OPENED: gettext_lazy("seam opened"),
    FindingKind.STITCHING: gettext_lazy("stitching gone"),
    FindingKind.LEAK: gettext_lazy("loses air"),
    FindingKind.RESIDUE: gettext_lazy("old patch or glue"),
}
_ON_CLOTH = {"along": gettext_lazy("along the span"), "around": gettext_lazy("front to back")}
_LENGTH_LEGENDS = {
    FindingKind.CUT: gettext_lazy("Length of the cut"),
    FindingKind.TEAR: gettext_lazy("Length of the tear"),
    FindingKind.CRACK: gettext_lazy("Length of the crack"),
    FindingKind.HOLE: gettext_lazy("Hole, the widest way"),
    FindingKind.SEAM_OPENED: gettext_lazy("Length of seam opened"),
    FindingKind.SCUFF: gettext_lazy("Length of the scuff"),
}


def asked_about(damage: Damage, form: DamageForm, units: Units) -> list[Question]:
    """The questions that this damage needs now, filled with what is known, or typed, or wrong."""
    return [_filled(_question(name, damage, units), damage, form) for name in questions_for(damage)]


def kind_question(element: str, *, name: str = "kind", legend: str = gettext_lazy("What is it?")) -> Question:
    """The first question: what kind of damage this element has."""
    return _cards(name, legend, *(_kind(kind) for kind in kinds_for(element)), shape="kinds")


def shown_value(damage: Damage, name: str) -> str:
    """A kept answer as its field of the form shows it."""
    if name in FIELD_OF.values():
        return str(getattr(damage, f"{name}_typed"))
    value: Any = getattr(damage, name)
    return f"{value:g}" if isinstance(value, float) else str(value or "")


def _question(name: str, damage: Damage, units: Units) -> Question:
    if name == "kind":
        return kind_question(damage.element)
    if name == "under_kind":
        under = kind_question(damage.element, name="under_kind", legend=gettext("What lies under it?"))
        fitting = tuple(o for o in under.options if o.value not in {"residue", "stain", "leak"})
        return under._replace(options=(*fitting, Option("", gettext("can’t say"), quiet=True)))
    question = _ASKED[name]
    if question.shape == "length":
        chips = CHIPS_IN if units.inches else tuple(say_length(metres, units) for metres in CHIPS_M)
        legend = _LENGTH_LEGENDS.get(FindingKind(damage.kind), question.legend)
        return question._replace(
            chips=chips, unit=units.length, legend=question.legend if name != "length_m" else legend
        )
    whole = damage.job.inflatable.condition
    if name == "condition" and whole != Condition.SOUND:
        return question._replace(
            hint=gettext("The whole inflatable counts as %(whole)s; the worse is taken.")
            % {"whole": gettext(whole)}
        )
    if name == "face":
        return _face(question, damage)
    return _on_sailcloth(question) if damage.element in SAILCLOTH else question


def _on_sailcloth(question: Question) -> Question:
    """The same, asked where no tube runs: along is along the span, around is from front to back."""
    if question.name == "angle_deg":
        return question._replace(hint=gettext("From the span: 0° runs along it, 90° from front to back."))
    if question.name == "direction":
        return question._replace(options=tuple(_on_cloth(option) for option in question.options))
    return question


def _face(question: Question, damage: Damage) -> Question:
    """What was said before stays to be seen, even where nobody is asked for it."""
    faces = {*faces_for(damage), damage.face}
    shown = tuple(option for option in question.options if option.quiet or option.value in faces)
    if damage.element != Element.STRUT:
        return question._replace(options=shown)
    hint = gettext("Cut through, seen from its end at the trailing edge.")
    if Face.BACK in faces_for(damage):
        hint = gettext("At the back: its closing seam.")
    return question._replace(options=shown, hint=hint)


def _filled(question: Question, damage: Damage, form: DamageForm) -> Question:
    errors = form.errors.get(question.name, []) if form.is_bound else []
    typed = form.data.get(question.name) if form.is_bound else None
    value = shown_value(damage, question.name) if typed is None else str(typed)
    return question._replace(value=value, error=" ".join(errors))


def _kind(kind: FindingKind) -> Option:
    return Option(kind.value, _KIND_LABELS.get(kind) or Words(kind.value), kind.name.lower())


def _on_cloth(option: Option) -> Option:
    return option._replace(label=_ON_CLOTH.get(option.value, option.label), drawing="")
