"""Where sharing puts files: new ones only where nothing stands, whole folders in one step, never through a link."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from benchlore.reading.files import NAME, RESERVED
from benchlore.sharing.draft import place_of
from benchlore.writing import MachineRefused, flush_tree, in_plain_words, new_file, replace_file


def put_entry(shelf: Path, kind: str, id: str, text: str) -> Path:
    """Write a new entry where it belongs on a shelf and return its path.

    Raises ValueError for an id that cannot be one, MachineRefused when an entry of that id is there already.
    """
    if not NAME.fullmatch(id) or len(id) > 60 or id in RESERVED:
        raise ValueError(f'"{id}" cannot be an id: use up to 60 small letters and digits, joined by single hyphens')
    path = shelf / place_of(kind, id)
    with in_plain_words(f"write {path}"):
        if os.path.lexists(path):
            raise MachineRefused(f"Could not write {path}: there is an entry of that name already.")
        if path.parent.is_symlink():
            raise MachineRefused(f"Could not write {path}: its folder is a link.")
        path.parent.mkdir(exist_ok=True)
        new_file(path, text.encode("utf-8"))
    return path


def put_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files by name into a folder, each in one step, over what they replace. For schemas, which are made, not written."""
    with in_plain_words(f"write into {folder}"):
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            replace_file(folder / name, content)


def put_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a folder of ``files`` (path with ``/`` to content), whole or not at all; refused where something stands already."""
    with in_plain_words(f"make {folder}"):
        if folder.is_symlink() or (folder.exists() and not (folder.is_dir() and not any(folder.iterdir()))):
            raise MachineRefused(f"Could not make {folder}: something is there already; name a folder that is new or empty.")
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder = folder.resolve()
        beside = folder.with_name(f".{folder.name}.benchlore-{os.getpid()}")
        try:
            beside.mkdir()
            for path, content in files.items():
                (beside / path).parent.mkdir(parents=True, exist_ok=True)
                new_file(beside / path, content)
            flush_tree(beside)
            if not folder.exists():
                os.rename(beside, folder)
                return
            for name in sorted(os.listdir(beside)):  # somebody may be standing in it: fill it, do not exchange it
                os.rename(beside / name, folder / name)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
