"""A new shop is whole at once, stands on the reference shelf, and nothing that stood there is touched.

No outside reference but git (what it ignores) and jsonschema (the schemas beside the shop).
"""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest

from benchlore.entries.kinds import FOLDERS, KINDS
from benchlore.keeping import Keep
from benchlore.pipeline import check
from benchlore.reading.shelf import read_shelves
from benchlore.sharing import placing
from benchlore.sharing.draft import draft
from benchlore.sharing.placing import put_entry, put_files
from benchlore.sharing.start import start
from benchlore.writing import MachineRefused


def test_a_new_shop_reads_without_a_problem(tmp_path: Path) -> None:
    """The shelf is sound by itself, its folders are there, and its words are its own."""
    shop = tmp_path / "bridge-street"
    assert start(shop, {}) == "Bridge street"
    checked = check([shop], Keep())
    assert [str(problem) for problem in checked.problems] == []
    assert checked.library.shop is not None and checked.library.shop.title == "Bridge street"
    assert {path.name for path in shop.iterdir() if path.is_dir() and path.name[0] != "."} == set(FOLDERS)
    assert len((shop / "README.md").read_text("utf-8").splitlines()) <= 10
    assert {path.name for path in (shop / ".schemas").iterdir()} == {f"{kind}.schema.json" for kind in KINDS}
    settings = json.loads((shop / ".vscode/settings.json").read_text("utf-8"))
    assert all((shop / name).is_file() for name in settings["yaml.schemas"])


def test_what_is_given_is_filled_in(tmp_path: Path) -> None:
    """Title, currency, mains: as asked."""
    start(tmp_path / "a", {}, "Zoë's bench: valves & more", {"currency": "GBP", "mains": "230 V"})
    (entry,) = read_shelves([tmp_path / "a"]).entries
    assert (entry.title, entry.currency) == ("Zoë's bench: valves & more", "GBP")


def test_git_keeps_the_folders_and_not_the_site(tmp_path: Path) -> None:
    """What is built stays out of the history."""
    shop = tmp_path / "shop"
    start(shop, {})
    (shop / "site").mkdir()
    (shop / "site/index.html").touch()
    subprocess.run(["git", "init", "-q"], cwd=shop, check=True)
    subprocess.run(["git", "add", "."], cwd=shop, check=True)
    names = subprocess.run(["git", "ls-files"], cwd=shop, check=True, capture_output=True, text=True).stdout.split()
    assert not [name for name in names if name.startswith("site/")]
    assert {name.partition("/")[0] for name in names} >= set(FOLDERS)


def test_where_something_stands_nothing_is_touched(tmp_path: Path) -> None:
    """A folder with anything in it, a file, a link: refused, and as it was."""
    full, file, link = tmp_path / "full", tmp_path / "file", tmp_path / "link"
    full.mkdir()
    (full / "mine.txt").write_text("mine", "utf-8")
    file.write_text("mine", "utf-8")
    link.symlink_to(tmp_path / "elsewhere")
    for place in (full, file, link):
        with pytest.raises(MachineRefused, match="something is there already"):
            start(place, {})
    assert sorted(os.listdir(tmp_path)) == ["file", "full", "link"]
    assert os.listdir(full) == ["mine.txt"]


def test_an_empty_folder_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also the one we stand in, which stays the same folder."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    assert start(Path(), {}) == "Here"
    assert Path("shop.yaml").is_file()
    assert os.listdir(tmp_path) == ["here"]


def test_a_refusing_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All of the folder or none of it."""

    def full(folder: Path) -> None:
        raise OSError(28, "No space left on device", str(folder))

    monkeypatch.setattr(placing, "flush_tree", full)
    with pytest.raises(MachineRefused, match="disk is full"):
        start(tmp_path / "shop", {})
    assert os.listdir(tmp_path) == []


def test_a_new_entry_goes_where_it_belongs_and_over_nothing(tmp_path: Path) -> None:
    """An entry of the same id, an id that cannot be one, a linked folder: refused."""
    shop = tmp_path / "shop"
    start(shop, {})
    assert put_entry(shop, "fault", "new-one", draft("fault")) == shop / "faults/new-one.yaml"
    with pytest.raises(MachineRefused, match="already"):
        put_entry(shop, "fault", "new-one", "title: other\n")
    assert (shop / "faults/new-one.yaml").read_text("utf-8") == draft("fault")
    for id in ("../up", "Upper", "a b", "con", "a" * 61, "", "a--b"):
        with pytest.raises(ValueError, match="cannot be an id"):
            put_entry(shop, "fault", id, "")
    (shop / "terms/.gitkeep").unlink()
    (shop / "terms").rmdir()
    (shop / "terms").symlink_to(tmp_path)
    with pytest.raises(MachineRefused, match="is a link"):
        put_entry(shop, "term", "a", "")
    assert os.listdir(tmp_path) == ["shop"]


def test_schemas_are_made_anew(tmp_path: Path) -> None:
    """Schemas are made, not written: they are replaced."""
    put_files(tmp_path / "a" / "b", {"x.json": b"1"})
    put_files(tmp_path / "a" / "b", {"x.json": b"2"})
    assert (tmp_path / "a/b/x.json").read_bytes() == b"2"
