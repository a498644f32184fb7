"""What PDF/UA-1 (ISO 14289-1) asks of a file, as far as a program can tell without a person looking.

Numbers are those of the failure conditions in the Matterhorn Protocol 1.1; every one that it says a program
can judge is judged here. No validator is at hand that installs with the packages, so they are read from the
file with a general PDF library, and of its fonts with a general font library.
"""

from io import BytesIO

from pypdf import PdfReader

from tests.papers.universal import annotations, content, document, fonts, simple_fonts, structure

_JUDGED = """
01-003 01-004 01-005 01-007 02-001 02-003 02-004 06-001 06-002 06-003 07-001 07-002 09-004 09-005
09-006 09-007 09-008 10-001 11-001 11-002 11-003 11-004 11-005 11-006 13-004 14-002 14-003 14-006
14-007 15-003 17-002 17-003 19-003 19-004 20-001 20-002 20-003 21-001 25-001 26-001 26-002 28-002
28-004 28-005 28-006 28-007 28-008 28-009 28-010 28-011 28-012 28-014 28-015 28-016 28-017 28-018
30-001 30-002 31-001 31-002 31-003 31-004 31-005 31-006 31-007 31-008 31-009 31-011 31-012 31-013
31-014 31-015 31-016 31-017 31-018 31-019 31-020 31-021 31-022 31-023 31-024 31-025 31-026 31-027
31-028 31-029 31-030
"""
JUDGED = frozenset(_JUDGED.split())
"""All conditions that a program can judge."""


def failures(pdf: bytes) -> list[str]:
    """Each failure condition that the file meets, with where."""
    reader = PdfReader(BytesIO(pdf))
    parts = (document, structure, content, annotations, fonts, simple_fonts)
    return [failure for part in parts for failure in part.failures(reader)]
