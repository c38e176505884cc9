"""The two commands of the README make everything from what a fresh clone holds, and say in one sentence what stops them.

No outside reference but pip, venv and the system: each test runs the real ``python3 builder`` on a small copy of the
repository whose locks name one package that the test makes itself, so that no network is needed.
"""

from __future__ import annotations

import ast
import base64
import hashlib
import os
import re
import shutil
import signal
import subprocess
import sys
import tarfile
import time
import tomllib
import zipfile
from pathlib import Path

import pytest

import setting_up

ROOT = Path(__file__).resolve().parent.parent
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PROGRAM = 'import sys, os, needed; print("handed over", *sys.argv[1:]); sys.exit(int(os.environ.get("STATUS", "0")))'

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals and mounts")


def small_wheel(folder: Path, name: str) -> str:
    """Make a wheel with one empty module and return its line of a lock."""
    files = {f"{name}.py": "", f"{name}-1.dist-info/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: 1\n"}
    files[f"{name}-1.dist-info/WHEEL"] = "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    record = f"{name}-1.dist-info/RECORD"
    lines = [
        f"{path},sha256={base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b'=').decode()},"
        for path, text in files.items()
    ]
    wheel = folder / f"{name}-1-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for path, text in [*files.items(), (record, "\n".join([*lines, f"{record},,"]))]:
            archive.writestr(path, text)
    return f"{name} @ {wheel.as_uri()} --hash=sha256:{hashlib.sha256(wheel.read_bytes()).hexdigest()}\n"


def small_clone(folder: Path) -> Path:
    """A repository of the real set-up, a program that says what it was given, and locks of one and two packages."""
    for part in ("builder/benchlore", "requirements", "kb/reference", "kb/workshop", "site", "tests"):
        (folder / part).mkdir(parents=True)
    for name in ("__main__.py", "setting_up.py"):
        shutil.copy(ROOT / "builder" / name, folder / "builder")
    (folder / "builder/benchlore/__main__.py").write_text(PROGRAM, "utf-8")
    needed, pytest_line = small_wheel(folder, "needed"), small_wheel(folder, "pytest")
    (folder / "requirements/runtime.txt").write_text(needed, "utf-8")
    (folder / "requirements/test.txt").write_text(needed + pytest_line, "utf-8")
    return folder


def set_up(clone: Path, *words: str, cwd: Path | None = None, **extra: str) -> subprocess.CompletedProcess[str]:
    """Run ``python3 builder`` without this machine's own pip settings and without any index that answers."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
    environment |= {"PIP_CONFIG_FILE": os.devnull, "PIP_INDEX_URL": "http://127.0.0.1:9/simple", "TMPDIR": str(clone)}
    return subprocess.run(
        [sys.executable, str(clone / "builder"), *words],
        cwd=cwd or clone.parent,
        env=environment | extra,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def refused(said: subprocess.CompletedProcess[str], words: str) -> None:
    """Exit 3 and one plain sentence on standard error, no traceback."""
    assert said.returncode == 3, said.stderr
    assert said.stderr.count("\n") == 1 and said.stderr.endswith(".\n"), said.stderr
    assert re.search(words, said.stderr), said.stderr


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small clone, set up once for all tests, in a folder with spaces, a quote and letters beyond ASCII."""
    clone = small_clone(tmp_path_factory.mktemp("Zoë's amp shop (2)"))
    said = set_up(clone, cwd=Path("/"))
    assert said.returncode == 0, said.stderr
    assert "Set up in" in said.stdout
    return clone


def test_hands_over_to_the_builder_from_any_folder(clone: Path, tmp_path: Path) -> None:
    """Both shelves and the output are named in full, or shortly when one stands in the repository."""
    said = set_up(clone, cwd=tmp_path)
    root = clone.resolve()
    whole = f"handed over build --shelf {root}/kb/reference --shelf {root}/kb/workshop --out {root}/site\n"
    assert said.stdout == whole
    assert set_up(clone, cwd=clone).stdout == (
        "handed over build --shelf kb/reference --shelf kb/workshop --out site\n"
    )


def test_second_run_sets_nothing_up(clone: Path) -> None:
    """What is there is left alone: nothing is installed, and no file of the environment changes."""
    before = {path: path.stat().st_mtime_ns for path in (clone / ".venv").rglob("*") if "__pycache__" not in path.parts}
    assert "Setting up" not in set_up(clone).stdout
    after = {path: path.stat().st_mtime_ns for path in (clone / ".venv").rglob("*") if "__pycache__" not in path.parts}
    assert after == before


def test_status_of_the_builder_is_handed_back(clone: Path) -> None:
    """Problems in the entries are 1, and stay 1."""
    assert set_up(clone, STATUS="1").returncode == 1


def test_command_in_the_environment_works(clone: Path, tmp_path: Path) -> None:
    """``.venv/bin/benchlore`` runs the source beside it, and a module of the same name where one stands does no harm."""
    (tmp_path / "needed.py").write_text("raise SystemExit(9)", "utf-8")
    said = subprocess.run(
        [clone / ".venv/bin/benchlore", "find", "a b"],
        cwd=tmp_path,
        env={name: value for name, value in os.environ.items() if not name.startswith("PYTHON")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert said.stdout == "handed over find a b\n"


def test_moved_repository_still_works(clone: Path, tmp_path: Path) -> None:
    """A repository that was moved, or lies on a stick under another name, needs no new set-up."""
    moved = tmp_path / "moved"
    shutil.copytree(clone, moved, symlinks=True)
    said = set_up(moved)
    assert "Setting up" not in said.stdout
    assert f"--out {moved}/site" in said.stdout


def test_wrong_use_is_two_and_help_is_nought(clone: Path) -> None:
    """An unknown word is wrong use."""
    assert set_up(clone, "tset").returncode == 2
    assert set_up(clone, "--help").returncode == 0


def test_tests_get_their_own_lock_and_the_browser(tmp_path: Path) -> None:
    """``test`` adds what tests need; where it cannot be had, the builder still works as before."""
    clone = small_clone(tmp_path / "clone")
    assert set_up(clone).returncode == 0
    lock = clone / "requirements/test.txt"
    good = lock.read_text("utf-8")
    lock.write_text(good + f"far-away==1 --hash=sha256:{'0' * 64}\n", "utf-8")
    refused(set_up(clone, "test"), "the package index cannot be reached; connect this machine")
    assert set_up(clone).stdout.startswith("handed over build")

    lock.write_text(good, "utf-8")
    said = set_up(clone, "test", "-q", BENCHLORE_CHROMIUM="/bin/true")
    assert (said.returncode, "Set up in" in said.stdout) == (0, True), said.stderr
    assert set_up(clone).stdout.startswith("handed over build"), "the larger lock holds the smaller"


def test_changed_lock_is_installed_and_a_changed_digest_is_refused(tmp_path: Path) -> None:
    """A new lock is followed at the next run; a package that is not the one named is refused and nothing installed."""
    clone = small_clone(tmp_path / "clone")
    assert set_up(clone).returncode == 0
    lock = clone / "requirements/runtime.txt"
    good = lock.read_text("utf-8")
    lock.write_text(good + small_wheel(clone, "another"), "utf-8")
    assert "Set up in" in set_up(clone).stdout
    assert next(clone.glob(".venv/lib/*/site-packages/another.py"))
    lock.write_text(good + small_wheel(clone, "third").replace("sha256:", "sha256:0")[:-2] + "\n", "utf-8")
    refused(set_up(clone), "a package is not the one that the lock names")
    lock.write_text(good, "utf-8")
    assert set_up(clone).returncode == 0


def test_no_network_is_said_plainly(tmp_path: Path) -> None:
    """No index answers: one sentence; and the next run goes on where this one stopped."""
    clone = small_clone(tmp_path / "clone")
    lock = clone / "requirements/runtime.txt"
    good = lock.read_text("utf-8")
    lock.write_text(f"far-away==1 --hash=sha256:{'0' * 64}\n", "utf-8")
    refused(set_up(clone), "the package index cannot be reached; connect this machine")
    lock.write_text(good, "utf-8")
    assert set_up(clone).returncode == 0


def test_interrupted_set_up_recovers(tmp_path: Path) -> None:
    """Killed or interrupted at any time, the next run makes it whole; Ctrl-C is 130 and no traceback."""
    clone = small_clone(tmp_path / "clone")
    for seconds, how in ((0.1, signal.SIGKILL), (0.6, signal.SIGKILL), (1.6, signal.SIGKILL), (0.8, signal.SIGINT)):
        run = subprocess.Popen(
            [sys.executable, clone / "builder"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        time.sleep(seconds)
        os.killpg(run.pid, how)
        _, said = run.communicate(timeout=30)
        if how == signal.SIGINT and run.returncode != 0:
            assert run.returncode == 130
            assert said == "Interrupted; run it again to go on.\n"
    assert set_up(clone).returncode == 0


def test_environment_of_another_is_left_alone(tmp_path: Path) -> None:
    """A ``.venv`` that this program did not make is not cleared."""
    clone = small_clone(tmp_path / "clone")
    (clone / ".venv").mkdir()
    (clone / ".venv/mine.txt").write_text("mine", "utf-8")
    refused(set_up(clone), "was made by something else; rename it")
    assert (clone / ".venv/mine.txt").read_text("utf-8") == "mine"


def test_another_python_makes_it_anew(tmp_path: Path) -> None:
    """An environment of another Python is made again."""
    clone = small_clone(tmp_path / "clone")
    assert set_up(clone).returncode == 0
    stamp = clone / ".venv/benchlore-stamp"
    stamp.write_text(stamp.read_text("utf-8").replace(sys.version.split()[0], "3.11.0a1", 1), "utf-8")
    leftover = clone / ".venv/leftover"
    leftover.touch()
    assert "Set up in" in set_up(clone).stdout
    assert not leftover.exists()


def pretend(clone: Path, preparation: str) -> subprocess.CompletedProcess[str]:
    """Run the builder's folder after ``preparation`` has changed what Python says of itself."""
    program = f"import sys, runpy; {preparation}; sys.argv = ['builder']; runpy.run_path('builder', run_name='__main__')"
    return subprocess.run([sys.executable, "-c", program], cwd=clone, capture_output=True, text=True, check=False)


def test_old_python_is_told_so(clone: Path) -> None:
    """The first file is read by Pythons of ten years ago, and says what is needed before anything newer is imported."""
    ast.parse((ROOT / "builder/__main__.py").read_text("utf-8"), feature_version=(3, 4))
    refused(pretend(clone, "sys.version_info = (3, 8, 10)"), r"needs Python 3\.11 or newer and this is 3\.8")


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_missing_venv_module_is_said_plainly(tmp_path: Path, module: str) -> None:
    """Debian ships Python without these; the sentence names the package."""
    clone = small_clone(tmp_path / "clone")
    refused(pretend(clone, f"sys.modules[{module!r}] = None"), f"no {module} module; install it .*apt install python3-venv")
    assert not (clone / ".venv").exists()


def test_read_only_folder_is_said_plainly(tmp_path: Path) -> None:
    """A clone on a read-only disk: one sentence, exit 3."""
    if os.geteuid() == 0:
        if subprocess.run(["mount", "-t", "tmpfs", "tmpfs", tmp_path], capture_output=True, check=False).returncode:
            pytest.skip("may not mount a file system here")
        try:
            clone = small_clone(tmp_path / "clone")
            subprocess.run(["mount", "-o", "remount,ro", tmp_path], check=True)
            refused(set_up(clone), "cannot be written .*copy it to a folder of your own")
        finally:
            subprocess.run(["umount", tmp_path], check=True)
    else:
        clone = small_clone(tmp_path / "clone")
        clone.chmod(0o555)
        refused(set_up(clone), "cannot be written .*copy it to a folder of your own")
        clone.chmod(0o755)


def test_browser_is_found_or_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    """On the path first, then Debian's package for root, then playwright's own, and else a plain refusal."""
    ran: list[list[str]] = []
    works = True

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        ran.append(command[1:])
        return subprocess.CompletedProcess(command, 0 if works else 1)

    monkeypatch.setattr(setting_up.subprocess, "run", run)
    monkeypatch.setattr(setting_up.os, "geteuid", lambda: 0)
    monkeypatch.setattr(setting_up.shutil, "which", lambda name: "/b/chrome" if name == "chrome" else None)
    assert setting_up.find_browser() == "/b/chrome"
    assert not ran

    have = {"apt-get": "/b/apt-get"}
    monkeypatch.setattr(setting_up.shutil, "which", lambda name: "/b/chromium" if len(ran) > 1 else have.get(name))
    assert setting_up.find_browser() == "/b/chromium"
    assert [words[0] for words in ran] == ["update", "install"]

    monkeypatch.setattr(setting_up.shutil, "which", lambda name: None)
    assert setting_up.find_browser() is None
    assert ran[-1] == ["-m", "playwright", "install", "chromium"]
    works = False
    with pytest.raises(setting_up.Refused, match="no Chromium"):
        setting_up.find_browser()


def test_windows_gets_its_own_command_and_paths(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On Windows the environment's programs lie in Scripts, and the command is a batch file that finds them beside itself."""
    scripts = tmp_path / "Über uns" / "Scripts"
    scripts.mkdir(parents=True)
    library = tmp_path / "Lib" / "site-packages"
    library.mkdir(parents=True)
    monkeypatch.setattr(setting_up, "WINDOWS", True)
    monkeypatch.setattr(setting_up, "BIN", scripts)
    monkeypatch.setattr(setting_up.sysconfig, "get_path", lambda *_: str(library))
    setting_up.install_package()
    assert scripts.joinpath("benchlore.cmd").read_bytes().startswith(b'@"%~dp0python.exe" -P -m benchlore %*')
    text = Path(setting_up.__file__).read_text("utf-8")
    assert '"Scripts" if WINDOWS else "bin"' in text and '"python.exe" if WINDOWS else "python"' in text


# What the repository ships


def locked(name: str) -> dict[str, str]:
    """Package to version in a lock, having checked that each has a digest and that no place of one machine is named."""
    text = (ROOT / f"requirements/{name}.txt").read_text("utf-8")
    assert not re.search(r"^\s*-(?!-hash)|://|^-e|\bfile:", text, re.MULTILINE), "names an index or a path"
    blocks = re.findall(r"^([a-z0-9._-]+)==(\S+)((?:.*\\\n)(?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+)", text, re.M)
    assert len(blocks) == len(re.findall(r"^[a-z]", text, re.M))
    return {package: version for package, version, _ in blocks}


def plain(requirement: str) -> str:
    """The name in a requirement, as the index spells it."""
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=\[ ;]", requirement)[0]).lower()


def test_locks_hold_every_dependency_and_agree() -> None:
    """Each dependency of pyproject.toml is locked with digests, and the test lock holds the runtime lock's versions."""
    runtime, test = locked("runtime"), locked("test")
    assert runtime.items() <= test.items()
    assert {plain(r) for r in PYPROJECT["project"]["dependencies"]} <= set(runtime)
    assert {plain(r) for r in PYPROJECT["project"]["optional-dependencies"]["test"]} <= set(test)


def test_each_dependency_has_its_reason() -> None:
    """Every dependency in pyproject.toml has a comment that says why."""
    lines = (ROOT / "pyproject.toml").read_text("utf-8").splitlines()
    wanted = [*PYPROJECT["project"]["dependencies"], *PYPROJECT["project"]["optional-dependencies"]["test"]]
    for requirement in wanted:
        assert any(f'"{requirement}",' in line and "# " in line for line in lines), requirement


@pytest.fixture(scope="module")
def dist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel and the source archive, built as an installer would: the wheel from the archive."""
    out = tmp_path_factory.mktemp("dist")
    source = tmp_path_factory.mktemp("source") / "tree"
    shutil.copytree(ROOT, source, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis"))
    said = subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", out, source], capture_output=True, text=True, check=False
    )
    assert said.returncode == 0, said.stdout + said.stderr
    return out


def test_wheel_serves_a_shop_by_itself(dist: Path, tmp_path: Path) -> None:
    """The wheel carries the reference shelf, types, licences and every template and asset, and runs where it is installed."""
    wheel = next(dist.glob("benchlore-*.whl"))
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    code = {
        path.relative_to(ROOT / "builder").as_posix()
        for path in (ROOT / "builder/benchlore").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    shelf = {
        f"benchlore/reference_shelf/{path.relative_to(ROOT / 'kb/reference').as_posix()}"
        for path in (ROOT / "kb/reference").rglob("*.yaml")
    }
    assert code <= names
    assert shelf <= names
    assert "benchlore/py.typed" in names
    assert {"LICENSE", "LICENSE-kb"} <= {Path(name).name for name in names if ".dist-info/licenses/" in name}
    assert not [name for name in names if "workshop" in name or name.startswith(("tests", "setting_up"))]

    subprocess.run(
        [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index", "--target", tmp_path, wheel], check=True
    )
    program = "import benchlore.shelves as s; print(s.reference_shelf())"
    said = subprocess.run(
        [sys.executable, "-P", "-c", program], env={**os.environ, "PYTHONPATH": str(tmp_path)}, capture_output=True, text=True
    )
    assert said.stdout.strip() == str(tmp_path / "benchlore/reference_shelf"), said.stderr


def test_source_archive_holds_what_building_and_testing_need(dist: Path) -> None:
    """Whoever has only the archive can build, test and read: and it holds nothing that was built."""
    with tarfile.open(next(dist.glob("benchlore-*.tar.gz"))) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert {"builder/__main__.py", "builder/setting_up.py", "requirements/runtime.txt", "LICENSE-kb"} <= names
    assert "tests/test_setup.py" in names
    assert {name for name in names if name.startswith("site/")} <= {"site/README.md"}
    assert not [name for name in names if name.startswith((".venv", ".git/", "."))] or names & {".gitignore"}
