"""Suspects against an independent classifier, hand arithmetic, and what a technician would expect."""

from __future__ import annotations

import numpy as np
import pytest
from sklearn.naive_bayes import BernoulliNB
from tests.ranking.shelves import check, family, fault, finding, library, stage, symptom

from benchlore.ranking import scales
from benchlore.ranking.counts import OTHER
from benchlore.ranking.model import Model, export, prior_of
from benchlore.ranking.suspects import Seen, probabilities, suspects

SIGNS = ("s1", "s2", "s3")


def test_reduces_to_bernoulli_naive_bayes(monkeypatch: pytest.MonkeyPatch) -> None:
    """With every symptom looked at, a flat prior on each and findings enough, the model is scikit-learn's BernoulliNB(alpha=1).

    The entry's word is then worth two findings of one half each, which is what alpha = 1 means; the prior is handed to both.
    """
    monkeypatch.setattr(scales, "SHOWS", {"sometimes": 0.5})
    monkeypatch.setattr(scales, "SHOWS_WORTH", 2.0)
    rng = np.random.default_rng(5)
    truth = {"a": (0.9, 0.2, 0.4), "b": (0.1, 0.7, 0.5), "c": (0.5, 0.5, 0.05)}
    rows, labels, findings = [], [], []
    for number in range(120):
        name = str(rng.choice(list(truth)))
        row = [int(rng.random() < p) for p in truth[name]]
        rows.append(row)
        labels.append(name)
        present = [s for s, there in zip(SIGNS, row, strict=True) if there]
        findings.append(finding(number, "f", (name,), present, [s for s in SIGNS if s not in present]))
    faults = [fault(name, shows=dict.fromkeys(SIGNS, "sometimes"), anywhere=True) for name in truth]
    model = Model(library(*faults, *map(symptom, SIGNS), family("f", ()), *findings))
    prior = model.prior("f")
    known = [p for name, p in zip(prior.candidates, prior.probability, strict=True) if name]
    reference = BernoulliNB(alpha=1.0, class_prior=np.array(known) / sum(known)).fit(np.array(rows), np.array(labels))
    for row in ([1, 0, 0], [0, 1, 1], [1, 1, 1], [0, 0, 0]):
        seen = Seen(tuple(s for s, r in zip(SIGNS, row, strict=True) if r), tuple(s for s, r in zip(SIGNS, row, strict=True) if not r))
        names, mine = probabilities(model, "f", seen)
        in_book = np.array(mine[:-1]) / sum(mine[:-1])
        assert names[:-1] == tuple(reference.classes_)
        assert in_book == pytest.approx(reference.predict_proba([row])[0], abs=1e-12)


def small(*findings: object) -> Model:
    """Two families that share a stage, three faults, two symptoms."""
    return Model(
        library(
            fault("leaky", shows={"red": "often"}, checks=[check("read-grid", 5, "live"), check("look", 2)]),
            fault("dried", "very common", {"hum": "almost always"}, [check("ripple", 8, "live"), check("bulge", 1, "chassis out")], anywhere=True),
            fault("loose", "very common", {"rattle": "often"}, while_open=True, anywhere=True),
            symptom("red"), symptom("hum"), symptom("rattle"),
            stage("fixed", {"leaky": "common"}),
            family("f", ("fixed",)), family("g", ("fixed",)), family("h", ()),
            *findings,  # type: ignore[arg-type]
        )
    )


def test_probabilities_sum_to_one_and_wear_is_no_suspect() -> None:
    """What is merely usual while the amp is open is never a suspect; 'not in this book' always is."""
    names, p = probabilities(small(), "f", Seen(("hum",)))
    assert names == ("dried", "leaky", OTHER)
    assert sum(p) == pytest.approx(1.0)
    assert max(p) == p[0]


def test_prior_by_hand_without_findings() -> None:
    """Commonness times the stage's word: 16 for dried, 8 x 4 for leaky, sharing 95 %."""
    prior = small().prior("f")
    assert prior.probability == pytest.approx((0.95 * 16 / 48, 0.95 * 32 / 48, 0.05))


def test_findings_of_the_family_and_of_its_kin_move_the_prior() -> None:
    """Three jobs on the other family with the same stage raise the fault here, and jobs here raise it more."""
    before = small().prior("f").probability[1]
    there = [finding(n, "g", ("leaky",), ["red"]) for n in range(3)]
    here = [finding(n, "f", ("leaky",), ["red"]) for n in range(3, 6)]
    kin = small(*there).prior("f").probability[1]
    both = small(*there, *here).prior("f").probability[1]
    assert before < kin < both


def test_a_symptom_present_absent_or_not_looked_at() -> None:
    """Present and absent move a suspect in opposite directions; one not looked at leaves the prior as it is."""
    model = small()
    base = dict(zip(*probabilities(model, "f", Seen()), strict=True))["leaky"]
    there = dict(zip(*probabilities(model, "f", Seen(("red",))), strict=True))["leaky"]
    gone = dict(zip(*probabilities(model, "f", Seen(absent=("red",))), strict=True))["leaky"]
    assert gone < base < there
    assert base == pytest.approx(model.prior("f").probability[1])


def test_beta_binomial_by_hand() -> None:
    """'often' (0.6) worth eight findings, and four findings of which three had it: (4.8 + 3) / 12."""
    rows = [finding(n, "f", ("leaky",), ["red"] if n else [], [] if n else ["red"]) for n in range(4)]
    assert small(*rows).shows["leaky"]["red"] == pytest.approx((8 * 0.6 + 3) / 12)


def test_results_of_checks_move_suspects_at_once() -> None:
    """A failed check raises its fault, a passed one lowers it, by the check's own worth."""
    model = small()
    base = dict(zip(*probabilities(model, "f", Seen(("hum",))), strict=True))
    failed = dict(zip(*probabilities(model, "f", Seen(("hum",), failed=("dried/ripple",))), strict=True))
    passed = dict(zip(*probabilities(model, "f", Seen(("hum",), passed=("dried/ripple",))), strict=True))
    assert failed["dried"] > base["dried"] > passed["dried"]
    odds = (failed["dried"] / failed["leaky"]) / (base["dried"] / base["leaky"])
    assert odds == pytest.approx(0.9 / 0.05)


def test_live_checks_come_after_cold_ones_of_the_same_fault() -> None:
    """Nothing is run live before it has been looked over cold, whatever its promise."""
    order = [c["check"] for c in suspects(small(), "f", Seen(("red",)))["checks"]]
    assert order.index("leaky/look") < order.index("leaky/read-grid")
    assert order.index("dried/bulge") < order.index("dried/ripple")


def test_reasons_name_the_symptom_and_the_findings() -> None:
    """Each suspect says what stands behind it, in words."""
    model = small(*[finding(n, "f", ("dried",), ["hum"]) for n in range(2)])
    top = suspects(model, "f", Seen(("hum",)))["suspects"][0]
    assert top["fault"] == "dried"
    assert top["because"][0].startswith("found twice in 2 findings on this family")
    assert "likelier" in top["because"][1]


def test_an_amp_that_is_not_in_the_book() -> None:
    """By its stages, else by the trade at large."""
    model = small()
    assert probabilities(model, None, Seen(), ("fixed",))[0] == ("dried", "leaky", OTHER)
    assert sum(probabilities(model, None, Seen(("hum",)))[1]) == pytest.approx(1.0)


def test_the_export_is_what_the_terminal_reckons_with() -> None:
    """The job sheet gets the same priors, chances and checks."""
    model = small(finding(1, "f", ("dried",), ["hum"]))
    data = export(model)
    assert data["faults"] == ["dried", "leaky"]
    prior = model.prior("f")
    assert [p for _, p in prior_of(model, "f")] == pytest.approx(list(prior.probability))
    assert {c[0] for c in data["checks"]} >= {"dried/ripple", "leaky/look"}
