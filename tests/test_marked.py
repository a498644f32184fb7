"""No sentence that somebody may read stands in the program without being marked for translation."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

PROGRAM = Path("shoprepair")
NOT_READ = {
    "settings.py",
    "checks.py",
    "post.py",
    "serve.py",
    "shop/log_writing.py",
    "in_time.py",
    "jobs/advice/table.py",
    "office/views/page_parts.py",
    "papers/printing/bounded.py",
    "papers/printing/pages.py",
    "shop/backup/held.py",
    "shop/files/store.py",
    "shop/outbox/program_texts.py",
}
"""What is said to whoever runs the machine or builds on this, and the samples of letters and parts."""
FOLDERS = {"demo", "migrations", "management"}
MARKS = {"gettext", "gettext_lazy", "gettext_noop", "ngettext", "pgettext", "npgettext", "pgettext_lazy", "_"}
UNSAID = {
    *("debug", "info", "warning", "error", "exception", "critical"),
    *("TypeError", "RuntimeError", "AssertionError", "CommandError", "ImproperlyConfigured"),
}
"""What goes to the log, and what only a mistake in the program raises."""
OURS = {
    "SHA-256 of `previous` and `contents`.",
    "No sheet of  has room for  tags.",
    "Say  first.",
    "The  must be more than zero.",
    "The  must be zero or more.",
    "The  must lie between 0 and 1.",
}
SENTENCE = re.compile(r"[A-Z“].* .* .*[.!?]", re.DOTALL)


def test_every_sentence_of_the_program_can_be_said_in_another_language():
    found = {
        f"{path.relative_to(PROGRAM)}: {text}"
        for path in sorted(PROGRAM.rglob("*.py"))
        if not FOLDERS & set(path.parts) and str(path.relative_to(PROGRAM)) not in NOT_READ
        for text in _unmarked(ast.parse(path.read_text()))
    }
    assert found == set(), "mark them with gettext"


def test_no_sentence_is_marked_within_another():
    """Whoever gathers what is to be translated does not look into an f-string for it."""
    found = {
        f"{path.relative_to(PROGRAM)}:{call.lineno}"
        for path in PROGRAM.rglob("*.py")
        for joined in ast.walk(ast.parse(path.read_text()))
        if isinstance(joined, ast.JoinedStr)
        for call in ast.walk(joined)
        if isinstance(call, ast.Call)
        and getattr(call.func, "id", "") in MARKS
        and any(isinstance(each, ast.Constant) and " " in str(each.value) for each in call.args[:1])
    }
    assert found == set()


def _unmarked(tree: ast.AST) -> Iterator[str]:
    """Sentences in the code, but docstrings, what is marked, and what nobody reads."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.Call) and _name(node.func) in MARKS | UNSAID:
            continue
        text = _text(node)
        if text is not None:
            if SENTENCE.fullmatch(text.strip()) and text not in OURS and not re.search(r"\bFROM\b|\{", text):
                yield text
            continue
        waiting += ast.iter_child_nodes(node)


def _text(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
    return None


def _name(function: ast.expr) -> str:
    return str(getattr(function, "id", getattr(function, "attr", "")))
