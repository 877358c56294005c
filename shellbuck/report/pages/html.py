"""From a template of this package to HTML text; the only place that knows jinja2."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable
from importlib.resources import files
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, StrictUndefined, select_autoescape
from markupsafe import Markup

from ..figures.canvas import VectorFigure

_UNQUOTED = " !$()*+,/:;=?@[]^`{|}~"
"""What an address inside an attribute may hold as it is."""


def filled(template: str, filters: dict[str, Callable[..., Any]] | None = None, **values: Any) -> str:
    """A template filled in: every value is escaped, a name that is missing is an error.

    Parameters
    ----------
    template : str
        Name of a file of `templates`.
    filters : dict of callable
    **values
        `style`, the pages' common style sheet, is given to every template.
    """
    environment = Environment(
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(filters or {})
    style = Markup(own("pages/templates/page.css"))
    return environment.from_string(own(f"pages/templates/{template}")).render(style=style, **values)


def own(name: str) -> str:
    """Text of a file of the report package."""
    return files("shellbuck.report").joinpath(name).read_text(encoding="utf-8")


def data_uri(figure: VectorFigure | None) -> str | None:
    """The address of a figure that stands in the page itself; None without one."""
    # percent-encoding is a quarter shorter than base64 would be
    return None if figure is None else "data:image/svg+xml," + quote(figure.text, safe=_UNQUOTED)


def json_block(value: object) -> Markup:
    """JSON that cannot end the script element it stands in."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029"))


def script_policy(script: str) -> str:
    """The content policy that lets this script run and no other."""
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode()
    return f"script-src 'sha256-{digest}'"
