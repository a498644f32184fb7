"""The arithmetic of a cut laid open, in a casing or in sailcloth."""

from shoprepair.mechanics.cutting import Severity
from shoprepair.mechanics.description import Figure, LoadCases
from shoprepair.mechanics.outcome import ANSWER, CASES, CLOTH, HEDGEPETH, given, step
from shoprepair.mechanics.words import gettext_noop

_RUN = {
    "radius": gettext_noop("length at which the load ratio reaches 1, at most the radius"),
    "span": gettext_noop("length at which the load ratio reaches 1, at most the span"),
}


def of_a_cut(
    severity: Severity, length_m: float, most_m: float, cases: LoadCases, *, limit: str, measured: bool
) -> list[Figure]:
    """From a cut's length to its two load ratios and the length at which it runs."""
    pull = severity.pull
    cut, hopeful = severity.broken, severity.hopeful_load_ratio
    flaw = gettext_noop("Waddoups, Eisenmann & Kaminski 1971")
    return [
        given(gettext_noop("length"), length_m, "m", ANSWER, assumed=not measured),
        step(
            gettext_noop("length across the yarns"),
            length_m * pull.crossing,
            "m",
            gettext_noop("length, turned across the yarns"),
            ANSWER,
        ),
        given(gettext_noop("yarns per metre"), pull.yarns_per_m, "", CLOTH),
        given(gettext_noop("flaw length"), cases.flaw_length_m, "m", CASES, assumed=True),
        step(
            gettext_noop("yarns cut"),
            cut,
            "",
            gettext_noop("length across the yarns × yarns per metre, rounded up"),
            CLOTH,
        ),
        step(
            gettext_noop("stress factor"),
            severity.factor,
            "",
            gettext_noop("what the next yarn carries beside yarns cut"),
            HEDGEPETH,
        ),
        step(
            gettext_noop("load ratio"),
            severity.load_ratio,
            "",
            f"{pull.name} × stress factor ÷ strength left",
            HEDGEPETH,
        ),
        step(
            gettext_noop("hopeful load ratio"),
            hopeful,
            "",
            gettext_noop("the same by √(1 + length ÷ flaw length)"),
            flaw,
            assumed=True,
        ),
        step(
            gettext_noop("run length"),
            min(severity.run_length_m, most_m),
            "m",
            _RUN[limit],
            HEDGEPETH,
        ),
    ]
