"""The six lanes: a shape, a colour and a numeral each, so that no one of the three must be seen alone."""

from __future__ import annotations

from markupsafe import Markup

INK = "#1A1A1A"
STAR = "M20 1l5.5 12.2 13.3 1.5-9.9 9 2.8 13.1L20 30.1 8.3 36.8l2.8-13.1-9.9-9 13.3-1.5z"
# Shape, name, colour and the ink of its numeral.
LANES: tuple[tuple[str, str, str, str], ...] = (
    ('<circle cx="20" cy="20" r="17"/>', "circle", "#E69F00", INK),
    ('<path d="M20 2L38 36H2z"/>', "triangle", "#56B4E9", INK),
    ('<path d="M4 4h32v32H4z"/>', "square", "#009E73", INK),
    ('<path d="M20 1l19 19-19 19L1 20z"/>', "diamond", "#0072B2", "#FFFFFF"),
    ('<path d="M13 3h14v10h10v14H27v10H13V27H3V13h10z"/>', "plus", "#D55E00", INK),
    (f'<path d="{STAR}"/>', "star", "#CC79A7", INK),
)  # fmt: skip
NO_SHAPE = ('<path d="M2 10h36v20H2z"/>', "bar", "#FFFFFF", INK)


def lane_sign(lane: int) -> Markup:
    """The sign of a lane, from 1; its words are for those who cannot see it."""
    shape, name, colour, ink = LANES[lane - 1] if 1 <= lane <= len(LANES) else NO_SHAPE
    low = 31 if name == "triangle" else 26
    return Markup(
        f'<svg class="lane" viewBox="0 0 40 40" role="img" aria-label="lane {lane}, {name}">'
        f'<g fill="{colour}" stroke="{INK}" stroke-width="2.5" stroke-linejoin="round">{shape}</g>'
        f'<text x="20" y="{low}" text-anchor="middle" font-size="17" font-weight="700" fill="{ink}">{lane}</text></svg>'
    )
