"""The arithmetic of suspects, in the subset of Python that is printed as JavaScript for the job sheet.

Lists stand for vectors over the candidates of one family (the last one is 'something not in this book'), rows of ``find`` are
checks: ``find[i][k]`` is the chance that check ``i`` fails when fault ``k`` is there and the check speaks to it, else 0.
"""

from __future__ import annotations

MOST_EXACT = 11


def posterior(prior: list[float], factors: list[list[float]]) -> list[float]:
    """Probabilities of the candidates: the prior times each factor (a likelihood per candidate), summing to one.

    A factor that no candidate allows says nothing of any of them and is passed over.
    """
    weights = prior.copy()
    for factor in factors:
        total = 0.0
        for k in range(len(weights)):
            total += weights[k] * factor[k]
        if total > 0.0:
            for k in range(len(weights)):
                weights[k] = weights[k] * factor[k] / total
    return weights


def left_after(probability: list[float], find: list[list[float]], done: list[int]) -> float:
    """The chance that none of the checks in ``done`` has found the fault."""
    left = 0.0
    for k in range(len(probability)):
        share = probability[k]
        for i in done:
            share = share * (1.0 - find[i][k])
        left += share
    return left


def setting_up(level: int, reached: float, setup_minutes: list[float]) -> float:
    """Minutes besides the check itself: picking it up and noting how it came out (``setup_minutes[0]``), and getting from the
    set-up already reached (0 outside, 1 chassis out, 2 live) to the one it needs."""
    minutes = setup_minutes[0]
    for step in range(level + 1):
        if step > reached:
            minutes += setup_minutes[step]
    return minutes


def expected_minutes(
    probability: list[float],
    find: list[list[float]],
    minutes: list[float],
    level: list[int],
    setup_minutes: list[float],
    reached: int,
    order: list[int],
) -> float:
    """Expected minutes until the fault is found or the order is done: each check costs its time if nothing earlier found it."""
    total = 0.0
    alive = probability.copy()
    at = reached
    for i in order:
        left = 0.0
        for share in alive:
            left += share
        total += left * (minutes[i] + setting_up(level[i], at, setup_minutes))
        at = max(at, level[i])
        for k in range(len(alive)):
            alive[k] = alive[k] * (1.0 - find[i][k])
    return total


def is_free(i: int, after: list[list[int]], done: list[bool]) -> bool:
    """Has everything that must come before check ``i`` been done?"""
    free = True
    for j in after[i]:
        if not done[j]:
            free = False
    return free


def greedy_order(
    probability: list[float],
    find: list[list[float]],
    minutes: list[float],
    level: list[int],
    setup_minutes: list[float],
    reached: int,
    after: list[list[int]],
    wanted: int,
) -> list[int]:
    """Up to ``wanted`` checks by chance of finding the fault per minute, set-up included, each after what must precede it.

    Ties go to the earlier check, so that the order is the same everywhere.
    """
    done = [False] * len(minutes)
    alive = probability.copy()
    order: list[int] = []
    at = reached
    going = True
    while going and len(order) < wanted:
        best = -1
        best_rate = -1.0
        for i in range(len(minutes)):
            if done[i] or not is_free(i, after, done):
                continue
            gain = 0.0
            for k in range(len(alive)):
                gain += alive[k] * find[i][k]
            rate = gain / (minutes[i] + setting_up(level[i], at, setup_minutes))
            if rate > best_rate * (1.0 + 1e-12):
                best = i
                best_rate = rate
        going = best >= 0
        if going:
            order.append(best)
            done[best] = True
            at = max(at, level[best])
            for k in range(len(alive)):
                alive[k] = alive[k] * (1.0 - find[best][k])
    return order


def may_follow(i: int, done_set: int, after: list[list[int]], chosen: list[int]) -> bool:
    """Has everything among ``chosen`` that must come before check ``i`` been done in ``done_set`` (a bit for each of them)?"""
    free = True
    for p in range(len(chosen)):
        if not ((done_set >> p) & 1):
            for before in after[i]:
                if before == chosen[p]:
                    free = False
    return free


def set_costs(
    probability: list[float],
    find: list[list[float]],
    level: list[int],
    reached: int,
    chosen: list[int],
) -> list[list[float]]:
    """For every set of ``chosen`` already done: the chance that the fault is still unfound, and the set-up reached."""
    table: list[list[float]] = []
    for done_set in range(1 << len(chosen)):
        done = [chosen[j] for j in range(len(chosen)) if (done_set >> j) & 1]
        top = reached
        for i in done:
            top = max(top, level[i])
        table.append([left_after(probability, find, done), top])
    return table


def best_arrangement(
    probability: list[float],
    find: list[list[float]],
    minutes: list[float],
    level: list[int],
    setup_minutes: list[float],
    reached: int,
    after: list[list[int]],
    chosen: list[int],
) -> list[int]:
    """The order of ``chosen`` with the least expected minutes, exactly: by sets already done, since neither the chance that the
    fault is still unfound nor the set-up reached depends on the order within such a set.

    ``chosen`` holds at most ``MOST_EXACT`` checks and every check that must precede one of them.
    """
    full = (1 << len(chosen)) - 1
    known = set_costs(probability, find, level, reached, chosen)
    cost = [0.0] * (full + 1)
    step = [-1] * (full + 1)
    for back in range(1, full + 1):
        done_set = full - back
        best = -1.0
        for j in range(len(chosen)):
            i = chosen[j]
            if (done_set >> j) & 1 or not may_follow(i, done_set, after, chosen):
                continue
            now = minutes[i] + setting_up(level[i], known[done_set][1], setup_minutes)
            spent = known[done_set][0] * now + cost[done_set | (1 << j)]
            if best < 0.0 or spent < best * (1.0 - 1e-12):
                best = spent
                step[done_set] = j
        cost[done_set] = best
    order: list[int] = []
    done_set = 0
    while done_set < full:
        order.append(chosen[step[done_set]])
        done_set = done_set | (1 << step[done_set])
    return order


def best_order(
    probability: list[float],
    find: list[list[float]],
    minutes: list[float],
    level: list[int],
    setup_minutes: list[float],
    reached: int,
    after: list[list[int]],
    wanted: int,
) -> list[int]:
    """Up to ``wanted`` checks in the order of least expected minutes: the most promising ones arranged exactly, the rest by rate.

    Both the arrangement and the plain order by rate are tried, and the better one is kept.
    """
    greedy = greedy_order(probability, find, minutes, level, setup_minutes, reached, after, wanted)
    head = [greedy[j] for j in range(min(len(greedy), MOST_EXACT))]
    order = best_arrangement(probability, find, minutes, level, setup_minutes, reached, after, head)
    for j in range(len(head), len(greedy)):
        order.append(greedy[j])
    return order
