"""Nothing is lost: reload, a second tab, a killed browser, a store that is full or refused, files from anywhere."""

from __future__ import annotations

import json
import os
import shutil
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from building import written
from hostile import RAW, poisoned_library
from jobs import Sheet, job_file
from watching import Opener

FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run"]
NO_LOCAL = (
    "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('refused', 'SecurityError'); } });"
)
NO_DATABASE = (
    "Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('refused', 'SecurityError'); } });"
)
DEAF = "const add = window.addEventListener; window.addEventListener = function (type, ...rest) { if (type !== 'storage') { add.call(this, type, ...rest); } };"
FULL = "Storage.prototype.setItem = function () { throw new DOMException('full', 'QuotaExceededError'); };"


def test_every_keystroke_is_kept(small_site: Path, watch: Opener) -> None:
    """What was typed up to the last letter is there after a reload, in the field it was typed in."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", "it hums", ticket="77")
    sheet.page.get_by_label("What was done", exact=True).press_sequentially("half a sent")
    before = sheet.page.evaluate("() => Object.fromEntries(Benchlore.job.record.job.fields)")
    sheet.page.reload()
    sheet.ready()
    assert sheet.page.evaluate("() => Object.fromEntries(Benchlore.job.record.job.fields)") == before
    assert sheet.page.get_by_label("What was done", exact=True).input_value() == "half a sent"
    assert (
        "Kept on this machine" in sheet.page.locator("[data-kept]").inner_text() or sheet.value("work") == "half a sent"
    )


def test_a_bare_visit_leaves_nothing(small_site: Path, watch: Opener) -> None:
    """Opening the sheet keeps no job; one is kept from its first word on."""
    sheet = Sheet(watch(small_site).page, small_site)
    assert sheet.page.evaluate("() => Benchlore.job.store.ids()") == []
    sheet.fill("ticket", "1")
    assert len(sheet.page.evaluate("() => Benchlore.job.store.ids()")) == 1


def test_two_tabs_keep_both(small_site: Path, watch: Opener) -> None:
    """Two tabs on one job: each field typed in one comes to the other, and neither overwrites the other."""
    watched = watch(small_site)
    one = Sheet(watched.page, small_site)
    one.fill("ticket", "5")
    two = Sheet(watched.page.context.new_page(), small_site, one.page.evaluate("location.search"))
    assert two.value("ticket") == "5"
    two.fill("serial", "S-9")
    one.page.wait_for_function("() => Benchlore.job.record.get('serial') === 'S-9'")
    assert one.page.get_by_label("Serial").input_value() == "S-9"
    one.fill("outside", "cloth torn")
    two.page.wait_for_function("() => Benchlore.job.record.get('outside') === 'cloth torn'")
    assert "another tab" in one.notices()


def test_two_tabs_in_one_field(small_site: Path, watch: Opener) -> None:
    """Where both wrote in the same field before they heard of each other, one stands and the other is shown, not lost."""
    watched = watch(small_site)
    watched.page.add_init_script(DEAF)  # as a tab that sleeps is
    one = Sheet(watched.page, small_site)
    one.fill("work", "a")
    two = Sheet(watched.page.context.new_page(), small_site, one.page.evaluate("location.search"))
    two.fill("work", "the words of the second tab")
    two.fill("serial", "S-2")
    one.page.evaluate("() => Benchlore.job.record.set('work', 'the words of the first tab')")
    one.settle()
    stored = one.page.evaluate("() => Object.fromEntries(Benchlore.job.store.load(Benchlore.job.record.job.id).fields)")
    assert stored["work"] == "the words of the first tab" and stored["serial"] == "S-2"
    assert "the words of the second tab" in one.notices()


@pytest.mark.parametrize("how", [NO_LOCAL, FULL], ids=["refused", "full"])
def test_one_store_gone(small_site: Path, watch: Opener, how: str) -> None:
    """With the first store refused or full the second keeps the job, and the sheet says which."""
    watched = watch(small_site)
    watched.page.add_init_script(how)
    sheet = Sheet(watched.page, small_site)
    sheet.fill("ticket", "31")
    sheet.page.wait_for_function("() => document.querySelector('[data-kept]').textContent.includes('second store')")
    sheet.page.reload()
    sheet.ready()
    assert sheet.page.evaluate("() => Benchlore.job.store.list().map((job) => job.fields.get('ticket'))") == ["31"]


def test_both_stores_gone(small_site: Path, watch: Opener, tmp_path: Path) -> None:
    """With neither, the sheet says in words that nothing is kept, offers the file, and works on."""
    watched = watch(small_site)
    watched.page.add_init_script(NO_LOCAL + NO_DATABASE)
    sheet = Sheet(watched.page, small_site)
    sheet.take_in("tarn", "it hums", ticket="32")
    sheet.page.wait_for_selector("[data-notices] [role=alert]")
    assert "Nothing typed from here on is kept" in sheet.notices()
    assert "Not kept" in sheet.page.locator("[data-kept]").inner_text()
    with sheet.page.expect_download() as caught:
        sheet.page.locator("[data-notices]").get_by_role("button", name="Save to a file").click()
    caught.value.save_as(tmp_path / "job.json")
    assert json.loads((tmp_path / "job.json").read_text())["fields"]["ticket"] == "32"


def processes(profile: Path) -> Iterator[int]:
    """Pids of the browser's main process, found by its own profile folder."""
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            words = (folder / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if (
            any(str(profile).encode() in word for word in words)
            and not any(word.startswith(b"--type=") for word in words)
            and b"chrom" in words[0]
        ):
            yield int(folder.name)


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="needs /proc to find the browser's process")
def test_a_killed_browser_reopens_on_the_same_job(small_site: Path, chromium: Any, tmp_path: Path) -> None:
    """SIGKILL a quarter of a second after the last letter: the next start opens the same job with that letter in it.

    localStorage alone loses the last seconds (measured in Chromium 1xx: all of it when killed within 1.5 s); the second store does not.
    """
    profile = tmp_path / "profile"
    found = next((p for n in ("chromium", "chromium-browser") if (p := shutil.which(n))), None)

    def start() -> Any:
        return chromium.browser_type.launch_persistent_context(str(profile), executable_path=found, args=FLAGS)

    context = start()
    sheet = Sheet(context.new_page(), small_site)
    sheet.take_in("tarn", "it hums", ticket="911")
    sheet.page.get_by_label("What was done", exact=True).press_sequentially("the last lette")
    sheet.page.get_by_label("What was done", exact=True).press_sequentially("r")
    job = sheet.page.evaluate("() => Benchlore.job.record.job.id")
    time.sleep(0.25)
    pids = list(processes(profile))
    assert pids
    for pid in pids:
        os.kill(pid, signal.SIGKILL)
    time.sleep(1)
    context = start()
    try:
        again = Sheet(context.new_page(), small_site)
        assert again.page.evaluate("() => Benchlore.job.record.job.id") == job
        assert again.value("work") == "the last letter" and again.value("ticket") == "911"
    finally:
        context.close()


def test_two_hundred_jobs_stay_quick(small_site: Path, watch: Opener) -> None:
    """With 200 jobs of a usual size in the store, the sheet opens and lists them without anybody waiting."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.page.evaluate(
        """() => {
          const J = Benchlore.job;
          for (let n = 0; n < 200; n += 1) {
            const job = J.record.fresh();
            job.rev = 3;
            job.id = `jseed${n}`;
            for (let k = 0; k < 90; k += 1) { job.fields.set(`answer/field${k}/1`, 'words that a technician might write here, twice over'); }
            job.fields.set('ticket', String(n));
            J.store.keep(job);
          }
        }"""
    )
    sheet.page.wait_for_timeout(1500)
    start = time.perf_counter()
    sheet.open()
    opened = time.perf_counter() - start
    start = time.perf_counter()
    sheet.page.get_by_role("button", name="Open jobs").click()
    sheet.page.wait_for_selector(".job-row")
    listed = time.perf_counter() - start
    assert sheet.page.locator(".job-row").count() == 200
    assert opened < 5 and listed < 3, (
        opened,
        listed,
    )  # measured: 0.23 s and 0.10 s on two shared cores; an idle machine needs a tenth
    sheet.page.locator(".job-row button", has_text="Ticket 120 ").first.click()
    sheet.settle()
    assert sheet.value("ticket") == "120"


def test_erased_only_by_an_act_and_brought_back(small_site: Path, watch: Opener) -> None:
    """Erase takes the job out; Undo, or the list later on, brings it back whole."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", "it hums", ticket="44")
    sheet.page.get_by_role("button", name="Erase this job").click()
    assert sheet.value("ticket") == "" and "Erased: Ticket 44" in sheet.notices()
    sheet.page.get_by_role("button", name="Undo").click()
    sheet.settle()
    assert sheet.value("ticket") == "44" and sheet.value("complaint") == "it hums"
    sheet.page.get_by_role("button", name="Erase this job").click()
    sheet.page.reload()
    sheet.ready()
    sheet.page.get_by_role("button", name="Open jobs").click()
    sheet.page.get_by_role("button", name="Bring it back").click()
    sheet.settle()
    assert sheet.value("ticket") == "44"


def test_several_jobs(small_site: Path, watch: Opener) -> None:
    """A new job leaves the one before in the list; each comes back as it was."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", "it hums", ticket="A")
    sheet.page.get_by_role("button", name="New job").click()
    sheet.settle()
    assert sheet.value("ticket") == "" and sheet.page.get_by_label("The complaint").input_value() == ""
    sheet.take_in("moor", "no power", ticket="B")
    sheet.page.get_by_role("button", name="Open jobs").click()
    sheet.page.locator(".job-row button", has_text="Ticket A").click()
    sheet.ready()
    assert sheet.value("family") == "tarn-15" and sheet.page.get_by_label("The complaint").input_value() == "it hums"


def test_a_file_takes_the_job_to_another_machine(small_site: Path, watch: Opener, tmp_path: Path) -> None:
    """Saved here, loaded in a browser that has never seen it: the same fields, the owner's name with them."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", "it hums", ticket="12")
    sheet.page.locator(".job-owner summary").click()
    sheet.fill("owner-name", "Jo Threadgold")
    saved = sheet.save_job(tmp_path)
    other = Sheet(watch(small_site).page, small_site)
    other.load(saved.name, saved.read_text())
    assert (
        other.value("ticket") == "12"
        and other.value("owner-name") == "Jo Threadgold"
        and other.value("family") == "tarn-15"
    )
    fields = "() => JSON.stringify([...Benchlore.job.record.job.fields].sort())"
    assert other.page.evaluate(fields) == sheet.page.evaluate(fields)


def test_a_file_never_overwrites(small_site: Path, watch: Opener, tmp_path: Path) -> None:
    """A file of a job that has gone on since is opened as a second one."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.fill("ticket", "old")
    saved = sheet.save_job(tmp_path)
    sheet.fill("ticket", "new")
    sheet.load(saved.name, saved.read_text())
    assert sheet.value("ticket") == "old" and "second one" in sheet.notices()
    tickets = sheet.page.evaluate("() => Benchlore.job.store.list().map((job) => job.fields.get('ticket')).sort()")
    assert tickets == ["new", "old"]


REFUSED = {
    "newer": (job_file({"ticket": "x"}, version=2), "newer sheet (version 2"),
    "half": (job_file({"ticket": "x"})[:-20], "breaks off"),
    "empty": ("", "breaks off"),
    "other": ('{"what": "shopping list"}', "not a job file"),
    "array": ("[]", "not a job file"),
    "null": ("null", "not a job file"),
    "no version": (job_file({"ticket": "x"}, version=None), "which version"),
    "bad id": (job_file({"ticket": "x"}, id="../../x"), "no proper name"),
    "bad rev": (job_file({"ticket": "x"}, rev=-1), "count of changes"),
    "number": (job_file({"ticket": 5}), "is not text"),  # type: ignore[dict-item]
    "long field": (job_file({"ticket": "x" * 30_000}), "too long"),
    "many fields": (job_file({f"answer/a{n}/1": "x" for n in range(4000)}), "more than any job"),
    "bad key": (job_file({"<img>": "x"}), "no job sheet gives"),
    "proto": (
        '{"what": "benchlore job", "version": 1, "id": "jabcdef", "rev": 1, "fields": {"__proto__": "x"}}',
        "no job sheet gives",
    ),
    "huge": ("[" * 2_500_000, "larger than"),
    "deep": ("[" * 100_000, "breaks off"),
    "binary": ("\x00\x01\x02\ufffe", "breaks off"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_is_refused(small_site: Path, watch: Opener, name: str) -> None:
    """The reason is said, and the job on the page stays."""
    content, reason = REFUSED[name]
    watched = watch(small_site)
    sheet = Sheet(watched.page, small_site)
    sheet.fill("ticket", "mine")
    sheet.load("job.json", content)
    assert reason in sheet.notices(), sheet.notices()
    assert "stays as it is" in sheet.notices() and sheet.value("ticket") == "mine"
    assert watched.console == []


def hostile_fields() -> dict[str, str]:
    """Every field that the sheet shows somewhere, filled with attacks."""
    words = " and ".join(RAW)
    keys = [
        "ticket",
        "family-text",
        "serial",
        "owner-name",
        "owner-contact",
        "asked",
        "complaint",
        "outside",
        "work",
        "learned",
        "advised",
        "recheck",
        "found-words",
        "compare-what",
        "compare-facts",
        "compare-impressions",
        "finding-title",
        "technician",
        "node/A",
        "mains",
        "earth-ohms",
        "insulation",
        "noise",
        "idle/before/V2/plate-volts",
        "part/1/what",
        "part/1/count",
        "part/1/cost",
        "minutes",
        "parts-cost",
        "date",
        "came",
        "revision",
        "idle-by",
        "idle-tube",
        "safe-why/1",
        "answer/hum-steady-low/1",
        "check-note/filter-dried/look",
        "fault-note/filter-dried",
    ]
    return dict.fromkeys(keys, words) | {
        "family": "tarn-15", "sign/hum-steady-low": words, "sign/constructor": "present", "sign/no-such-sign": "present", "check/no/such": "fail",
        "check/filter-dried/toString": "fail", "fault/hasOwnProperty": "found", "fault/filter-dried": words, "touched/valueOf": "yes", "stage/toString": "yes",
        "change/constructor": "yes", "still/constructor": "yes", "mended/constructor": "no", "part/99999999/what": "x", "part/2/what": "y",
    }  # fmt: skip


def test_a_hostile_job_file_runs_nothing(small_site: Path, watch: Opener) -> None:
    """Attacks in every field, names of things that objects have, ids that are not in the book: text, and the page goes on."""
    watched = watch(small_site)
    sheet = Sheet(watched.page, small_site)
    sheet.load("job.json", job_file(hostile_fields()))
    assert sheet.page.evaluate("window.hit") is None
    assert sheet.page.locator("[data-job] :is(script, iframe, img, object, embed, form)").count() == 0
    assert watched.console == [] and watched.outside() == []
    assert sheet.page.locator("[data-part] , .job-part").count() <= 61
    # still a sheet: a new job can be worked
    sheet.page.get_by_role("button", name="New job").click()
    sheet.take_in("tarn", "it hums", ticket="after")
    assert sheet.value("ticket") == "after" and sum(sheet.shares().values()) == pytest.approx(1)


def test_a_hostile_book_runs_nothing(small_library: Any, watch: Opener, tmp_path: Path) -> None:
    """Every field of every entry is an attack: family, signs, checks, closing list and owner's page show it as words."""
    words = " and ".join(RAW)
    watched = watch(written(site_files_of_poison(small_library, words), tmp_path / "hostile"))
    sheet = Sheet(watched.page, watched.site, "?family=tarn-15&symptom=hum-steady-low")
    sheet.make_safe()
    for _ in range(3):
        if sheet.next_check():
            sheet.result("Fail")
    sheet.page.evaluate("() => Benchlore.job.work.found('filter-dried')")
    sheet.tick("touched/speaker")
    sheet.close_all()
    assert "script" in sheet.page.locator("[data-opening]").inner_text()
    assert sheet.page.evaluate("window.hit") is None
    assert watched.console == [] and watched.outside() == []


def site_files_of_poison(library: Any, words: str) -> dict[str, bytes]:
    """The files of a site whose every field holds ``words``."""
    from benchlore.rendering.site import render

    return render(poisoned_library(library, words))


def test_what_stands_in_the_store_is_not_trusted(small_site: Path, watch: Opener) -> None:
    """Any page of the disk may write to the store: what is not a job there is passed over, and nothing is thrown."""
    watched = watch(small_site)
    sheet = Sheet(watched.page, small_site)
    sheet.fill("ticket", "mine")
    sheet.page.evaluate(
        """([good]) => {
          const start = `benchlore:${Benchlore.job.book.site}:`;
          localStorage.setItem(`${start}job:jbroken`, '{"what":');
          localStorage.setItem(`${start}job:jevil`, '<img src=x onerror=window.hit=1>');
          localStorage.setItem(`${start}job:jfile`, good);
          localStorage.setItem(`${start}current`, 'jbroken');
        }""",
        [job_file(hostile_fields(), id="jfile")],
    )
    sheet.open("?job=jbroken")
    sheet.page.get_by_role("button", name="Open jobs").click()
    assert sheet.page.locator(".job-row").count() == 2
    sheet.open("?job=jfile")
    assert sheet.page.evaluate("window.hit") is None and watched.console == []


def test_links_from_other_pages_start_a_job(small_site: Path, watch: Opener) -> None:
    """?family=ID&symptom=ID starts a new job with both; unknown ids are passed over."""
    sheet = Sheet(watch(small_site).page, small_site, "?family=tarn-15&symptom=hum-steady-low&symptom=nonsense")
    assert sheet.value("family") == "tarn-15" and sheet.value("sign/hum-steady-low") == "present"
    assert "?job=" in sheet.page.url
    sheet.open("?family=__proto__&symptom=toString")
    assert sheet.value("family") == "tarn-15"  # nothing asked for: the last job
