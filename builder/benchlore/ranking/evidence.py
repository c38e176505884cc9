"""What is known of an amp, turned into numbers; like ``core`` in the subset of Python that is printed for the job sheet.

``candidates`` holds, for each suspect of a family, the fault's place in the export, or -1 for 'something not in this book'.
``shows[fault]`` holds pairs of (symptom, chance), a check's ``finds`` pairs of (fault, chance that the check then fails).
"""

from __future__ import annotations


def trade_prior(
    commonness: list[float], anywhere: list[float], known: list[float], everything: bool, other: float
) -> list[float]:
    """Shares of all faults before any finding, then that of 'something not in this book'; 0 for what is no candidate.

    ``known[k]`` is by how much a family or stage raises fault ``k``, 0 where it says nothing of it.
    """
    weights: list[float] = []
    total = 0.0
    for k in range(len(commonness)):
        weight = 0.0
        if known[k] > 0.0:
            weight = commonness[k] * known[k]
        elif everything or anywhere[k] > 0.0:
            weight = commonness[k]
        weights.append(weight)
        total += weight
    shares: list[float] = []
    for weight in weights:
        shares.append((1.0 - other) * weight / total if total > 0.0 else 0.0)
    shares.append(other if total > 0.0 else 1.0)
    return shares


def symptom_chances(
    candidates: list[int], shows: list[list[list[float]]], unlisted: float, usual: float, symptom: int
) -> list[float]:
    """Chance of a symptom under each candidate; ``usual`` is that under something not in the book."""
    chances: list[float] = []
    for fault in candidates:
        chance = usual if fault < 0 else unlisted
        if fault >= 0:
            for pair in shows[fault]:
                if pair[0] == symptom:
                    chance = pair[1]
        chances.append(chance)
    return chances


def check_chances(candidates: list[int], finds: list[list[float]], specificity: float) -> list[float]:
    """Chance that a check fails under each candidate."""
    chances: list[float] = []
    for fault in candidates:
        chance = 1.0 - specificity
        for pair in finds:
            if pair[0] == fault:
                chance = pair[1]
        chances.append(chance)
    return chances


def find_row(candidates: list[int], finds: list[list[float]]) -> list[float]:
    """Chance that a check finds each candidate; 0 for those it does not speak to."""
    return check_chances(candidates, finds, 1.0)


def revision_factor(candidates: list[int], elsewhere: list[int], worth: float) -> list[float]:
    """What the revision on the bench says: a fault known on other revisions only counts ``worth``, all others as before."""
    factor: list[float] = []
    for candidate in candidates:
        weight = 1.0
        for fault in elsewhere:
            if candidate == fault:
                weight = worth
        factor.append(weight)
    return factor


def as_factor(chances: list[float], so: bool) -> list[float]:
    """Likelihood of what was seen (``so``) or looked for and not seen."""
    factor: list[float] = []
    for chance in chances:
        factor.append(chance if so else 1.0 - chance)
    return factor


def times_likelier(prior: list[float], factor: list[float], k: int) -> float:
    """By how much a factor favours candidate ``k`` over the mean of all."""
    mean = 0.0
    for j in range(len(prior)):
        mean += prior[j] * factor[j]
    return factor[k] / mean if mean > 0.0 else 1.0


def without(prior: list[float], candidates: list[int], found: list[int]) -> list[float]:
    """The prior once the faults ``found`` are no longer looked for, summing to one."""
    rest: list[float] = []
    total = 0.0
    for k in range(len(prior)):
        share = prior[k]
        for fault in found:
            if candidates[k] == fault:
                share = 0.0
        rest.append(share)
        total += share
    for k in range(len(rest)):
        rest[k] = rest[k] / total if total > 0.0 else 0.0
    return rest


def explains(shows: list[list[list[float]]], fault: int, symptom: int, enough: float) -> bool:
    """Does the fault give the symptom at least with the chance ``enough``?"""
    so = False
    for pair in shows[fault]:
        if pair[0] == symptom and pair[1] >= enough:
            so = True
    return so


def check_speaks_to(finds: list[list[float]], found: list[int]) -> bool:
    """Is one of the faults ``found`` among those a check finds?"""
    so = False
    for pair in finds:
        for fault in found:
            if pair[0] == fault:
                so = True
    return so


def middle(ordered: list[float]) -> float:
    """Median of values in rising order."""
    n = len(ordered)
    half = n >> 1
    return ordered[half] if n & 1 == 1 else (ordered[half - 1] + ordered[half]) / 2.0


def honest_range(ordered: list[float], wanted: float) -> list[float]:
    """Least and most between which a further job falls, and the chance that it does: [low, high, chance].

    The tightest pair of values in rising order, equally far from both ends, that holds the next one with at least the chance
    ``wanted``; for few jobs least and most of all, with the smaller chance that they then have.  Between the r-th and the
    r-th last of n alike values the next one falls with chance (n + 1 - 2 r) / (n + 1), whatever their distribution.
    """
    n = len(ordered)
    r = 1
    while n + 1 - 2 * (r + 1) > 0 and (n + 1.0 - 2.0 * (r + 1)) / (n + 1.0) >= wanted:
        r += 1
    return [ordered[r - 1], ordered[n - r], (n + 1.0 - 2.0 * r) / (n + 1.0) if n > 1 else 0.0]
