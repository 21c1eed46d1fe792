"""Tables in workbooks, where the library that reads them is not installed."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from wiregen.intake.table import TableError, read_tables


def test_the_way_to_read_workbooks_is_said(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "pins.xlsx"
    path.write_bytes(b"PK\x03\x04")
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(TableError) as error:
        read_tables(path)
    assert "pip install openpyxl; or save the sheet as CSV" in str(error.value)
