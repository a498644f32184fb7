"""One line of what was measured: what, how much, what is wanted."""

import json
from dataclasses import asdict, dataclass
from typing import Literal


@dataclass(frozen=True)
class Said:
    """A figure beside its target."""

    what: str
    measured: float
    target: float
    wanted: Literal["most", "least"] = "most"
    unit: str = "×"
    note: str = ""

    @property
    def ok(self) -> bool:
        """Whether it is on the right side of the target."""
        return self.measured <= self.target if self.wanted == "most" else self.measured >= self.target

    def line(self) -> str:
        """As one line of JSON."""
        return json.dumps(asdict(self) | {"ok": self.ok}, ensure_ascii=False)

    def row(self) -> str:
        """As one row of a table in Markdown."""
        bound = ("≤ " if self.wanted == "most" else "≥ ") + _figure(self.target, self.unit)
        mark = "" if self.ok else "**not met**"
        note = " ".join(filter(None, [mark, self.note]))
        return f"| {self.what} | {_figure(self.measured, self.unit)} | {bound} | {note} |"


def _figure(value: float, unit: str) -> str:
    text = f"{value:,.0f}" if value >= 100 or value == int(value) else f"{value:.3g}"
    return f"{text} {unit}".strip()
