"""The legend of the load map: every step's tone and hatch beside the share of strength it stands for."""

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.gear.diagram.loads import STEPS, Step
from shoprepair.gear.diagram.svg import element, group

SWATCH, GAP, TALL = 62.0, 2.0, 22.0
ROW = TALL + 28.0


def load_legend(unique: str = "legend", in_a_row: int = len(STEPS)) -> SafeString:
    """The steps of the load map as strips of swatches, in units of about a pixel."""
    title = element(
        "title",
        gettext("Share of its strength that sound cloth uses at full load: the darker and denser, the more"),
        id=f"{unique}-title",
    )
    wide = in_a_row * (SWATCH + GAP)
    rows = -(-len(STEPS) // in_a_row)
    body = "".join(
        group(
            "strip",
            [_swatch(s, i * (SWATCH + GAP)) for i, s in enumerate(STEPS[first : first + in_a_row])],
            transform=f"translate(0 {first // in_a_row * ROW:.0f})",
        )
        for first in range(0, len(STEPS), in_a_row)
    )
    return mark_safe(  # noqa: S308
        element(
            "svg",
            title + body,
            xmlns="http://www.w3.org/2000/svg",
            class_="load-legend is-narrow" if rows > 1 else "load-legend",
            id=unique,
            viewBox=f"-1 -1 {wide:.0f} {TALL + 20 + (rows - 1) * ROW:.0f}",
            role="img",
            aria_labelledby=f"{unique}-title",
        )
    )


def _swatch(step: Step, x: float) -> str:
    tone = element(
        "rect",
        x=x,
        y=0.0,
        width=SWATCH,
        height=TALL,
        class_=f"part load-{step.number}",
        fill=step.grey,
        stroke="#15252b",
        stroke_width=1.0,
    )
    said = element(
        "text",
        _range(step),
        x=x + SWATCH / 2,
        y=TALL + 15,
        font_size=13.0,
        text_anchor="middle",
        fill="#15252b",
        font_family="Atkinson Hyperlegible Next, sans-serif",
    )
    return tone + _hatch(step, x) + said


def _hatch(step: Step, x: float) -> str:
    if step.spacing_pens is None:
        return ""
    lines, start = [], x - TALL + step.spacing_pens / 2
    while start < x + SWATCH:
        low, high = max(0.0, x - start), min(TALL, x + SWATCH - start)
        lines.append(f"M{start + low:.1f} {low:.1f}L{start + high:.1f} {high:.1f}")
        start += step.spacing_pens
    return group(
        "hatches", [element("path", d="".join(lines), class_="hatch", fill="none", stroke="#15252b")]
    )


def _range(step: Step) -> str:
    """'5–10 %' of the strength."""
    before = STEPS[step.number - 1].below if step.number else 0.0
    if step is STEPS[-1]:
        return gettext("over %(value)s %%") % {"value": f"{before * 100:.0f}"}
    return f"{before * 100:.0f}–{step.below * 100:.0f} %"
