"""The job sheet and the terminal reckon alike: probabilities to 1e-9, the same order of checks, the same estimate."""

from __future__ import annotations

import random
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from benchlore.linking.library import Library
from benchlore.ranking import evidence
from benchlore.ranking.model import Model
from benchlore.ranking.revisions import on_other_revisions
from benchlore.ranking.suspects import Seen, because, order_of_checks, probabilities
from jobs import Sheet
from watching import Opener

CASES = 30
REACH = """(cases) => {
  const { known, reckon, model } = Benchlore.job, M = Benchlore.job.model;
  const family = known.family();
  return cases.map((given) => {
    const at = (ids, table) => ids.map((id) => table.get(id));
    const rows = given.stages ? reckon.byStages(given.stages) : family ? family.prior : M.prior;
    const seen = { rows, present: at(given.present, known.signs), absent: at(given.absent, known.signs), passed: at(given.passed, known.checkAt),
      failed: at(given.failed, known.checkAt), found: at(given.found ?? [], known.places), still: [],
      elsewhere: at(family?.elsewhere[given.revision] ?? [], known.places).filter((place) => place !== undefined), reached: given.reached };
    const weighed = reckon.weigh(seen), order = reckon.order(seen, weighed);
    const open = weighed.open.map((sign) => M.symptoms[sign]);
    return { names: weighed.candidates.map((k) => k < 0 ? "" : M.faults[k]), p: weighed.probability, checks: order.checks.map(({ at }) => M.checks[at][0]), gains: order.checks.map(({ gain }) => gain), minutes: order.minutes, open };
  });
}"""


@pytest.fixture(scope="module")
def model(whole_library: Library) -> Model:
    """The terminal's model of the shipped book."""
    return Model(whole_library)


def cases(rng: random.Random, model: Model, count: int) -> list[dict[str, Any]]:
    """Random signs and results of checks, from none to many."""
    made = []
    for _ in range(count):
        signs = rng.sample(list(model.library.symptoms), rng.randint(0, 6))
        checks = rng.sample(list(model.checks), rng.randint(0, 8))
        split, cut = rng.randint(0, len(signs)), rng.randint(0, len(checks))
        made.append(
            {
                "present": signs[:split],
                "absent": signs[split:],
                "passed": checks[:cut],
                "failed": checks[cut:],
                "reached": rng.randint(0, 2),
            }
        )
    return made


def seen(case: Mapping[str, Any]) -> Seen:
    """A case as the terminal takes it."""
    told = (tuple(case[name]) for name in ("present", "absent", "passed", "failed"))
    return Seen(*told, reached=case["reached"], revision=case.get("revision", ""))


def agree(
    model: Model,
    family: str | None,
    given: list[dict[str, Any]],
    page: list[dict[str, Any]],
    stages: tuple[str, ...] = (),
) -> float:
    """The worst difference of a probability; orders and figures of the checks must agree too."""
    worst = 0.0
    for case, got in zip(given, page, strict=True):
        names, p = probabilities(model, family, seen(case), stages)
        mine = dict(zip(names, p, strict=True))
        theirs = dict(zip(got["names"], got["p"], strict=True))
        assert set(mine) == set(theirs)
        assert sum(theirs.values()) == pytest.approx(1, abs=1e-9)
        worst = max(worst, *(abs(mine[name] - theirs[name]) for name in mine))
        checks, gains, minutes = order_of_checks(model, names, p, seen(case))
        assert got["checks"] == [c.id for c in checks], case
        assert got["gains"] == pytest.approx(gains, abs=1e-9)
        assert got["minutes"] == pytest.approx(minutes, rel=1e-9)
    return worst


def test_the_page_agrees_with_the_terminal(model: Model, whole_site: Path, watch: Opener) -> None:
    """Every family, and the trade at large: random signs and checks, probabilities within 1e-9."""
    rng = random.Random(20261125)
    sheet = Sheet(watch(whole_site).page, whole_site)
    given = cases(rng, model, CASES)
    worst = agree(model, None, given, sheet.page.evaluate(REACH, given))
    for family in sorted(model.library.families):
        sheet.open(f"?family={family}")
        given = cases(rng, model, CASES // 6)
        worst = max(worst, agree(model, family, given, sheet.page.evaluate(REACH, given)))
    assert worst <= 1e-9  # measured: 2e-16


def test_each_revision_has_suspects_of_its_own(model: Model, whole_site: Path, watch: Opener) -> None:
    """Every family with weak points of some revisions only, on each revision: the page's probabilities are the terminal's."""
    rng, tried = random.Random(7), 0
    sheet = Sheet(watch(whole_site).page, whole_site)
    for id, family in sorted(model.library.families.items()):
        revisions = [v.key for v in family.variants if on_other_revisions(family, v.key)]
        if revisions:
            sheet.open(f"?family={id}")
            given = [case | {"revision": key} for key in revisions for case in cases(rng, model, 2)]
            assert agree(model, id, given, sheet.page.evaluate(REACH, given)) <= 1e-9
            tried += len(revisions)
    assert tried >= 8


def test_choosing_the_revision_moves_the_suspects(model: Model, whole_site: Path, watch: Opener) -> None:
    """A fault of the first revision only falls when the amp is said to be the second, and the sheet says why."""
    family = model.library.families["bulwark-200"]
    later = family.variants[-1].key
    assert on_other_revisions(family, later) == ("grid-leak-open",)
    sheet = Sheet(watch(whole_site).page, whole_site, "?family=bulwark-200&symptom=tubes-glow-red")
    before = sheet.shares()["grid-leak-open"]
    sheet.page.locator("#f-revision").select_option(later)
    sheet.settle()
    after = sheet.shares()
    assert after["grid-leak-open"] < before / 3 and sum(after.values()) == pytest.approx(1, abs=1e-9)
    reasons = "() => { const J = Benchlore.job, o = J.reckon.outcome(); return J.reckon.reasons(o, o.ranked.find(({ id }) => id === 'grid-leak-open').k); }"
    said = sheet.page.evaluate(reasons)
    assert any(words.startswith("known on other revisions of this family, not on this one: ") for words in said), said
    seen_ = Seen(("tubes-glow-red",), revision=later)
    assert because(model, "bulwark-200", "grid-leak-open", seen_)[1] in said


def test_an_amp_that_is_not_in_the_book(model: Model, whole_site: Path, watch: Opener) -> None:
    """By the stages that were ticked: the page's prior is the terminal's."""
    rng = random.Random(4)
    sheet = Sheet(watch(whole_site).page, whole_site)
    for _ in range(12):
        stages = tuple(rng.sample(sorted(model.library.stages), rng.randint(1, 5)))
        given = cases(rng, model, 4)
        page = sheet.page.evaluate(REACH, [case | {"stages": list(stages)} for case in given])
        assert agree(model, None, given, page, stages) <= 1e-9


def test_what_a_found_fault_explains(model: Model, whole_site: Path, watch: Opener) -> None:
    """Signs that the found fault gives often enough drop out, the fault leaves the list, the rest is reckoned by the terminal's own functions."""
    sheet = Sheet(watch(whole_site).page, whole_site, "?family=lapwing-22")
    case = {
        "present": ["hum-steady-low", "jack-intermittent"],
        "absent": [],
        "passed": [],
        "failed": [],
        "reached": 0,
        "found": ["ribbon-lead-dress"],
    }
    (got,) = sheet.page.evaluate(REACH, [case])
    assert got["open"] == ["jack-intermittent"]
    prior = model.prior("lapwing-22")
    places = model.candidates(prior.candidates)
    left = evidence.without(list(prior.probability), places, [model.places["ribbon-lead-dress"]])
    factor = evidence.as_factor(model.symptom_chances(prior.candidates, "jack-intermittent"), True)
    weights = [a * b for a, b in zip(left, factor, strict=True)]
    assert got["p"] == pytest.approx([w / sum(weights) for w in weights], abs=1e-9)
    assert dict(zip(got["names"], got["p"], strict=True))["ribbon-lead-dress"] == 0


def test_the_estimate_says_what_stands_behind_it(model: Model, whole_site: Path, watch: Opener) -> None:
    """Median, range and number of jobs are those of the findings that match."""
    sheet = Sheet(watch(whole_site).page, whole_site, "?family=lapwing-22&symptom=hum-steady-low")
    findings = [f for f in model.library.findings_of("lapwing-22") if "hum-steady-low" in f.symptoms]
    made = sheet.page.evaluate(
        "() => { const e = Benchlore.job.intake.estimate(); return [e.words, e.jobs.length, e.minutes]; }"
    )
    if len(findings) >= 3:
        minutes = sorted(float(f.minutes) for f in findings)
        assert made[1] == len(findings)
        assert made[2]["middle"] == evidence.middle(minutes)
        assert [made[2]["low"], made[2]["high"], made[2]["chance"]] == evidence.honest_range(minutes, 0.8)
    assert f"From {made[1]} job" in sheet.page.locator("[data-estimate]").inner_text()
