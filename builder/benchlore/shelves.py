"""Which shelves a command works on when none is named."""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).resolve().parent


class NoShelf(Exception):
    """There is no knowledge base where the command was given."""


def reference_shelf() -> Path:
    """The reference shelf that came with this package: packed inside it, or the repository's own."""
    packed = HERE / "reference_shelf"
    return packed if packed.is_dir() else HERE.parent.parent / "kb" / "reference"


def default_shelves(folder: Path) -> list[Path]:
    """The stack for a folder, lowest first.

    A repository with ``kb/`` gives ``kb/reference`` and then its other shelves; a shop's folder (it holds ``shop.yaml``) stands on
    the reference shelf of the package.  Raises ``NoShelf`` with a remedy.
    """
    kb = folder / "kb"
    if kb.is_dir():
        shelves = sorted(
            (p for p in kb.iterdir() if p.is_dir() and not p.name.startswith(".")),
            key=lambda p: (p.name != "reference", p.name),
        )
        return [p.relative_to(folder) if folder == Path() else p for p in shelves]
    if (folder / "shop.yaml").is_file():
        return [reference_shelf(), folder]
    raise NoShelf(
        "no knowledge base here: go to the folder that holds kb/ or shop.yaml, or name a shelf with --shelf DIR"
    )
