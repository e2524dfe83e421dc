"""The page: one HTML file that holds everything, asks nothing of a network and runs anywhere."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from importlib import resources
from string import Template
from typing import Final

from cli.page.cost_part import bar, cost_section
from cli.page.data import page_data, script_json
from cli.page.field_part import field_section
from cli.page.look_part import look_data, patterns
from cli.page.markup import esc, shown
from cli.page.plane_part import plane_sections
from cli.page.stubs_part import stubs_section
from cli.page.summary_part import (
    cautions_section,
    compared_section,
    findings_section,
    top,
)
from cli.page.takeoff_part import takeoff_section
from solver.page.parts import PageParts, page_parts
from solver.result import Result

_SCRIPTS: Final = ("model.js", "draw.js", "map.js", "main.js")


def page_text(result: Result, parts: PageParts | None = None) -> str:
    """The whole page of a result. The same result always gives the same text.

    `parts` are `solver.page.parts.page_parts(result)`, worked out here where they are left out.

    Raises:
        DisagreementError: a list of a layout contradicts the layout.
    """
    parts = parts or page_parts(result)
    data = {**page_data(result, parts), "look": look_data()}
    script = "\n".join(["(() => {", '"use strict";', *(_asset(name) for name in _SCRIPTS), "})();"])
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = (f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; "
              "img-src data:; base-uri 'none'; form-action 'none'")
    return Template(_asset("page.html")).substitute(
        policy=policy, title=esc(shown(result.case.title).strip() or "Roof"),
        css=_asset("page.css"), paper=_asset("print.css"),
        body=_body(result, parts), data=script_json(data), script=script,
    )


def _body(result: Result, parts: PageParts) -> str:
    some = bool(data_views(result))
    live = [bar(result), "<main>", cost_section(result)] if some else ["<main>"]
    planes = plane_sections(result.case) if some else []
    return "\n".join([
        top(result), patterns(), *live,
        compared_section(result), *planes, findings_section(result),
        stubs_section(result, parts.stubs), takeoff_section(parts.takeoffs),
        field_section(result, parts.fields), cautions_section(result.case), "</main>",
    ])


def data_views(result: Result) -> list[object]:
    """What a reader can choose from; nothing where no layout is known at all."""
    return [*result.layouts, *(one for one in (result.usual, result.as_drawn) if one is not None)]


@cache
def _asset(name: str) -> str:
    return resources.files("cli.page").joinpath(name).read_text(encoding="utf-8")
