"""A shop's link leads to the web or into the site.

Passes: ``template: https://bench.example/load{?plate_volts}`` and ``template: sheets/load.html``
Fails:  ``template: javascript:alert(1)``, ``template: //elsewhere.example/x`` and ``template: ../../etc/passwd``
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.entries.shop import Shop
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

LEADS = re.compile(
    r"https?://[^\s\\{}@/]+(?:[/?#{][^\s\\]*)?|(?![/{])(?!\.\.(?:/|$))[^\s\\:/?#{}]+(?:[/?#{][^\s\\]*)?", re.IGNORECASE
)
"""The host of a web link, and the first step of a relative one, are written out: no value of an entry may choose them."""


def check(shop: Shop, library: Library, sums: Sums) -> Iterator[Problem]:
    """Templates whose links the site would leave out."""
    for index, link in enumerate(shop.links):
        way = link.template.split("?")[0].split("#")[0]
        if LEADS.fullmatch(link.template) is None or "/../" in f"{way}/":
            at = f"links[{index}].template"
            message = f'"{link.template[:60]}" leads neither to a web page nor into the site'
            yield Problem(
                shop.place(at),
                at,
                message,
                "begin with https://, http:// and a host, or with a path such as sheets/load.html",
            )
