"""``bundle``, ``absorb``, ``completion``, ``--help`` and ``--out`` as a technician meets them at the terminal.

Outside checks: bash, zsh and fish read their completion scripts where they are installed; a pseudo-terminal stands for a real one.
"""

from __future__ import annotations

import os
import pty
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from benchlore.cli.main import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
ENV = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "NO_COLOR": "1"}
TERM = "title: {title}\nmeaning: {meaning}\n"


def run(*words: str, cwd: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """``benchlore`` as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "benchlore", *words], cwd=cwd, env={**ENV, **more}, capture_output=True, text=True
    )


def in_a_terminal(*words: str, cwd: Path, answers: str = "", **more: str) -> str:
    """The same in a terminal; all that it showed."""
    mine, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "benchlore", *words],
        cwd=cwd,
        env={**ENV, **more},
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
    ):
        os.close(theirs)
        os.write(mine, answers.encode())
        heard = b""
        while True:
            try:
                part = os.read(mine, 4096)
            except OSError:
                break
            if not part:
                break
            heard += part
    os.close(mine)
    return heard.decode().replace("\r\n", "\n")


@pytest.fixture
def street(tmp_path: Path) -> Path:
    """Two shelves beside each other, with one term of the same id that says different things."""
    for shop, word in (("one", "warm"), ("two", "cold")):
        (tmp_path / shop / "terms").mkdir(parents=True)
        (tmp_path / shop / "faults").mkdir()
        (tmp_path / shop / "terms" / "idle.yaml").write_text(
            TERM.format(title="Idle", meaning=f"When {word}."), "utf-8"
        )
        (tmp_path / shop / "terms" / f"of-{shop}.yaml").write_text(
            TERM.format(title=f"Of {shop}", meaning="See [](term:idle)."), "utf-8"
        )
    return tmp_path


def said(street: Path, shop: str) -> dict[str, str]:
    """Every file of a shelf but the note for undoing."""
    return {p.name: p.read_text("utf-8") for p in sorted((street / shop).rglob("*.yaml"))}


def packed(street: Path, shop: str) -> Path:
    """A bundle of a shelf."""
    done = run("bundle", f"{shop}.zip", "--shelf", shop, cwd=street)
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"Packed 2 entries into {shop}.zip.\n"
    return street / f"{shop}.zip"


def test_absorbing_asks_in_a_terminal(street: Path) -> None:
    """Each entry that differs is asked about, then whether to write; no means nothing."""
    packed(street, "two")
    before = said(street, "one")
    shown = in_a_terminal("absorb", "two.zip", "--shelf", "one", cwd=street, answers="theirs\nn\n")
    assert "term idle: keep mine, take theirs, or keep both?" in shown
    assert "Write 2 files on your shelf one? [y/N]" in shown
    assert shown.endswith("Nothing was written.\n")
    assert said(street, "one") == before
    shown = in_a_terminal("absorb", "two.zip", "--shelf", "one", cwd=street, answers="neither\nboth\ny\n")
    assert "'neither' is not one of 'mine', 'theirs', 'both'" in shown
    after = said(street, "one")
    assert set(after) == {"idle.yaml", "idle-from-two.yaml", "of-one.yaml", "of-two.yaml"}
    assert after["idle.yaml"] == before["idle.yaml"]
    assert run("audit", "--shelf", "one", cwd=street).returncode == 0


def test_absorbing_elsewhere_is_told(street: Path) -> None:
    """Without a terminal: shown, and written only as ``--take`` says, for all or for one entry."""
    packed(street, "two")
    before = said(street, "one")
    done = run("absorb", "two.zip", "--shelf", "one", cwd=street)
    assert done.returncode == 0 and "Nothing was written." in done.stdout and said(street, "one") == before
    assert (
        'meaning: mine "When warm." (one/terms/idle.yaml:2:10); theirs "When cold." (two.zip/terms/idle.yaml:2:10)'
        in done.stdout
    )
    for words, sentence in (
        (("--take", "his"), "--take his: write mine, theirs or both"),
        (("--take", "idel=mine"), "--take idel=...: no entry of that id differs; did you mean idle?"),
        (("--undo",), "name a bundle, or say --undo alone"),
    ):
        done = run("absorb", "two.zip", "--shelf", "one", *words, cwd=street)
        assert done.returncode == 2 and sentence in done.stderr
    done = run("absorb", "two.zip", "--shelf", "one", "--take", "term/idle=theirs", cwd=street)
    assert done.returncode == 0 and "Wrote 2 files on your shelf one." in done.stdout
    assert "When cold." in said(street, "one")["idle.yaml"]
    again = run("absorb", "two.zip", "--shelf", "one", "--take", "theirs", cwd=street)
    assert again.stdout.endswith("0 new, 2 the same, 0 different.\nYou have all of it already. Nothing was written.\n")
    done = run("absorb", "--undo", "--shelf", "one", cwd=street)
    assert done.returncode == 0 and said(street, "one") == before
    assert run("absorb", "--undo", "--shelf", "one", cwd=street).returncode == 1


def test_what_is_lacking_is_named_before_anything_is_written(street: Path) -> None:
    """A bundle leans on an entry below that we do not have: it is said, the audit refuses the whole, nothing stays."""
    (street / "below" / "terms").mkdir(parents=True)
    (street / "below" / "terms" / "grid.yaml").write_text(TERM.format(title="Grid", meaning="A wire."), "utf-8")
    (street / "two" / "terms" / "of-two.yaml").write_text(
        TERM.format(title="Of two", meaning="See [](term:grid)."), "utf-8"
    )
    done = run("bundle", "two.zip", "--shelf", "below", "--shelf", "two", cwd=street)
    assert "It leans on 1 entry of the shelf below, which the other shop must have too." in done.stdout
    before = said(street, "one")
    done = run("absorb", "two.zip", "--shelf", "one", "--take", "mine", cwd=street)
    assert done.returncode == 1
    assert "To take it in, add --take theirs." in run("absorb", "two.zip", "--shelf", "below", cwd=street).stdout
    assert "It leans on what you do not have: term grid. Ask the other shop for these too." in done.stderr
    assert 'one/terms/of-two.yaml:2:10: error: meaning: there is no term "grid"' in done.stderr
    assert done.stderr.endswith("Nothing was taken in: with it, the entries would not be sound.\n")
    assert said(street, "one") == before


def test_another_version_below_is_told(street: Path) -> None:
    """What the bundle was written against reads otherwise here: it is said, and nothing is refused for it."""
    for town, word in (("theirs", "wire"), ("ours", "spiral of wire")):
        (street / town / "terms").mkdir(parents=True)
        (street / town / "terms" / "grid.yaml").write_text(TERM.format(title="Grid", meaning=f"A {word}."), "utf-8")
    (street / "two" / "terms" / "of-two.yaml").write_text(
        TERM.format(title="Of two", meaning="See [](term:grid)."), "utf-8"
    )
    run("bundle", "two.zip", "--shelf", "theirs", "--shelf", "two", cwd=street)
    done = run("absorb", "two.zip", "--shelf", "theirs", "--shelf", "one", "--take", "mine", cwd=street)
    assert (done.returncode, done.stderr) == (0, "")
    run("absorb", "--undo", "--shelf", "one", cwd=street)
    done = run("absorb", "two.zip", "--shelf", "ours", "--shelf", "one", "--take", "mine", cwd=street)
    assert done.returncode == 0
    assert (
        done.stderr == "It was written against another version of term grid: read what they say of these with care.\n"
    )


def test_bundle_chosen_entries_and_slips(street: Path) -> None:
    """``--only`` takes along what an entry needs; an id of two kinds is asked about; a stranger's file is not written over."""
    done = run("bundle", "some.zip", "--shelf", "one", "--only", "of-one", cwd=street)
    assert done.stdout == "Packed 2 entries into some.zip.\n"
    shutil.copy(street / "one/terms/idle.yaml", street / "one/terms/other.yaml")
    done = run("bundle", "some.zip", "--shelf", "one", cwd=street)
    assert done.returncode == 1 and "Nothing was packed: mend these first." in done.stderr
    (street / "one/terms/other.yaml").unlink()
    done = run("bundle", "some.zip", "--shelf", "one", "--only", "off-one", cwd=street)
    assert done.returncode == 2 and "did you mean of-one?" in done.stderr
    (street / "one" / "fasteners").mkdir()
    (street / "letter.txt").write_text("dear", "utf-8")
    done = run("bundle", "letter.txt", "--shelf", "one", cwd=street)
    assert done.returncode == 2 and "letter.txt is there already and is no bundle" in done.stderr
    assert (street / "letter.txt").read_text("utf-8") == "dear"


def test_a_damaged_bundle_is_one_sentence(street: Path) -> None:
    """Cut short, changed, or something else: exit 1 and nothing written."""
    whole = packed(street, "two").read_bytes()
    with zipfile.ZipFile(street / "other.zip", "w") as archive:
        archive.writestr("readme.txt", "no bundle")
    for name, data in (("cut.zip", whole[:-40]), ("changed.zip", whole.replace(b"cold", b"cool")), ("other.zip", None)):
        if data is not None:
            (street / name).write_bytes(data)
        done = run("absorb", name, "--shelf", "one", "--take", "theirs", cwd=street)
        assert done.returncode == 1
        assert len(done.stderr.splitlines()) == 1 and done.stderr.endswith("Nothing was written.\n"), done.stderr


@pytest.mark.parametrize("out", ["one", "one/site", "one/terms/x", ".", "one/../one", "two/../.."])
def test_site_and_shelf_never_lie_in_each_other(street: Path, out: str) -> None:
    """``--out`` on a shelf, in one, or round one: wrong use, and nothing is written."""
    done = run("build", "--shelf", "one", "--out", out, cwd=street)
    assert done.returncode == 2
    assert "lies on the shelf" in done.stderr or "holds the shelf" in done.stderr
    assert not list(street.rglob("*.html"))


def test_every_command_explains_itself(street: Path) -> None:
    """Each has a sentence, options, an example that begins with ``benchlore``, and its exit statuses; the list cuts nothing off."""
    listed = run("--help", cwd=street).stdout
    assert "..." not in re.sub(r"\[ARGS\]\.\.\.|ID\.\.\.", "", listed)
    for command in COMMANDS:
        told = run(command, "--help", cwd=street).stdout
        assert f"Usage: benchlore {command} " in told
        assert re.search(rf"Example: (benchlore {command}|eval)", told), command
        assert "Exit status: 0 done" in told
        assert command in listed


def test_version(street: Path) -> None:
    """The version of the package, and nothing else."""
    from benchlore import __version__

    assert run("--version", cwd=street).stdout == f"benchlore, version {__version__}\n"


def test_completion_of_commands_options_and_ids(street: Path) -> None:
    """What bash asks for when Tab is pressed."""

    def asked(words: str, number: int) -> list[str]:
        done = run(cwd=street, _BENCHLORE_COMPLETE="bash_complete", COMP_WORDS=words, COMP_CWORD=str(number))
        return [line.partition(",")[2] for line in done.stdout.splitlines()]

    assert "absorb" in asked("benchlore a", 1)
    assert "--take" in asked("benchlore absorb --t", 2)
    assert asked("benchlore bundle x.zip --shelf one --only of", 6) == ["of-one"]
    assert asked("benchlore draft fam", 2) == ["family"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_scripts_are_read_by_their_shells(street: Path, shell: str) -> None:
    """Outside check: the shell itself, where it is installed, finds no mistake in the script."""
    done = run("completion", shell, cwd=street)
    assert done.returncode == 0 and "_BENCHLORE_COMPLETE" in done.stdout
    if (found := shutil.which(shell)) is not None:
        (street / "script").write_text(done.stdout, "utf-8")
        assert subprocess.run([found, "-n", street / "script"], capture_output=True).returncode == 0


def test_a_bar_only_where_somebody_looks(tmp_path: Path) -> None:
    """Work over a moment shows how far it is in a terminal, is gone afterwards, and is silent when piped, quiet, or the terminal dumb."""
    program = (
        "import sys, time\nfrom benchlore.cli.waiting import waiting\n"
        "with waiting('Reading the shelf', 'quiet' in sys.argv, {'half': 1, 'rest': 1}) as meter:\n"
        "    time.sleep(1)\n    meter.begin('half', 4)\n    meter.step(2)\n    time.sleep(0.6)\n"
        "    meter.begin('rest', 2)\n    meter.step()\n    time.sleep(0.6)\nprint('done')\n"
    )

    def shown(*words: str, **more: str) -> str:
        mine, theirs = pty.openpty()
        with subprocess.Popen(
            [sys.executable, "-c", program, *words],
            env={**ENV, "TERM": "xterm", "COLUMNS": "100", **more},
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
        ):
            os.close(theirs)
            heard = b""
            try:
                while part := os.read(mine, 4096):
                    heard += part
            except OSError:
                pass
        os.close(mine)
        return heard.decode().replace("\r\n", "\n")

    lively = shown()
    assert lively.endswith("done\n")
    steps = ("Reading the shelf", "Reading the shelf: half", "25%", "Reading the shelf: rest", "75%")
    at = [lively.find(step) for step in steps]
    assert -1 not in at and at == sorted(at), lively
    assert not re.search(r"\x1b\[(3[0-7]|9[0-7]|38)", lively), "NO_COLOR"
    assert shown("quiet") == "done\n"
    assert shown(TERM="dumb") == "done\n"
    done = subprocess.run([sys.executable, "-c", program], env=ENV, capture_output=True, text=True)
    assert (done.stdout, done.stderr) == ("done\n", "")
