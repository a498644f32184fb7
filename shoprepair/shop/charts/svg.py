"""Writing SVG: numbers and elements. No inline style ever, only classes and attributes."""

from collections.abc import Iterable
from html import escape


def number(value: float, digits: int = 3) -> str:
    """A coordinate as short as it can be: '-.05', '1.234', '0'."""
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else f"{value:.0f}"
    text = text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text
    return "0" if text in {"", "-0", "-", "-."} else text


def element(name: str, body: str = "", /, **attributes: str | float | None) -> str:
    """An element; `class_` and `data_x` become class and data-x, None is left out, numbers are shortened."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{body}</{name}>" if body else f"<{name}{written}/>"


def _value(value: str | float) -> str:
    return escape(value) if isinstance(value, str) else number(value, 4)


def group(class_: str, parts: Iterable[str], /, **attributes: str | float | None) -> str:
    """A <g>, or nothing where it would be empty."""
    body = "".join(parts)
    return element("g", body, class_=class_, **attributes) if body else ""
