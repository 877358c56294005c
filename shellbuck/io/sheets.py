"""A table with headings as the bytes of a CSV or XLSX file."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any

from ..core.errors import Refusal, install_words
from .store.tables import row_text


def need_workbooks(where: str) -> None:
    """Refuse where XLSX cannot be written.

    Raises
    ------
    Refusal
    """
    try:
        import openpyxl  # noqa: F401
    except ImportError:
        way_out = f"{install_words('openpyxl')}, or name a .csv file"
        raise Refusal.of("library-missing", "XLSX needs the openpyxl library", where, "", "", way_out) from None


def csv_bytes(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> bytes:
    """UTF-8 with the mark by which spreadsheets know it."""
    return "".join(map(row_text, (head, *rows))).encode("utf-8-sig")


def xlsx_bytes(title: str, head: Sequence[str], rows: Iterable[Sequence[Any]]) -> bytes:
    """A workbook of one sheet: headings that stay in sight, with a filter."""
    from openpyxl import Workbook
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
    from openpyxl.styles import Font

    book = Workbook()
    sheet = book.active
    sheet.title = title
    for i, row in enumerate((head, *rows), 1):
        for j, value in enumerate(row, 1):
            cell = sheet.cell(i, j)
            cell.value = ILLEGAL_CHARACTERS_RE.sub("\ufffd", value) if isinstance(value, str) else value
            if isinstance(value, str):
                cell.data_type = "s"  # a name that begins with = is no formula
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions
    for j in range(1, len(head) + 1):
        sheet.column_dimensions[sheet.cell(1, j).column_letter].width = max(12, min(40, len(str(head[j - 1])) + 2))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
