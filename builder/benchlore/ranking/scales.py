"""What the words of the entries weigh.  Each figure is a judgement of ours, said here once and on the page about the model."""

from __future__ import annotations

COMMONNESS = {"very common": 16.0, "common": 8.0, "occasional": 4.0, "rare": 2.0, "very rare": 1.0}
"""Weight of a fault in the trade at large."""

KNOWN_HERE = {"nearly every one": 8.0, "common": 4.0, "now and then": 2.0, "seldom": 1.0}
"""By how much a family's or a stage's own word raises a fault above its weight in the trade."""

ELSEWHERE = 0.1
"""What is left of the share of a fault that the family is known for on other revisions only: the plate may have been changed, or
the entry may be wrong, so never nothing."""

SHOWS = {"almost always": 0.9, "often": 0.6, "sometimes": 0.3, "seldom": 0.1}
"""Chance that a fault gives a symptom, before any finding is counted."""

UNLISTED = 0.005
"""Chance of a symptom that the fault's entry does not list."""

SHOWS_WORTH = 8.0
"""How many findings the entry's word on a symptom is worth."""

OTHER = 0.05
"""Share of 'something not in this book' before anything is known."""

SENSITIVITY, SPECIFICITY = 0.90, 0.95
"""Of a check whose entry does not say."""

SETUP_MINUTES = (2.0, 20.0, 10.0)
"""Minutes to pick up any check and note how it came out; to go from nothing to chassis out; and from there to running live.
The second is taken from the procedures where they say."""

STRENGTHS = (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 256.0)
"""Shrinkage strengths tried: how many findings the level above is worth."""

EXPLAINS = 0.25
"""A sign counts as explained by a fault that was found when that fault gives it at least this often."""

RANGE = 0.8
"""How sure the range of an estimate is to be, where there are jobs enough behind it."""
