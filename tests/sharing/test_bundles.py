"""Shops trade shelves: nothing is lost, nothing is written unasked, and a stranger's file is never believed.

No outside reference for the form itself; zipfile of the standard library makes the hostile ones, git is not needed.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import signal
import sys
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.problem import Problem
from benchlore.reading.shelf import digest_of, read_shelves
from benchlore.sharing.absorbing import JOURNAL, absorb, undo
from benchlore.sharing.bundling import NothingToPack, bundle, write_bundle
from benchlore.sharing.comparing import Item, NotTaken, Take, amendment, compare, standing, to_write
from benchlore.sharing.draft import draft
from benchlore.sharing.opening import Bundle, Unfit, open_bundle
from benchlore.sharing.placing import put_entry
from benchlore.sharing.start import start
from benchlore.writing import MachineRefused

TERM = "title: {title}\nadded: 2025-01-0{day}\nby: [{by}]\nmeaning: {meaning}\n"


def library_of(*shelves: Path) -> tuple[Library, list[Problem]]:
    """The library that a stack of shelves gives, and its problems."""
    reading = read_shelves(shelves)
    linked = link(reading.entries, reading.broken, reading.retired)
    return linked.library, [*reading.problems, *linked.problems]


def terms(shelf: Path) -> dict[str, str]:
    """The terms of a shelf: id to meaning."""
    return {id: term.meaning for id, term in library_of(shelf)[0].terms.items()}


def packed(shelf: Path, *below: Path, chosen: Sequence[tuple[str, str]] = ()) -> Bundle:
    """A bundle of a shelf, written and opened again."""
    file = shelf.parent / f"{shelf.name}.zip"
    write_bundle(file, bundle(shelf, library_of(*below, shelf)[0], chosen, "0.1.0"))
    return open_bundle(file)


def take_in(theirs: Bundle, *stack: Path, take: Take = "mine") -> tuple[str, ...]:
    """Absorb a bundle on the uppermost shelf, the same choice for all that differs."""
    mine = standing(stack)
    files = to_write(theirs, compare(theirs, mine), mine, lambda _: take)
    return absorb(stack[-1], files, lambda: library_of(*stack)[1])


@pytest.fixture
def shops(tmp_path: Path) -> tuple[Path, Path, Path]:
    """A reference shelf and two shops on it, each with entries of its own and one that clashes."""
    reference, bridge, mill = tmp_path / "reference", tmp_path / "bridge-street", tmp_path / "old-mill"
    (reference / "terms").mkdir(parents=True)
    (reference / "terms/idle.yaml").write_text(TERM.format(title="Idle", day=1, by="BL", meaning="No signal."), "utf-8")
    for shop, by in ((bridge, "RK"), (mill, "AB")):
        start(shop, {})
        put_entry(shop, "term", "bias", TERM.format(title="Bias", day=2, by=by, meaning=f"As {by} says."))
        put_entry(shop, "term", f"own-{by.lower()}", TERM.format(title=f"Own {by}", day=3, by=by, meaning="See [](term:idle)."))
    return reference, bridge, mill


def test_two_shops_trade_and_nothing_is_lost(shops: tuple[Path, Path, Path]) -> None:
    """New entries come in, a clash is shown field by field and resolved, and absorbing twice changes nothing."""
    reference, bridge, mill = shops
    theirs = packed(mill, reference)
    assert (theirs.shelf, theirs.shop, theirs.by, theirs.date) == ("old-mill", "Old mill", ("AB",), "2025-01-03")
    assert theirs.leans_on == {("term", "idle"): digest_of((reference / "terms/idle.yaml").read_bytes())}
    mine = standing([reference, bridge])
    items = compare(theirs, mine)
    assert [(item.id, item.state) for item in items] == [("bias", "different"), ("own-ab", "new")]
    said = [str(found) for found in items[0].differences]
    assert said[0].startswith('by: mine "RK" (') and "bridge-street/terms/bias.yaml:3:5" in said[0]
    assert 'meaning: mine "As RK says."' in said[1] and "old-mill.zip/terms/bias.yaml:4:10" in said[1]

    assert take_in(theirs, reference, bridge) == ("terms/own-ab.yaml",)
    assert terms(bridge) == {"bias": "As RK says.", "own-ab": "See [](term:idle).", "own-rk": "See [](term:idle)."}
    assert take_in(theirs, reference, bridge) == ()

    assert take_in(theirs, reference, bridge, take="both") == ("terms/bias-from-old-mill.yaml",)
    library, problems = library_of(reference, bridge)
    assert problems == []
    assert library.terms["bias-from-old-mill"].title == "Bias (from Old mill)"
    assert take_in(theirs, reference, bridge, take="both") == ()

    back = packed(bridge, reference)
    assert take_in(back, reference, mill, take="theirs") == (
        "terms/bias-from-old-mill.yaml",
        "terms/bias.yaml",
        "terms/own-rk.yaml",
    )
    assert terms(mill)["bias"] == "As RK says."
    assert take_in(back, reference, mill, take="theirs") == ()


@pytest.mark.parametrize("former", ["was: [grid-bias]\n", "was:\n  - grid-bias\n  # once more\n  - cold-bias\n", "was:\n- grid-bias\n"])
def test_both_of_one_that_was_called_otherwise(shops: tuple[Path, Path, Path], former: str) -> None:
    """Former ids lead to one entry only: theirs, put beside mine, lays no claim to them; and is met as the same again."""
    reference, bridge, mill = shops
    for shop in (bridge, mill):
        path = shop / "terms/bias.yaml"
        path.write_text(path.read_text("utf-8").replace("added:", f"{former}added:"), "utf-8")
    theirs = packed(mill, reference)
    assert take_in(theirs, reference, bridge, take="both") == ("terms/bias-from-old-mill.yaml", "terms/own-ab.yaml")
    library, problems = library_of(reference, bridge)
    assert problems == [] and library.terms["bias-from-old-mill"].was == () and library.terms["bias"].was
    assert library.terms["bias-from-old-mill"].meaning == "As AB says."
    assert take_in(theirs, reference, bridge, take="both") == ()


def test_findings_merge_as_a_set(tmp_path: Path) -> None:
    """Two jobs under one id both stay; the same job is met again under any id."""
    given = {"title": "Job", "family": "heron", "symptoms": [], "faults": [], "minutes": 30, "parts_cost": 1, "date": "2025-02-01"}
    for shop, by in (("one", "RK"), ("two", "AB")):
        start(tmp_path / shop, {})
        put_entry(tmp_path / shop, "finding", "job-1", draft("finding", {**given, "technician": by, "fix": f"{by} mended it."}))
    theirs = packed(tmp_path / "two")

    def into_one() -> tuple[str, ...]:
        mine = standing([tmp_path / "one"])
        return absorb(tmp_path / "one", to_write(theirs, compare(theirs, mine), mine, lambda _: "both"), list)

    assert into_one() == ("findings/job-1-from-two.yaml",)
    assert into_one() == ()
    assert {finding.technician for finding in library_of(tmp_path / "one")[0].findings.values()} == {"RK", "AB"}


def test_theirs_over_the_reference_shelf_becomes_an_amendment(shops: tuple[Path, Path, Path]) -> None:
    """What another shop says of an entry that stands below is taken as an amendment, and reads."""
    reference, bridge, mill = shops
    put_entry(mill, "term", "idle", TERM.format(title="Idle", day=1, by="BL", meaning="Warm, no signal."))
    theirs = packed(mill)
    changed = take_in(theirs, reference, bridge, take="theirs")
    assert "terms/idle.yaml" in changed
    text = (bridge / "terms/idle.yaml").read_text("utf-8")
    assert text.startswith("amends: ") and text.endswith("set:\n  meaning: Warm, no signal.\nwhy: absorbed from Old mill\n")
    library, problems = library_of(reference, bridge)
    assert problems == []
    assert library.terms["idle"].meaning == "Warm, no signal."
    assert take_in(theirs, reference, bridge, take="theirs") == ()


def test_same_entries_make_the_same_bytes(shops: tuple[Path, Path, Path]) -> None:
    """Times, modes and the order of folders do not show; prices, people and other files stay at home."""
    reference, bridge, _ = shops
    (bridge / "notes.txt").write_text("private", "utf-8")
    (bridge / "terms/notes.txt~").write_text("private", "utf-8")
    library = library_of(reference, bridge)[0]
    first = bundle(bridge, library, version="1")
    for path in bridge.rglob("*.yaml"):
        path.chmod(0o600)
        os.utime(path, (1, 1))
    assert bundle(bridge, library, version="1") == first
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.namelist() == ["bundle.json", "terms/bias.yaml", "terms/own-rk.yaml"]
        about = json.loads(archive.read("bundle.json"))
    assert about["licence"] == "CC BY 4.0"
    assert "currency" not in json.dumps(about)


def test_chosen_entries_bring_what_they_need(shops: tuple[Path, Path, Path]) -> None:
    """A chosen entry takes along what it points at on the same shelf, and names what it leans on below."""
    reference, bridge, _ = shops
    put_entry(bridge, "term", "more", "title: More\nmeaning: see [it](term:own-rk)\n")
    theirs = packed(bridge, reference, chosen=[("term", "more")])
    assert [id for _, id in theirs.entries] == ["more", "own-rk"]
    with pytest.raises(NothingToPack, match="there is no term nothing"):
        bundle(bridge, library_of(reference, bridge)[0], [("term", "nothing")])


def test_undo_takes_back_the_last_absorbing(shops: tuple[Path, Path, Path]) -> None:
    """Every byte as before, and once; a file that was changed since is not touched."""
    reference, bridge, mill = shops
    before = {path: path.read_bytes() for path in bridge.rglob("*") if path.is_file()}
    theirs = packed(mill, reference)
    take_in(theirs, reference, bridge, take="theirs")
    assert undo(bridge) == ("terms/bias.yaml", "terms/own-ab.yaml")
    assert {path: path.read_bytes() for path in bridge.rglob("*") if path.is_file()} == before
    with pytest.raises(NotTaken, match="nothing to undo"):
        undo(bridge)

    take_in(theirs, reference, bridge, take="theirs")
    (bridge / "terms/bias.yaml").write_text("title: mine\nmeaning: now\n", "utf-8")
    with pytest.raises(NotTaken, match=r"terms/bias\.yaml changed since"):
        undo(bridge)
    assert (bridge / "terms/own-ab.yaml").is_file()


def test_unsound_bundle_is_taken_back_whole(shops: tuple[Path, Path, Path]) -> None:
    """When the checker finds anything wrong with the whole, nothing of it stays."""
    reference, bridge, mill = shops
    put_entry(mill, "term", "dangling", "title: Dangling\nmeaning: see [it](term:not-there)\n")
    theirs = packed(mill, reference)
    with pytest.raises(NotTaken) as given_up:
        take_in(theirs, reference, bridge, take="theirs")
    assert [problem.message for problem in given_up.value.problems] == ['there is no term "not-there"']
    assert set(terms(bridge)) == {"bias", "own-rk"}
    assert not (bridge / JOURNAL).exists()


def test_two_amendments_cannot_stand_side_by_side(shops: tuple[Path, Path, Path]) -> None:
    """Theirs or mine, but not both, and it is said so."""
    reference, bridge, mill = shops
    for shop in (bridge, mill):
        put_entry(shop, "term", "idle", f"amends: yes\nset: {{meaning: {shop.name}}}\nwhy: ours\n")
    theirs = packed(mill, reference)
    mine = standing([reference, bridge])
    (item,) = (item for item in compare(theirs, mine) if item.id == "idle")
    assert item.takes == ("mine", "theirs")
    with pytest.raises(NotTaken, match="cannot stand side by side"):
        to_write(theirs, [item], mine, lambda _: "both")
    assert "terms/idle.yaml" in take_in(theirs, reference, bridge, take="theirs")


# Accidents: as for the site, every file call fails, interrupts or is the last one.

CALLS = {"open", "os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "os.chmod"}


def in_a_child(work: Callable[[], object], strike: Callable[[], None], at: int, below: Path) -> int:
    """Do ``work`` in a forked child, striking at its file call number ``at``; 98 when it has fewer, else how it ended."""
    if (child := os.fork()) == 0:
        seen, status = 0, 99

        def hook(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal seen
            if event in CALLS and arguments and str(below) in str(arguments[0]):
                seen += 1
                if seen == at:
                    strike()

        try:
            sys.addaudithook(hook)
            work()
            status = 0 if seen >= at else 98
        except MachineRefused:
            status = 3
        except KeyboardInterrupt:
            status = 130
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def fail() -> None:
    raise OSError(28, "No space left on device", "somewhere")


def interrupt() -> None:
    raise KeyboardInterrupt


def kill() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.parametrize("strike", [fail, interrupt, kill])
def test_absorbing_is_all_or_nothing(shops: tuple[Path, Path, Path], strike: Callable[[], None]) -> None:
    """Whatever happens at whichever file call: the old shelf or the new one, at the latest after the next run."""
    _, bridge, _ = shops
    old = {"terms/bias.yaml": b"title: Bias\nmeaning: old\n"}
    (bridge / "terms/own-rk.yaml").unlink()
    new = {**old, "terms/bias.yaml": b"title: Bias\nmeaning: new\n", "terms/extra.yaml": b"title: Extra\nmeaning: new\n"}

    def shelf() -> dict[str, bytes]:
        return {path.relative_to(bridge).as_posix(): path.read_bytes() for path in bridge.glob("terms/*.yaml")}

    struck = 0
    for at in range(1, 300):
        absorb(bridge, old, list)
        (bridge / "terms/extra.yaml").unlink(missing_ok=True)
        (bridge / JOURNAL).unlink(missing_ok=True)
        status = in_a_child(lambda: absorb(bridge, new, list), strike, at, bridge)
        if status == 98:
            break
        struck += status != 0
        if strike is kill:
            absorb(bridge, {}, list)
        assert shelf() in (old, new), f"call {at}: {status}"
        if strike is not kill:
            assert not list(bridge.rglob(".*benchlore-[0-9]*")), f"call {at}: something is left lying"
    assert status == 98
    assert struck >= 8


# Strangers' files


def zipped(members: dict[str, bytes], mode: int = 0o100644, method: int = zipfile.ZIP_STORED) -> bytes:
    """A zip of a well-formed manifest and these members."""
    listed = [{"path": path, "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)} for path, data in members.items()]
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        archive.writestr("bundle.json", json.dumps({"benchlore_bundle": 1, "entries": listed}))
        for path, data in members.items():
            info = zipfile.ZipInfo(path)
            info.external_attr = mode << 16
            info.compress_type = method
            archive.writestr(info, data)
    return out.getvalue()


GOOD = b"title: A\nmeaning: b\n"

HOSTILE = {
    "a path upward": (zipped({"../terms/a.yaml": GOOD}), "no place for an entry"),
    "an absolute path": (zipped({"/terms/a.yaml": GOOD}), "no place for an entry"),
    "a backslash": (zipped({"terms\\a.yaml": GOOD}), "no place for an entry"),
    "a drive": (zipped({"c:terms/a.yaml": GOOD}), "no place for an entry"),
    "a deeper folder": (zipped({"terms/b/a.yaml": GOOD}), "no place for an entry"),
    "a folder of no kind": (zipped({"hooks/a.yaml": GOOD}), "no place for an entry"),
    "the shop's own page": (zipped({"shop.yaml": GOOD}), "no place for an entry"),
    "another kind of file": (zipped({"terms/a.sh": GOOD}), "no place for an entry"),
    "a reserved name": (zipped({"terms/con.yaml": GOOD}), "no place for an entry"),
    "capitals": (zipped({"terms/A.yaml": GOOD}), "no place for an entry"),
    "a link": (zipped({"terms/a.yaml": b"/etc/passwd"}, mode=0o120777), "not an ordinary file"),
    "a device": (zipped({"terms/a.yaml": GOOD}, mode=0o020666), "not an ordinary file"),
    "another packing": (zipped({"terms/a.yaml": GOOD}, method=zipfile.ZIP_BZIP2), "packed in a way"),
    "a bomb": (zipped({"terms/a.yaml": b"a" * (2 << 20)}, method=zipfile.ZIP_DEFLATED), "unpacks to more"),
    "an alias bomb": (zipped({"terms/a.yaml": b"a: &a [x]\nb: *a\n"}), "an anchor"),
    "a tag": (zipped({"terms/a.yaml": b"title: !!python/object:os.system x\n"}), "a tag"),
    "text that is no text": (zipped({"terms/a.yaml": b"title: \xff\n"}), "UTF-8"),
    "no bundle": (b"PK not really", "no bundle"),
    "nothing": (b"", "no bundle"),
}


@pytest.mark.parametrize(("data", "words"), HOSTILE.values(), ids=HOSTILE)
def test_hostile_bundles_are_refused_in_words(tmp_path: Path, data: bytes, words: str) -> None:
    """Path tricks, links, bombs and damage: one sentence, and nothing is unpacked anywhere."""
    file = tmp_path / "in.zip"
    file.write_bytes(data)
    with pytest.raises(Unfit, match=words):
        open_bundle(file)
    assert os.listdir(tmp_path) == ["in.zip"]


def test_every_damaged_byte_is_met(shops: tuple[Path, Path, Path]) -> None:
    """A bundle cut short anywhere, or with any byte changed, is refused or gives the very same entries."""
    reference, bridge, _ = shops
    good = bundle(bridge, library_of(reference, bridge)[0])
    file = bridge.parent / "in.zip"
    write_bundle(file, good)
    entries = {name: entry.data for name, entry in open_bundle(file).entries.items()}
    accepted = 0
    for position in range(0, len(good), 7):
        for data in (good[:position], good[:position] + bytes([good[position] ^ 0x41]) + good[position + 1 :]):
            file.write_bytes(data)
            try:
                found = {name: entry.data for name, entry in open_bundle(file).entries.items()}
            except Unfit:
                continue
            accepted += found != entries
    assert accepted == 0


def test_changed_added_and_missing_entries_are_met(tmp_path: Path) -> None:
    """What does not agree with the bundle's own list is refused by name."""
    data = zipped({"terms/a.yaml": GOOD, "terms/b.yaml": GOOD})
    file = tmp_path / "in.zip"
    for change, words in (("change", "not what was packed"), ("add", "not in its list"), ("drop", "missing")):
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
            for name in old.namelist():
                if not (change == "drop" and name == "terms/b.yaml"):
                    new.writestr(name, old.read(name) + (b"#" if change == "change" and name == "terms/b.yaml" else b""))
            if change == "add":
                new.writestr("terms/c.yaml", GOOD)
        file.write_bytes(out.getvalue())
        with pytest.raises(Unfit, match=words):
            open_bundle(file)


@pytest.mark.parametrize("name", ["entries", "by", "leans_on", "shelf", "date"])
@pytest.mark.parametrize(
    "odd",
    [None, 5, "x", {"a": 1}, [None, 5, [[]], {"kind": 1, "id": {}}], ["\x1b[31m"], [{"path": ["x"]}, {"path": "\x1b"}]],
)
def test_an_odd_manifest_is_refused_or_read_as_nothing(shops: tuple[Path, Path, Path], name: str, odd: object) -> None:
    """Whatever stands in the bundle's own account of itself: no accident, and no sign that a terminal would take for a command."""
    reference, bridge, _ = shops
    good = io.BytesIO(bundle(bridge, library_of(reference, bridge)[0]))
    out = io.BytesIO()
    with zipfile.ZipFile(good) as old, zipfile.ZipFile(out, "w") as new:
        for member in old.namelist():
            data = old.read(member)
            new.writestr(member, json.dumps({**json.loads(data), name: odd}) if member == "bundle.json" else data)
    file = bridge.parent / "in.zip"
    file.write_bytes(out.getvalue())
    try:
        opened = open_bundle(file)
    except Unfit as unfit:
        assert name == "entries" and "\x1b" not in str(unfit)
    else:
        assert "\x1b" not in repr((opened.shelf, opened.date, *opened.by)).replace("\\x1b", "\x1b")


def test_a_link_on_the_shelf_is_not_written_through(shops: tuple[Path, Path, Path], tmp_path: Path) -> None:
    """Nothing is written outside the shelf, whatever stands on it."""
    _, bridge, _ = shops
    outside = tmp_path / "outside"
    outside.mkdir()
    (bridge / "tubes/.gitkeep").unlink()
    (bridge / "tubes").rmdir()
    (bridge / "tubes").symlink_to(outside)
    with pytest.raises(MachineRefused, match="a link in the way"):
        absorb(bridge, {"tubes/a.yaml": GOOD}, list)
    assert os.listdir(outside) == []


def test_a_forged_note_cannot_reach_outside(shops: tuple[Path, Path, Path], tmp_path: Path) -> None:
    """The note for undoing is a file like any other: what it names outside the shelf is not touched."""
    _, bridge, _ = shops
    victim = tmp_path / "victim.yaml"
    victim.write_bytes(b"mine")
    step = {"path": "../victim.yaml", "before": None, "after": hashlib.sha256(b"mine").hexdigest()}
    (bridge / JOURNAL).write_text(json.dumps({"state": "done", "files": [step]}), "utf-8")
    with pytest.raises(NotTaken, match="nothing to undo"):
        undo(bridge)
    assert victim.read_bytes() == b"mine"


def test_an_amendment_says_what_it_does(tmp_path: Path) -> None:
    """Taking in an amendment changes what one's own book says of an entry; so it is never shown as merely new."""
    text = b"amends: yes\nwhy: dry here\nset: {meaning: other}\nadd: {synonyms: [grid wire]}\nretire: {synonyms: [g1]}\n"
    file = tmp_path / "in.zip"
    file.write_bytes(zipped({"terms/a.yaml": text, "terms/b.yaml": b"amends: yes\nretire: {entry: never met}\n", "terms/c.yaml": GOOD}))
    packed = open_bundle(file).entries
    assert amendment(packed["term", "a"]) == (
        'sets meaning: "other"',
        'adds to synonyms: "grid wire"',
        'takes out of synonyms: "g1"',
        'why: "dry here"',
    )
    assert amendment(packed["term", "b"]) == ('leaves the whole entry out: "never met"',)
    assert amendment(packed["term", "c"]) == ()


def test_items_say_what_may_be_chosen() -> None:
    """An item that is new or the same leaves nothing to choose."""
    assert Item("term", "a", "new").takes == ()
