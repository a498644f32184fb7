"""The small drawings of the papers: the hatched urgency tape and the QR code. They read in black alone."""

import io

from shoprepair.mechanics.description import Band

_LONG, _HIGH = 120.0, 12.0
_ROUND = 1.5
"""Radius of the case's corners: what is filled to there ends with the case itself."""
_INK = "#15252b"
_COLOURS = {
    Band.GROUNDED: "#8f2411",
    Band.REPAIR_FIRST: "#93370f",
    Band.NEXT_SERVICE: "#6d4a00",
    Band.WATCH: "#2f4a54",
}
# Distance and width of the hatch: the more urgent, the denser, so that a grey copy says the same.
_HATCH = {
    Band.GROUNDED: (5.2, 2.7),
    Band.REPAIR_FIRST: (5.5, 2.0),
    Band.NEXT_SERVICE: (9.0, 1.4),
    Band.WATCH: (18.0, 1.0),
}


def _slants(length: float, distance: float) -> str:
    """Lines leaning 45° over a strip that long, running out past its edges."""
    feet = range(-int(_HIGH // distance) - 1, int(length // distance) + 1)
    lines = [f"M{foot * distance - 1:.1f} {_HIGH + 1:.0f}l{_HIGH + 2:.0f} {-_HIGH - 2:.0f}" for foot in feet]
    return "".join(lines)


def tape(urgency: int, band: str, *, black: bool = False) -> str:
    """An urgency tape as SVG: filled to `urgency` of 100, hatched by band; `black` for a thermal printer."""
    kind = Band(band)
    filled = _LONG * min(max(urgency, 0), 100) / 100
    ink, case = ("#000", "#000") if black else (_COLOURS[kind], _INK)
    distance, width = _HATCH[kind]
    strip = f'height="{_HIGH:.0f}" rx="{_ROUND}"'
    end = f'<path d="M{filled:.1f} 0V{_HIGH:.0f}" stroke="{ink}" stroke-width="1.6"/>'
    hatch = f'd="{_slants(filled, distance)}" stroke="{ink}" stroke-width="{width}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 {_LONG + 2:.0f} {_HIGH + 2:.0f}">'
        f'<clipPath id="filled"><rect width="{filled:.1f}" {strip}/></clipPath>'
        f'<path {hatch} clip-path="url(#filled)"/>'
        f"{end if _ROUND <= filled <= _LONG - _ROUND else ''}"
        f'<rect width="{_LONG:.0f}" {strip} fill="none" stroke="{case}" stroke-width="1.2"/></svg>'
    )


def qr(address: str) -> str:
    """A QR code as SVG with its quiet zone, error level M, nothing but black on white."""
    # Papers are made beside the server, which need not load it.
    from segno import make_qr

    code = make_qr(address, error="m", boost_error=True)
    buffer = io.BytesIO()
    code.save(
        buffer,
        kind="svg",
        border=4,
        dark="#000",
        light="#fff",
        xmldecl=False,
        omitsize=True,
        svgclass=None,
        lineclass=None,
    )
    return buffer.getvalue().decode()
