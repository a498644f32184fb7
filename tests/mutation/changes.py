"""What is changed: every spot of a module's functions, in the ways that mutmut knows and two of our own.

Unlike mutmut itself this changes functions with decorators too: most rules of the shop stand under one.
"""

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import libcst as cst
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation import file_mutation, mutators
from mutmut.mutation.pragma_handling import IgnoredCode


@dataclass(frozen=True)
class Change:
    """One spot changed: where it is, its lines before and after, and the module's text with it."""

    function: str
    first: int
    lines: range
    in_head: bool
    was: str
    now: str
    text: str


def of(file: Path) -> Iterator[Change]:
    """All changes of the functions of this file, one after the other."""
    seen = Spots(file.read_text())
    for found in seen.mutations:
        function = found.contained_by_top_level_function
        if isinstance(function, cst.FunctionDef) and function in seen.names:
            yield seen.change(function, found.original_node, found.mutated_node)


class Spots(file_mutation.MutationVisitor):
    """The spots of one module."""

    def __init__(self, text: str) -> None:
        nothing: set[int] = set()
        super().__init__(WAYS, IgnoredCode(nothing, nothing, nothing))
        parsed = MetadataWrapper(cst.parse_module(text))
        self.at = parsed.resolve(PositionProvider)
        self.module = parsed.visit(self)
        self.pieces = [self.module.code_for_node(each) for each in self.module.body]
        self.head = "".join(self.module.code_for_node(each) for each in self.module.header)
        self.names: dict[cst.CSTNode, tuple[int, str]] = {}
        for place, statement in enumerate(self.module.body):
            if isinstance(statement, cst.FunctionDef):
                self.names[statement] = (place, statement.name.value)
            elif isinstance(statement, cst.ClassDef):
                for each in statement.body.body:
                    if isinstance(each, cst.FunctionDef):
                        self.names[each] = (place, f"{statement.name.value}.{each.name.value}")

    def _skip_node_and_children(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.FunctionDef) and node.decorators:
            return super()._skip_node_and_children(node.with_changes(decorators=()))
        return super()._skip_node_and_children(node)

    def change(self, function: cst.FunctionDef, was: cst.CSTNode, now: cst.CSTNode) -> Change:
        """The change of one spot of a function."""
        place, name = self.names[function]
        before = self.pieces[place]
        after = self.module.code_for_node(self.module.body[place].deep_replace(was, now))
        begins = function.decorators[0] if function.decorators else function
        spot = self.at[was.test if isinstance(was, cst.If) else was]
        return Change(
            name,
            self.at[begins].start.line,
            range(spot.start.line, spot.end.line + 1),
            spot.start.line < self.at[function.body].start.line,
            *differing(before, after),
            self.head + "".join((*self.pieces[:place], after, *self.pieces[place + 1 :])),
        )


def differing(before: str, after: str) -> tuple[str, str]:
    """The lines that a change took and those it put there, without their indents."""
    lines = list(difflib.unified_diff(before.split("\n"), after.split("\n"), n=0, lineterm=""))[3:]
    was, now = (" ".join(line[1:].strip() for line in lines if line[:1] == sign) for sign in "-+")
    return was, now


def once(node: cst.BaseString) -> Iterable[cst.BaseString]:
    """The changes of a string; of one with blanks, which people read, only the first."""
    changed = list(mutators.operator_string(node))
    is_sentence = isinstance(node, cst.SimpleString) and " " in node.value
    return changed[:1] if is_sentence else changed


def turned(node: cst.If) -> Iterable[cst.If]:
    """The other way round; a comparison is turned by mutmut."""
    if isinstance(node.test, cst.Call | cst.Name | cst.Attribute | cst.BooleanOperation | cst.NamedExpr):
        held = node.test.with_changes(lpar=[cst.LeftParen()], rpar=[cst.RightParen()])
        yield node.with_changes(test=cst.UnaryOperation(cst.Not(), held))


def left_out(node: cst.SimpleStatementLine) -> Iterable[cst.SimpleStatementLine]:
    """A step that is not taken, a fault that is not said."""
    only = node.body[0]
    if isinstance(only, cst.Raise) or (isinstance(only, cst.Expr) and isinstance(only.value, cst.Call)):
        yield node.with_changes(body=[cst.Pass()])


WAYS: Any = [
    (kind, once if way is mutators.operator_string else way) for kind, way in mutators.mutation_operators
] + [(cst.If, turned), (cst.SimpleStatementLine, left_out)]
