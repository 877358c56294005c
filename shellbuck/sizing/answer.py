"""The comparison in words: grid, stringers or thin pressurised sheet, why, how sure, and what would change it."""

from __future__ import annotations

from collections.abc import Sequence

from ..model.demand import Demand
from .patterns import PATTERNS
from .records import Answer, Entry

SAME = 0.03
"""Masses this near, relative, are equivalent: smeared theory and factors are no better (own choice)."""


def group_of(pattern: str) -> str:
    """The kind of wall a pattern belongs to, in words."""
    return PATTERNS[pattern].group


def answer(demand: Demand, ranked: Sequence[Entry]) -> Answer:
    """The answer in words.

    Parameters
    ----------
    demand : Demand
    ranked : sequence of Entry
        The lightest first; those without a design last.
    """
    holding = [e for e in ranked if e.sized.mass_per_area is not None]
    if not any(e.sized.status != "stopped" or e in holding for e in ranked):
        again = "The reasons of refusals are listed; start the others again."
        return Answer(("No pattern was sized to its end.",), (), (), (again,), False)
    if not holding:
        change = "Widen the limits, or ease the loads."
        return Answer(("No pattern is feasible inside the limits.",), (), (), (change,), False)
    best = holding[0]
    picks, policy = _policy(holding)
    return Answer(
        tuple(_answer(demand, holding, picks)),
        (*_reasons(holding), *policy),
        tuple(_cautions(demand, holding)),
        tuple(_changes(demand, holding, best)),
        picks,
    )


def _called(entry: Entry) -> str:
    return f"{entry.sized.title} in {entry.metal}"


def _mass(value: float) -> str:
    return f"{value:.2f} kg/m²"


def _over(value: float, base: float) -> str:
    return f"{round(100 * (value / base - 1)):+d} %"  # a whole number has no negative zero


def _answer(demand: Demand, holding: list[Entry], picks: bool) -> list[str]:
    best = holding[0]
    mass = best.sized.mass_per_area
    words = [f"Lightest: {_called(best)}, {_mass(mass)}, so the answer by mass is {group_of(best.pattern)}."]
    near = [e for e in holding[1:] if e.sized.mass_per_area <= mass * (1 + SAME)]
    if near:
        words.append(
            f"Equivalent within {100 * SAME:.0f} %): "
            + "; ".join(f"{_called(e)} ({_over(e.sized.mass_per_area, mass)})" for e in near)
            + "."
        )
    firsts: dict[str, Entry] = {}
    for e in holding:
        firsts.setdefault(group_of(e.pattern), e)
    rest = [e for name, e in firsts.items() if name != group_of(best.pattern)]
    if rest:
        words.append(
            "The best of the other kinds: "
            + "; ".join(
                f"{_called(e)}, {_mass(e.sized.mass_per_area)} ({_over(e.sized.mass_per_area, mass)})" for e in rest
            )
            + "."
        )
    thin = [e for e in holding if e.pattern == "plain-pressurised" and e not in firsts.values()]
    if thin:
        words.append(
            "Pressure-stabilised sheet in the other metals: "
            + "; ".join(
                f"{e.metal}, {_mass(e.sized.mass_per_area)} ({_over(e.sized.mass_per_area, mass)})" for e in thin
            )
            + "."
        )
    if picks:
        words.append("The knockdown policy decides this ranking; see the reasons.")
    if priced := [e for e in holding if e.sized.production.cost is not None]:
        cheap = min(priced, key=lambda e: e.sized.production.cost)
        if cheap is not best and best.sized.production.cost is not None:
            saved = best.sized.production.mass - cheap.sized.production.mass
            price = (best.sized.production.cost - cheap.sized.production.cost) / max(-saved, 1e-9)
            words.append(
                f"Cheapest at the given prices: {_called(cheap)}; the lightest saves {-saved:.0f} kg a barrel and "
                f"costs {price:.0f} {demand.prices.currency} more for every kg saved."
            )
    return words


def _policy(holding: list[Entry]) -> tuple[bool, list[str]]:
    """Whether another pattern wins at knockdown 1, and the words."""
    known = [e for e in holding if e.perfect is not None]
    if not known:
        return False, []
    best, perfect = holding[0], min(known, key=lambda e: e.perfect)
    if perfect is best or best.perfect is None:
        return False, [f"With knockdown 1 everywhere the same pattern is lightest ({_mass(perfect.perfect)})."]
    if best.perfect <= perfect.perfect * (1 + SAME):
        return False, [
            f"With knockdown 1 everywhere {_called(perfect)} is lightest ({_mass(perfect.perfect)}), but the winner is "
            f"within {100 * SAME:.0f} % of it ({_mass(best.perfect)})."
        ]
    return True, [
        f"With knockdown 1 everywhere {_called(perfect)} would be lightest ({_mass(perfect.perfect)} against "
        f"{_mass(best.perfect)}): the factors pick the winner, not the mechanics. The factor of stiffened walls is a "
        "constant, that of plain walls falls with R/t."
    ]


def _reasons(holding: list[Entry]) -> list[str]:
    words = []
    for e in holding[:3]:
        held = [a.words for a in e.sized.active if a.price > 0][:3]
        limits = [
            f"{d.words} at its {'least' if d.at == 'low' else 'most'}"
            for d in e.sized.dimensions
            if d.price is not None and d.price > 0
        ]
        if held or limits:
            words.append(f"{_called(e)} is limited by {'; '.join([*held, *limits])}.")
    paid = [(e, e.unpressed / e.sized.mass_per_area - 1) for e in holding if e.unpressed is not None]
    if paid:
        most = max(paid, key=lambda p: p[1])
        least = min(paid, key=lambda p: p[1])
        words.append(
            f"Without credit for pressure {_called(most[0])} would weigh {100 * most[1]:.0f} % more, "
            f"{_called(least[0])} {100 * least[1]:.0f} % more."
        )
    milled = [e for e in holding if e.made == "milled"]
    if milled:
        worst = max(milled, key=lambda e: e.sized.production.chip_fraction)
        first, last = milled[0].sized.production, worst.sized.production
        words.append(
            f"The lightest milled wall turns {100 * first.chip_fraction:.0f} % of its plate into chips "
            f"({first.buy_to_fly:.1f} times the finished mass is bought, {first.pockets} "
            f"pockets); the most wasteful {100 * last.chip_fraction:.0f} %."
        )
    built = [e for e in holding if e.made == "built up"]
    if built:
        f = built[0].sized.production
        words.append(
            f"The lightest built-up wall has {f.parts} parts and {f.joint_length:.0f} m of joints between stiffeners "
            "and skin; their strength, mass and distortion are not covered."
        )
    return words


def _cautions(demand: Demand, holding: list[Entry]) -> list[str]:
    slack = demand.limits.margin_required
    words = (
        []
        if slack >= 0
        else [f"Margins down to {slack:+.2f} are allowed: a wall in this ranking may have negative margins."]
    )
    words += [
        "Preliminary design aid, not certification. An optimum drives critical margins to zero; coincident modes may "
        "interact below either load.",
        "All stiffened walls are judged by smeared theory with one empirical factor; their ranking "
        "is supported by no stiffened test with dimensions and load.",
    ]
    top = holding[:5]
    for code, text in (
        ("cells-per-wave", "have fewer than two stiffener spacings in a half-wave, where smeared theory is doubtful"),
        ("local-below-general", "buckle locally before the wall as a whole, before any factor"),
        ("signs-differ", "rest on the credit for pressure: total and net margin differ in sign"),
        ("edge-bending", "are limited by the bending near their edges, not by factor times classical"),
        ("length-to-radius", "have bays shorter than any test behind the factor"),
    ):
        hit = [_called(e) for e in top if any(c.code == code for c in e.sized.warnings)]
        if hit:
            words.append(f"Among the lightest five {'; '.join(hit)} {text}.")
    on_edge = [_called(e) for e in holding if e.sized.threshold]
    if on_edge:
        words.append(f"On a threshold of the knockdown rule (own thresholds): {'; '.join(on_edge)}.")
    unsure = [_called(e) for e in holding if e.sized.seeds_agree is False]
    if unsure:
        words.append(f"The seeds do not agree for {'; '.join(unsure)}: their optimum is not certain.")
    if any(e.pattern == "plain-pressurised" for e in holding):
        standby = demand.limits.standby_pressure
        pressure = f"{standby / 1e3:g} kPa" if standby else "the minimum of its load case"
        words.append(
            f"Pressure-stabilised sheet must never have less than {pressure}, in transport, on the stand and in "
            "every abort; without it the barrel collapses."
        )
    return words


def _changes(demand: Demand, holding: list[Entry], best: Entry) -> list[str]:
    words = []
    mass = best.sized.mass_per_area
    for e in holding[:4]:
        for d in e.sized.dimensions:
            if d.price is None or d.price <= 0:
                continue
            text = f"{_called(e)}: {d.words} may not be {'less' if d.at == 'low' else 'more'} than " + (
                f"{d.value * 1e3:.3g} mm; 0.1 mm of it adds {d.price:.2g} kg/m²"
            )
            ahead = e.sized.mass_per_area - mass
            if e is not best and 0.003 * mass < ahead <= 3 * d.price:
                text += f", so about {0.1 * ahead / d.price:.2g} mm would bring it level with the winner"
            words.append(text + ".")
    if best.sized.price_line_load is not None:
        words.append(
            f"One more N/mm costs the winner {best.sized.price_line_load:.3g} kg/m²: "
            + "; ".join(
                f"{_called(e)} {e.sized.price_line_load:.3g}"
                for e in holding[1:4]
                if e.sized.price_line_load is not None
            )
            + ". A pattern with a lower price gains on the others as loads grow."
        )
    words.append(
        "Another knockdown, allowables with their basis, weld lands, a thinner rib, or a test of the pattern would "
        "change these numbers."
    )
    if demand.prices is None:
        words.append("No prices were given, so cost is not ranked.")
    return words
