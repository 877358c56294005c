"""The printed line of a formula, made by the formula itself.

The function that gave the number is called once more with sympy symbols in place of numbers (and sympy's sqrt, exp
and pi in place of numpy's), so the line on the page cannot differ from what was computed.
"""

from __future__ import annotations

import inspect
import re
import types
from dataclasses import dataclass
from functools import cache

import sympy
from sympy.printing.mathml import MathMLPresentationPrinter

from ...core.records import Worked
from ...handbook import FORMULAS
from ...model.checked import SI_UNIT
from .display import plain_number

# exp as a plain function: a fraction in a raised exponent cannot be read
_SWAPPED = {"sqrt": sympy.sqrt, "exp": sympy.Function("exp"), "cos": sympy.Function("cos"), "pi": sympy.pi}

_SYMBOL = {
    "R_over_t": "R/t",
    "L_over_R": "L/R",
    "d_gamma": "Δγ",
    "p_bar": "p̄",
    "lamda": "λ",
    "lamda_0": "λ_0",
    "lamda_p": "λ_p",
    "w_t": "Δw/t",
    "slenderness": "L/ρ",
    "relief": "N_rel",
    "N_local": "N_loc",
    "f_s": "FS",
    "n_E": "n_E",
    "beta_o": "β_o",
}


@dataclass(frozen=True)
class PrintedLine:
    """A worked line as printed.

    `formula` is its key in the handbook, `mathml` the equation, `text` the same as plain arithmetic, `numbers` the
    inputs and `result` the value with their SI units; `title`, `citation`, `valid` say what it is and where it holds.
    """

    formula: str
    title: str
    symbol: str
    mathml: str
    text: str
    numbers: str
    result: str
    citation: str
    valid: str


@cache
def expression(key: str) -> sympy.Expr:
    """The formula as a sympy expression of its own argument names, unevaluated."""
    function = FORMULAS[key].function
    swapped = {**function.__globals__, **_SWAPPED}
    for name, other in function.__globals__.items():  # formulas of the same module that it is made of
        if inspect.isfunction(other) and other.__module__ == function.__module__:
            swapped[name] = types.FunctionType(other.__code__, swapped)
    symbolic = types.FunctionType(function.__code__, swapped)
    with sympy.evaluate(False):
        return _flat(symbolic(**{name: sympy.Symbol(name) for name in inspect.signature(function).parameters}))


def _flat(expr: sympy.Expr) -> sympy.Expr:
    """Products of products and sums of sums as one, in the order in which they were written."""
    if not expr.args:
        return expr
    parts = [_flat(a) for a in expr.args]
    if isinstance(expr, sympy.Mul | sympy.Add):
        parts = [x for p in parts for x in (p.args if type(p) is type(expr) else (p,))]
    return expr.func(*parts, evaluate=False)


@cache
def equation(key: str, symbol: str = "") -> sympy.Eq:
    """The formula as an equation in the symbols of the trade, unevaluated; `symbol` on its left in place of its own."""
    entry = FORMULAS[key]
    names = {s: sympy.Symbol(_SYMBOL.get(s.name, s.name)) for s in expression(key).free_symbols}
    with sympy.evaluate(False):
        shown = expression(key).xreplace(names)
        return sympy.Eq(sympy.Symbol(symbol or _SYMBOL.get(entry.symbol, entry.symbol)), shown)


@cache
def _mathml(key: str, symbol: str) -> str:
    # no mul_symbol: a thin space reads as a product between italic letters
    printer = MathMLPresentationPrinter({"mul_symbol": None, "order": "none"})
    with sympy.evaluate(False):
        node = printer._print(equation(key, symbol))
    return f"<math display='block'>{_without_ones(node).toxml()}</math>"


def _without_ones(node):
    """The printed tree without powers of 1, which unevaluated fractions put on every factor of their numerator."""
    for child in list(node.childNodes):
        node.replaceChild(_without_ones(child), child)
    if node.nodeName != "msup":
        return node
    power = node.lastChild
    if power.nodeName == "mrow":  # a power that was raised to 1 reads 3 times 1
        while len(power.childNodes) > 2 and _is_one(power.lastChild):
            power.removeChild(power.lastChild)
            power.removeChild(power.lastChild)
        if len(power.childNodes) == 1:
            node.replaceChild(power.firstChild, power)
    return node.removeChild(node.firstChild) if _is_one(node.lastChild) else node


def _is_one(node) -> bool:
    return node.nodeName == "mn" and node.firstChild.nodeValue == "1"


def printed_line(worked: Worked) -> PrintedLine:
    """Equation, numbers and result of one worked formula."""
    entry = FORMULAS[worked.formula]
    units = _units(entry.function)
    numbers = "; ".join(f"{_SYMBOL.get(k, k)} = {_with_unit(v, units.get(k, ''))}" for k, v in worked.inputs)
    return PrintedLine(
        formula=worked.formula,
        title=entry.title,
        symbol=worked.symbol or _SYMBOL.get(entry.symbol, entry.symbol),
        mathml=_mathml(worked.formula, worked.symbol),
        text=sympy.sstr(expression(worked.formula), order="none"),
        numbers=numbers,
        result=_with_unit(worked.value, entry.unit),
        citation=entry.citation,
        valid=entry.valid,
    )


def _with_unit(value: float, unit: str) -> str:
    return f"{plain_number(value, 6)} {unit}".strip()


@cache
def _units(function) -> dict[str, str]:
    """Unit of every argument, as its docstring says: the last [unit] of the argument's description."""
    known = {*SI_UNIT.values(), *(f.unit for f in FORMULAS.values())}
    units: dict[str, str] = {}
    names: list[str] = []
    for line in inspect.cleandoc(function.__doc__).splitlines():
        if " : " in line and not line.startswith(" "):
            names = [n.strip() for n in line.split(" : ")[0].split(",")]
        elif names and "[" in line:
            found = [part.split("]")[0] for part in line.split("[")[1:]]
            found = [u for u in found if u in known or u.split(",")[0] in known]
            for i, name in enumerate(names):
                if found:
                    units[name] = found[min(i, len(found) - 1)].split(",")[0]
    return units


@cache
def mathtext(key: str) -> str:
    """The equation of a formula in the notation that matplotlib typesets."""
    with sympy.evaluate(False):
        shown = equation(key)
        names = {s: _upright(s.name) for s in shown.free_symbols if _upright(s.name)}
        text = sympy.latex(shown, order="none", mul_symbol=r"\,", symbol_names=names)
    return "$" + text.replace(r"\frac", r"\dfrac") + "$"


def _upright(name: str) -> str:
    """Symbols of several letters stand upright, or they read as products."""
    head, _, tail = name.partition("_")
    if not re.fullmatch(r"[A-Z]{2,}", head):
        return ""
    return rf"\mathrm{{{head}}}" + (f"_{{{tail}}}" if tail else "")
