"""Filling a text's {placeholders}: one pass, plain text, one line where it must be one."""

import re
import unicodedata
from collections.abc import Mapping

PLACEHOLDER = re.compile(r"\{([^{}\n]*)\}")

LINE_END = re.compile("\r\n|[\r\u2028\u2029]")

# They reverse the text around them, so that an address or a file name reads as another.
OVERRIDES = frozenset("\u202a\u202b\u202c\u202d\u202e")


def fill(text: str, values: Mapping[str, str]) -> str:
    """The text with its placeholders filled.

    A value is put in as it is, braces included. A line whose placeholders are all empty is left
    out, with the empty line after it where there is one before it too: a shop that asks for no
    deposit writes no line about it.
    """
    lines: list[str] = []
    gap = False
    for line in text.split("\n"):
        if _says_nothing(line, values):
            gap = not lines or not lines[-1].strip()
        elif gap and not line.strip():
            gap = False
        else:
            lines.append(_filled(line, values))
            gap = False
    return "\n".join(lines)


def names_in(text: str) -> list[str]:
    """The placeholders of a text in order, each once."""
    return list(dict.fromkeys(PLACEHOLDER.findall(text)))


def cleaned(text: str) -> str:
    """The text without characters that no letter needs: controls, overrides, halves of characters."""
    lines = LINE_END.sub("\n", text).replace("\t", " ")
    return "".join(letter for letter in lines if letter == "\n" or _is_plain(letter))


def one_line(text: str) -> str:
    """The text on a single line: nothing in it can begin a header of its own."""
    return " ".join(cleaned(text).split())


def _filled(line: str, values: Mapping[str, str]) -> str:
    return PLACEHOLDER.sub(lambda found: values[found[1]], line)


def _says_nothing(line: str, values: Mapping[str, str]) -> bool:
    names = names_in(line)
    return bool(names) and all(_is_blank(values[name]) for name in names)


def _is_blank(value: str) -> bool:
    return not value.strip()


def _is_plain(letter: str) -> bool:
    return unicodedata.category(letter) not in {"Cc", "Cs"} and letter not in OVERRIDES
