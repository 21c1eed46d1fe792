"""Every reference table says where it comes from and what it is worth."""

from __future__ import annotations

import pytest

from wiregen.facts.tables import list_tables, table


@pytest.mark.parametrize("name", list_tables())
def test_table_is_documented(name: str) -> None:
    found = table(name)
    for text in (found.title, found.source, found.edition, found.clause, found.units, found.valid):
        assert text, name
    assert any(word in found.status for word in ("confirmed", "from memory", "column"))
    assert found.rows


@pytest.mark.parametrize("name", list_tables())
def test_every_row_has_every_column(name: str) -> None:
    rows = table(name).rows
    columns = tuple(rows[0])
    for row in rows:
        assert tuple(row) == columns
        assert None not in row
        assert all(isinstance(text, str) and text == text.strip() for text in row.values()), row


@pytest.mark.parametrize("name", list_tables())
def test_status_column_has_known_words(name: str) -> None:
    rows = table(name).rows
    if "status" in rows[0]:
        assert {row["status"] for row in rows} <= {"confirmed", "from memory", "disagreement"}
