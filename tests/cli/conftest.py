"""Running the command in this process, as `main` does."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from wiregen.cli import main

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Done:
    code: int
    out: str
    err: str


@pytest.fixture
def wiregen(tmp_path, monkeypatch, capsys):
    """Run `wiregen` in an empty folder; return exit code and both outputs."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")

    def run(*words: str | Path) -> Done:
        with pytest.raises(SystemExit) as left:
            main([str(word) for word in words])
        out, err = capsys.readouterr()
        return Done(left.value.code, out, err)

    return run


@pytest.fixture
def designs():
    return ROOT / "designs"


@pytest.fixture
def everything(tmp_path):
    """Return a function that lists every file below the folder."""

    def listed() -> list[str]:
        return sorted(
            str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*") if path.is_file()
        )

    return listed
