"""Findings: a list of all, and a page for each year with every job in full."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

from benchlore.addresses import page_of
from benchlore.entries.finding import Finding
from benchlore.linking.library import Library
from benchlore.rendering.views.blocks import Block, Card, Cards, Link, Links, Section
from benchlore.rendering.views.page import Here, PageView, count_words, facts, grouped, run_on, source_html
from benchlore.rendering.views.parts import finding_links
from benchlore.rendering.views.whose import word_lines

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
ALL = page_of("finding", "")


def finding_pages(library: Library) -> tuple[str, ...]:
    """The pages on which findings stand in full, besides the list of all."""
    return tuple(sorted({page_of("finding", id) for id in library.findings} - {ALL}, reverse=True))


def findings_page(here: Here) -> PageView:
    """Every finding in a line, newest first, by year; those whose id has no day stand here in full."""
    findings = _newest(here.library.findings.values())
    years = sorted({str(f.date.year) for f in findings}, reverse=True)
    made = tuple(
        Section(f"year-{year}", year, _in_short(here, of), count_words(len(of), "job", "jobs"))
        for year, of in grouped(findings, years, lambda f: str(f.date.year))
    )
    lede = Markup("<p>What jobs in this shop turned out to be. No owner's data stands here, ever.</p>")
    return PageView(here.path, "Findings", "finding", sections=made, lede=lede)


def _in_short(here: Here, findings: Sequence[Finding]) -> tuple[Block, ...]:
    elsewhere = [f for f in findings if page_of("finding", f.id) != ALL]
    whole = tuple(finding_card(here, f) for f in findings if page_of("finding", f.id) == ALL)
    short = Links(finding_links(here, elsewhere, name_family=True), look="short")
    return tuple(block for block in (short, Cards(whole, "rows")) if block.items)


def year_page(here: Here) -> PageView:
    """One year's findings in full, newest first, by month."""
    findings = _newest(f for f in here.library.findings.values() if page_of("finding", f.id) == here.path)
    months = sorted({f.date.month for f in findings}, reverse=True)
    made = tuple(
        Section(
            f"month-{month}", MONTHS[int(month) - 1], (Cards(tuple(finding_card(here, f) for f in of), "rows"),),
            count_words(len(of), "job", "jobs"),
        )
        for month, of in grouped(findings, [str(m) for m in months], lambda f: str(f.date.month))
    )  # fmt: skip
    year = here.path.rpartition("/")[2].removesuffix(".html")
    return PageView(
        here.path, f"Findings of {year}", "finding", kicker=(Link("All findings", here.to(ALL)),), sections=made
    )


def _newest(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda f: (-f.date.toordinal(), f.id))


def finding_card(here: Here, finding: Finding) -> Card:
    """A finding in full."""
    pen = here.pen
    shop = here.library.shop
    cost = f"{finding.parts_cost:.2f} {shop.currency if shop else ''}".strip()
    family = here.anchor("family", finding.family)
    revision = Markup(", {}").format(pen.line(finding.revision)) if finding.revision else Markup()
    checks = Markup("; ").join(Markup("{} {}").format(_check_link(here, c.check), c.result) for c in finding.checks)
    return Card(
        title=Link(finding.title, ""),
        anchor=finding.id,
        anchors=finding.was,
        kicker=finding.date.isoformat(),
        body=tuple(m for m in (pen.paragraphs(finding.fix), pen.paragraphs(finding.learned)) if m),
        facts=facts(
            [
                ("Family", family + revision, ""),
                ("Asked for", pen.line(finding.request), ""),
                ("Symptoms", here.anchors("symptom", finding.symptoms), ""),
                ("Not there", here.anchors("symptom", finding.absent), ""),
                ("Found", here.anchors("fault", finding.faults) or "nothing wrong", ""),
                ("Checks", checks, ""),
                ("Bench time", f"{finding.minutes} min", ""),
                ("Parts", cost, ""),
                ("By", finding.technician, ""),
                ("Source", run_on(source_html(here, s) for s in finding.sources), ""),
                ("Whose word", word_lines(here, finding.amended), ""),
            ]
        ),
    )


def _check_link(here: Here, check: str) -> Markup:
    fault, _, key = check.partition("/")
    if here.library.get("fault", fault) is None:
        return escape(check)
    return Markup('<a href="{}">{}</a>').format(here.pen.url("fault", fault, f"checks-{key}"), key.replace("-", " "))
