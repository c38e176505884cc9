"""Text that tries to become markup, script or a dangerous link.

The kinds of attack are those of the OWASP "XSS Filter Evasion Cheat Sheet" and of markdown-it's own list of schemes to
refuse (from memory of both); the wording is ours.
"""

from __future__ import annotations

import dataclasses
from typing import Any

from benchlore.entries.fields import Choice, Code, FieldType, Many, Part, Prose, Ref, Slug, Table, Text, table_of
from benchlore.linking.library import Library, library_of

RAW = (
    "<script>window.hit=1</script>",
    "</script><script>window.hit=1</script>",
    "<ScRiPt src=//evil.example/x.js></sCrIpT>",
    "<img src=x onerror=window.hit=1>",
    "<img src='//evil.example/p.png'>",
    "<svg onload=window.hit=1>",
    "<svg><script>window.hit=1</script></svg>",
    "<svg><a xlink:href='javascript:window.hit=1'><text>x</text></a></svg>",
    "<math><mtext></math><img src=x onerror=window.hit=1>",
    "<iframe src='javascript:window.hit=1'></iframe>",
    "<iframe srcdoc='<script>parent.hit=1</script>'></iframe>",
    "<object data='data:text/html,<script>window.hit=1</script>'></object>",
    "<embed src='javascript:window.hit=1'>",
    "<base href='//evil.example/'>",
    "<meta http-equiv=refresh content='0;url=//evil.example'>",
    "<link rel=stylesheet href='//evil.example/x.css'>",
    "<style>*{display:none}</style>",
    "<form action='//evil.example'><input name=a><button>go</button></form>",
    "<a href='javascript:window.hit=1'>x</a>",
    '<a href="&#106;avascript:window.hit=1">x</a>',
    "<body onload=window.hit=1>",
    "<details open ontoggle=window.hit=1>x</details>",
    "<input autofocus onfocus=window.hit=1>",
    "<div style='background:url(//evil.example)'>x</div>",
    '" onmouseover="window.hit=1',
    "' onmouseover='window.hit=1",
    '"><img src=x onerror=window.hit=1>',
    "'><svg/onload=window.hit=1>",
    "--><script>window.hit=1</script>",
    "<!--<script>window.hit=1</script>-->",
    "]]><script>window.hit=1</script>",
    "</textarea><script>window.hit=1</script>",
    "</title><script>window.hit=1</script>",
    "</style><script>window.hit=1</script>",
    "{{ 7*7 }} {% raw %} {{ self.__init__.__globals__ }}",
    "${window.hit=1} #{window.hit=1} <%= window.hit=1 %>",
    "&lt;script&gt;window.hit=1&lt;/script&gt;",
    "&#60;img src=x onerror=window.hit=1&#62;",
    "\\<script>window.hit=1</script>",
    "`<script>window.hit=1</script>`",
    "<x contenteditable onblur=window.hit=1>",
    "<template><script>window.hit=1</script></template>",
    '<noscript><p title="</noscript><img src=x onerror=window.hit=1>">',
    "<a id=Benchlore><a id=Benchlore name=quantity>",
)
URLS = (
    "javascript:window.hit=1",
    "JaVaScRiPt:window.hit=1",
    "java%0ascript:window.hit=1",
    "&#x6A;avascript:window.hit=1",
    "\\x6Aavascript:window.hit=1",
    "data:text/html,<script>window.hit=1</script>",
    "data:image/svg+xml,<svg onload=window.hit=1>",
    "vbscript:msgbox(1)",
    "file:///etc/passwd",
    "blob:https://evil.example/1",
    "filesystem:https://evil.example/1",
    "ms-msdt:/id%20x",
    "//evil.example/share",
    "\\\\evil.example\\share",
    "/\\evil.example/share",
    "https:evil",
    "https:///evil.example",
    "http:\\\\evil.example",
    "mailto:a@evil.example",
    "tel:112",
    "ftp://evil.example/x",
    "view-source:https://evil.example",
    "../../../../etc/passwd",
    "fault:../../index",
    'fault:x" onclick="window.hit=1',
    "shop:<script>",
    "?q=<script>",
    '#"><script>window.hit=1</script>',
)
PAYLOADS = tuple(
    dict.fromkeys(
        [
            *RAW,
            *(f"[{raw}](https://bench.example/)" for raw in RAW),
            *(f"**{raw}** _{raw}_" for raw in RAW),
            *(f"[words]({url})" for url in URLS),
            *(f"[words](<{url}> '{url}')" for url in URLS),
            *(f"![picture]({url})" for url in URLS),
            *(f"<{url}>" for url in URLS),
        ]
    )
)

KEPT = {"template"}  # a shop's link templates have a test of their own


def poisoned(record: Any, payload: str) -> Any:
    """The record with the payload in every field of words."""
    changes = {}
    for name, field in table_of(type(record)).items():
        if name not in KEPT:
            changes[name] = _poisoned(getattr(record, name), field.type, payload)
    return dataclasses.replace(record, **changes)


def _poisoned(value: Any, type_: FieldType, payload: str) -> Any:
    if value is None:
        return None
    if isinstance(type_, Text | Prose | Code):
        return payload
    if isinstance(type_, Many):
        return tuple(_poisoned(v, type_.of, payload) for v in value)
    if isinstance(type_, Table):
        return {key: _poisoned(v, type_.of, payload) for key, v in value.items()}
    if isinstance(type_, Part):
        return poisoned(value, payload)
    assert isinstance(type_, Choice | Ref | Slug) or not isinstance(value, str)
    return value


def poisoned_library(library: Library, payload: str) -> Library:
    """Every entry of the library, poisoned."""
    entries = [poisoned(entry, payload) for of in library.entries.values() for entry in of.values()]
    return library_of(entries, library.pointing)
