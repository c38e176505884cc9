"""The site on disk is always a whole one, the old or the new, and nothing of anybody else's is lost.

There is no outside reference for this but the system itself: every file call is made to fail, every one is made the
last before a kill, and the disk is looked at afterwards.
"""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore import publishing, writing
from benchlore.publishing import MANIFEST, publish
from benchlore.writing import MachineRefused, locked, replace_file

OLD = {"index.html": b"old", "faults/hum.html": b"same", "faults/gone.html": b"gone", "css/page.css": b"old css"}
NEW = {"index.html": b"new", "faults/hum.html": b"same", "tubes/el84.html": b"tube", "css/page.css": b"new css"}
README = b"kept by hand"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks and kills")


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but the manifest, with its content."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != MANIFEST
    }


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A site of the old pages with a file of the user's own in it."""
    site = tmp_path / "shop" / "site"
    publish(OLD, site)
    site.joinpath("README.md").write_bytes(README)
    return site


@pytest.fixture(params=["exchange", "two renames"])
def either_way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """With the system's exchange of folders, and without it."""
    if request.param == "two renames":
        monkeypatch.setattr(writing, "_library", lambda: None)
    return str(request.param)


def whole(out: Path) -> bool:
    """Is the site entirely the old or entirely the new one, with the user's file?"""
    return tree(out) in ({**OLD, "README.md": README}, {**NEW, "README.md": README})


def test_new_pages_replace_old_ones_and_strangers_stay(out: Path) -> None:
    """Pages are replaced, stale ones removed, and the user's own files, folders and links stay as they are."""
    out.joinpath("notes").mkdir()
    out.joinpath("notes", "today.txt").write_bytes(b"mine")
    out.joinpath("notes", "empty").mkdir()
    out.joinpath("faults", "my-scan.pdf").write_bytes(b"pdf")
    out.joinpath("elsewhere").symlink_to("/nowhere")
    before = out.joinpath("README.md").stat()

    did = publish(NEW, out)

    assert (did.pages, did.written, did.removed, did.changed) == (4, 3, 1, True)
    mine = {"README.md": README, "notes/today.txt": b"mine", "faults/my-scan.pdf": b"pdf"}
    assert tree(out) == {**NEW, **mine}
    assert out.joinpath("notes", "empty").is_dir()
    assert os.readlink(out / "elsewhere") == "/nowhere"
    assert out.joinpath("README.md").stat().st_mtime_ns == before.st_mtime_ns
    assert os.listdir(out.parent) == ["site"], "nothing is left lying beside"


def test_same_site_is_left_untouched(out: Path) -> None:
    """A second run with the same pages touches no file and no folder, not even one that cannot be written."""
    before = {path: path.stat() for path in [out, *out.rglob("*")]}
    did = publish(OLD, out)
    assert (did.written, did.removed, did.changed) == (0, 0, False)
    assert {path: path.stat() for path in [out, *out.rglob("*")]} == before


def test_page_changed_by_hand_is_put_right(out: Path) -> None:
    """What was edited in a built page gives way; the page is the builder's."""
    out.joinpath("index.html").write_bytes(b"scribble")
    assert publish(OLD, out).written == 1
    assert tree(out) == {**OLD, "README.md": README}


def test_modes_and_bytes_do_not_depend_on_the_umask(tmp_path: Path) -> None:
    """Files are 644 and folders 755 whatever the umask, so that a copy made on any machine is the same."""
    for name, mask in (("a", 0o077), ("b", 0o000)):
        before = os.umask(mask)
        try:
            publish(NEW, tmp_path / name)
        finally:
            os.umask(before)
    for path in tmp_path.glob("*/**/*"):
        assert path.stat().st_mode & 0o777 == (0o755 if path.is_dir() else 0o644)
    assert (tmp_path / "a" / MANIFEST).read_bytes() == (tmp_path / "b" / MANIFEST).read_bytes()


def test_mode_of_the_folder_itself_is_kept(out: Path) -> None:
    """A site shared with a group stays shared."""
    out.chmod(0o2775)
    publish(NEW, out)
    assert out.stat().st_mode & 0o7777 == 0o2775


@pytest.mark.parametrize("name", ["index.html", "tubes", "tubes/el84.html/note.txt", "INDEX.html"])
def test_stranger_where_a_page_must_go_is_refused(tmp_path: Path, name: str) -> None:
    """A file that the builder did not make is never written over, in any spelling of its name."""
    out = tmp_path / "site"
    out.joinpath(name).parent.mkdir(parents=True)
    out.joinpath(name).write_bytes(b"mine")
    with pytest.raises(MachineRefused, match="move it away"):
        publish(NEW, out)
    assert tree(out) == {name: b"mine"}
    assert os.listdir(tmp_path) == ["site"]


def test_lost_list_is_made_again(out: Path) -> None:
    """Where the list of own files was lost, equal files are taken as own, and only those."""
    out.joinpath(MANIFEST).unlink()
    assert publish(OLD, out).changed
    assert publish(OLD, out).changed is False
    assert tree(out) == {**OLD, "README.md": README}


def test_list_names_nothing_outside(out: Path, tmp_path: Path) -> None:
    """A list that was tampered with cannot make the builder remove a file elsewhere."""
    victim = tmp_path / "victim.txt"
    victim.write_bytes(b"mine")
    with out.joinpath(MANIFEST).open("ab") as manifest:
        manifest.write(b"0" * 64 + b"  ../../victim.txt\n" + b"0" * 64 + b"  " + bytes(victim) + b"\n")
    publish(NEW, out)
    assert victim.read_bytes() == b"mine"


@pytest.mark.parametrize("name", ["index.html", "faults", "css", MANIFEST])
def test_link_in_the_site_is_not_followed(out: Path, tmp_path: Path, name: str) -> None:
    """A link where a page or its folder must go is refused, and what it leads to is left alone."""
    outside = tmp_path / "outside"
    shutil.move(out / name, outside)
    out.joinpath(name).symlink_to(outside)
    before = tree(outside) if outside.is_dir() else outside.read_bytes()
    with pytest.raises(MachineRefused, match="is a link"):
        publish(NEW, out)
    assert (tree(outside) if outside.is_dir() else outside.read_bytes()) == before
    assert out.joinpath("README.md").read_bytes() == README


def test_output_that_is_a_link_or_a_file_is_refused(out: Path, tmp_path: Path) -> None:
    """The output is named as itself, and is a folder."""
    link = tmp_path / "link"
    link.symlink_to(out)
    with pytest.raises(MachineRefused, match="is a link"):
        publish(NEW, link)
    file = tmp_path / "file"
    file.write_bytes(b"mine")
    with pytest.raises(MachineRefused, match="in the way"):
        publish(NEW, file)
    assert file.read_bytes() == b"mine"
    assert whole(out)


@given(st.text(alphabet=st.sampled_from("ab./\\:~\0 \né-"), max_size=12))
def test_no_path_of_a_page_leaves_the_site(path: str) -> None:
    """A path is small and safe on every system, or it is a slip of the program's."""
    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder) / "site"
        try:
            publish({path: b""}, site)
        except ValueError:
            assert os.listdir(folder) == []
        else:
            assert set(path) <= set("ab./-") and ".." not in path and not path.startswith("/")
            assert tree(site) == {path: b""}


@pytest.mark.parametrize("paths", [("a.html", "A.html"), ("a", "a/b.html"), ("A", "a/b.html")])
def test_paths_that_clash_on_some_system_are_refused(tmp_path: Path, paths: tuple[str, str]) -> None:
    """Two names that one file system takes for one cannot both be pages."""
    with pytest.raises(ValueError, match="page"):
        publish(dict.fromkeys(paths, b""), tmp_path / "site")


# Accidents. A child process is forked in which the n-th file call is made to go wrong; the parent looks at the disk.

CALLS = {"open", "os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "os.chmod", "os.scandir", "os.symlink"}
FINISHED, REFUSED, INTERRUPTED, UNTOUCHED, ODD = 0, 3, 130, 98, 99


Prepare = Callable[[], Callable[[], bool]]


def at_call(n: int, strike: Callable[[], None], root: Path) -> Prepare:
    """An audit hook that strikes at the n-th file call below ``root``; a run with fewer calls ends ``UNTOUCHED``."""
    seen = 0

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        nonlocal seen
        if event in CALLS and arguments and str(root) in str(arguments[0]):
            seen += 1
            if seen == n:
                strike()

    def prepare() -> Callable[[], bool]:
        sys.addaudithook(hook)
        return lambda: seen >= n

    return prepare


def publish_in_a_child(pages: dict[str, bytes], out: Path, prepare: Prepare) -> int:
    """Publish in a forked child and return its exit status (or minus the signal that ended it)."""
    child = os.fork()
    if child == 0:
        status = ODD
        try:
            struck = prepare()
            publish(pages, out)
            status = FINISHED if struck() else UNTOUCHED
        except MachineRefused as error:
            status = REFUSED if str(error).endswith(".") and "\n" not in str(error) else ODD
        except KeyboardInterrupt:
            status = INTERRUPTED
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def every_call(out: Path, strike: Callable[[], None]) -> Iterator[int]:
    """Strike at the first call, the second, and so on; yields each exit status until there are no more calls."""
    for n in range(1, 400):
        status = publish_in_a_child(NEW, out, at_call(n, strike, out.parent))
        if status == UNTOUCHED:
            return
        yield status
        publish(OLD, out)
    raise AssertionError("the run never ends")


def fail() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), "somewhere")


def interrupt() -> None:
    raise KeyboardInterrupt


def kill() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def test_every_failing_file_call_leaves_a_whole_site(out: Path, either_way: str) -> None:
    """Whichever file call fails: one sentence, the old or the new site whole, nothing left lying."""
    refused = 0
    for status in every_call(out, fail):
        assert status in (FINISHED, REFUSED)
        assert whole(out)
        assert os.listdir(out.parent) == ["site"]
        refused += status == REFUSED
    assert refused > 10, "the calls were in fact struck"


def test_every_interrupt_leaves_a_whole_site(out: Path, either_way: str) -> None:
    """Ctrl-C at any file call: the old or the new site whole; what could lie beside is gone after the next run."""
    interrupted = 0
    for status in every_call(out, interrupt):
        assert status in (FINISHED, INTERRUPTED)
        if not out.exists():  # between two renames: the next start mends it
            assert either_way == "two renames"
            publish(OLD, out)
        assert whole(out)
        interrupted += status == INTERRUPTED
    assert interrupted > 10
    assert os.listdir(out.parent) == ["site"]


def test_every_kill_leaves_a_whole_site(out: Path, either_way: str) -> None:
    """Killed at any file call: the old or the new site, and the next run finds every file of the user's again."""
    killed = 0
    for status in every_call(out, kill):
        assert status in (FINISHED, -signal.SIGKILL)
        if out.exists():
            assert tree(out) in ({**OLD, "README.md": README}, {**NEW, "README.md": README})
        else:
            assert either_way == "two renames"
        publish(OLD, out)
        assert tree(out) == {**OLD, "README.md": README}
        assert os.listdir(out.parent) == ["site"]
        killed += status == -signal.SIGKILL
    assert killed > 10


def test_kill_at_any_time_leaves_a_whole_site(tmp_path: Path) -> None:
    """The same by the clock: twenty kills of a process that publishes without pause."""
    out = tmp_path / "site"
    big = [{f"p{i}.html": bytes([65 + k]) * 5000 for i in range(60)} for k in range(2)]
    publish(big[0], out)
    for moment in range(20):
        child = os.fork()
        if child == 0:
            while True:
                publish(big[1], out)
                publish(big[0], out)
        time.sleep(0.004 + 0.0037 * moment)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert tree(out) in big
    publish(big[0], out)
    assert os.listdir(tmp_path) == ["site"]


def test_file_that_arrives_at_the_last_moment_is_kept(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the user saves into the old site while the new one is written moves over, under another name if need be."""
    swap = publishing._Place.swap

    def late(place: publishing._Place) -> None:
        out.joinpath("late.txt").write_bytes(b"late")
        replace_file(out / "README.md", b"edited")
        swap(place)

    monkeypatch.setattr(publishing._Place, "swap", late)
    publish(NEW, out)
    assert tree(out) == {**NEW, "README.md": README, "README.md.kept": b"edited", "late.txt": b"late"}


def test_two_builders_take_turns(out: Path) -> None:
    """Two builders at once: each site is whole, and both end well."""
    children = []
    for pages in (OLD, NEW):
        if (child := os.fork()) == 0:
            status = ODD
            try:
                for _ in range(15):
                    publish(pages, out)
                    publish({**pages, "extra.html": b"x"}, out)
                status = FINISHED
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0]
    assert {key: value for key, value in tree(out).items() if key != "extra.html"} in (
        {**OLD, "README.md": README}, {**NEW, "README.md": README},
    )  # fmt: skip
    assert os.listdir(out.parent) == ["site"]


def test_dead_holder_blocks_nobody_and_a_live_one_is_told_of(out: Path) -> None:
    """The lock of a killed builder is free at once; a living one's is waited for, and then said."""
    ready, told = os.pipe()
    if (child := os.fork()) == 0:
        with locked(out.parent):
            os.write(told, b".")
            time.sleep(60)
    os.read(ready, 1)
    with pytest.raises(MachineRefused, match="Another builder"), locked(out.parent, seconds=0.1):
        pass
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    start = time.monotonic()
    publish(NEW, out)
    assert time.monotonic() - start < 5


def as_nobody() -> Callable[[], bool]:
    """Root may write anywhere, so the test lets go of that."""
    if os.geteuid() == 0:
        os.setgid(65534)
        os.setuid(65534)
    return lambda: True


@pytest.mark.parametrize("read_only", ["site", "."])
def test_read_only_folder_is_refused_and_kept(read_only: str) -> None:
    """A folder that may not be written: refused in one sentence, the old site as it was; the same site is no trouble."""
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        publish(OLD, shop / "site")
        shop.joinpath("site", "README.md").write_bytes(README)
        if os.geteuid() == 0:
            for path in [Path(folder), shop, *shop.rglob("*")]:
                os.chown(path, 65534, 65534)
        Path(folder).chmod(0o755)
        shop.joinpath(read_only).chmod(0o555)
        assert publish_in_a_child(NEW, shop / "site", as_nobody) == REFUSED
        assert publish_in_a_child(OLD, shop / "site", as_nobody) == FINISHED
        assert whole(shop / "site")
        assert os.listdir(shop) == ["site"]
        shop.joinpath(read_only).chmod(0o755)


def test_full_disk_is_refused_and_the_old_site_kept(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk fills up in the middle of a file, or only when it is flushed."""

    def half(handle: int, content: bytes) -> int:
        fail()
        return 0

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", half)
        with pytest.raises(MachineRefused, match=r"disk is full.*\.$"):
            publish(NEW, out)
    with monkeypatch.context() as patch:
        patch.setattr(publishing, "flush_tree", lambda folder: fail())
        with pytest.raises(MachineRefused, match="disk is full"):
            publish(NEW, out)
    assert tree(out) == {**OLD, "README.md": README}
    assert os.listdir(out.parent) == ["site"]


def test_disk_that_is_really_full(tmp_path: Path) -> None:
    """The same on a small file system of its own, where this user may mount one."""
    command = ["mount", "-t", "tmpfs", "-o", "size=128k", "tmpfs", tmp_path]
    if shutil.which("mount") is None or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("may not mount a file system here")
    try:
        out = tmp_path / "site"
        publish(OLD, out)
        out.joinpath("README.md").write_bytes(README)
        with pytest.raises(MachineRefused, match="disk is full"):
            publish({**NEW, "big.html": b"x" * 1_000_000}, out)
        assert tree(out) == {**OLD, "README.md": README}
        assert os.listdir(tmp_path) == ["site"]
    finally:
        subprocess.run(["umount", tmp_path], check=True)


def test_root_of_a_drive_is_refused() -> None:
    """A drive's root cannot be exchanged for another folder."""
    with pytest.raises(MachineRefused, match="root of a drive"):
        publish(NEW, Path("/"))


def test_one_file_is_replaced_whole_and_never_through_a_link(tmp_path: Path) -> None:
    """``replace_file`` keeps the mode, leaves the old file when the disk refuses, and refuses a link."""
    file = tmp_path / "entry.yaml"
    replace_file(file, b"one")
    file.chmod(0o600)
    replace_file(file, b"two")
    assert (file.read_bytes(), file.stat().st_mode & 0o777) == (b"two", 0o600)
    link = tmp_path / "link.yaml"
    link.symlink_to(file)
    with pytest.raises(MachineRefused, match="not an ordinary file"):
        replace_file(link, b"three")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "replace", lambda *_: fail())
        with pytest.raises(OSError, match="No space"):
            replace_file(file, b"three")
    assert (file.read_bytes(), sorted(os.listdir(tmp_path))) == (b"two", ["entry.yaml", "link.yaml"])
