"""What every kind of sensor and circuit must do, whichever stands in `tempkit/chain/parts`: found, not listed."""

import ast
import html
import json
import os
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import get_args, get_origin

import numpy as np
import pytest
import tomli_w

from tempkit.board import numbers, write
from tempkit.chain import Chain, ChainFileError, Converter, Design, Limits, Reference, describe, file, kinds
from tempkit.chain import parts as folder
from tempkit.chain.deviations import Doubt
from tempkit.chain.parts.bases import Sensor, Supplied
from tempkit.chain.quantities import Relative, bare
from tempkit.chain.tables import TABLES
from tempkit.draw import circuit_diagram, diagram, words
from tempkit.faults import bench_card, card_text
from tempkit.uncertainty import chain_budget

PACKAGE = Path(folder.__file__).resolve().parent.parent.parent
ROLES = ("sensor", "circuit")
KINDS = {kind: model for role in ROLES for kind, model in kinds(role).items()}
VOLTS = (0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)


@dataclass(frozen=True)
class Case:
    """An example of a kind in a chain that works."""

    part: object
    chain: Chain

    @property
    def design(self):
        low, high = self.chain.sensor.range_c
        limits = Limits(low_c=max(18.0, low + 1), high_c=min(27.0, high - 1), deadband_c=0.5)
        return Design("any bench (invented)", self.chain, alarm=limits)

    @property
    def doubts(self):
        chain = self.chain
        return chain.sensor.doubts(25.0) | chain.circuit.doubts(chain.reference.kind)


def in_chain(part, other):
    """The example with what it goes with, and a reference that lets the signal through."""
    sensor, circuit = (part, other) if part.role == "sensor" else (other, part)
    tried = []
    for reference in (Reference(v, 0.01, kind) for kind in ("fixed", "supply") for v in VOLTS):
        try:
            chain = Chain(sensor, reference, Converter(12), circuit)
        except ValueError as error:
            tried.append(str(error))
            continue
        tried += chain.problems()
        if not chain.problems():
            return Case(part, chain)
    raise AssertionError(f"no reference lets {part} work: {set(tried)}")


CASES = [in_chain(*pair) for model in KINDS.values() for pair in model.examples()]
every_case = pytest.mark.parametrize("case", CASES, ids=[f"{case.part.kind}-{n}" for n, case in enumerate(CASES)])
every_kind = pytest.mark.parametrize("kind", KINDS)


def examples_of(kind):
    return [case for case in CASES if case.part.kind == kind]


# ---- found, and nowhere listed


def test_every_file_of_the_folder_declares_a_kind():
    files = {path.stem for path in Path(folder.__file__).parent.glob("*.py")} - {"__init__", "bases"}
    assert files == {model.__module__.rsplit(".", 1)[1] for model in KINDS.values()}
    assert all(set(TABLES[role]) == set(kinds(role)) for role in ROLES)


LOOK = """
import json
from tempkit.chain import file, kinds
text = open({path!r}, encoding="utf-8").read().replace("load-resistor", "other-load").replace("current-output", "other")
print(json.dumps([sorted(kinds("sensor")), type(file.loads(text).chain.circuit).__module__]))
"""


def test_a_new_file_is_a_new_kind(tmp_path):
    """A copy of the package with one file more: its kinds are there, and a chain file may name them."""
    shutil.copytree(PACKAGE, tmp_path / "tempkit", ignore=shutil.ignore_patterns("__pycache__"))
    there = tmp_path / "tempkit" / "chain" / "parts"
    source = (there / "current_output.py").read_text(encoding="utf-8")
    source = source.replace('"load-resistor"', '"other-load"').replace('"current-output"', '"other"')
    (there / "twin.py").write_text(source, encoding="utf-8")
    path = PACKAGE.parent / "data" / "chains" / "north-bench-current-output.toml"
    environment = os.environ | {"PYTHONPATH": str(tmp_path)}
    command = [sys.executable, "-B", "-c", LOOK.format(path=str(path))]
    done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == [sorted([*kinds("sensor"), "other"]), "tempkit.chain.parts.twin"]


def test_a_class_that_leaves_something_out_is_refused():
    class Half(Sensor):
        called = "a half"

        def line(self, t_c, off=()):
            return t_c

    with pytest.raises(TypeError, match="Half of .* is no part yet: it lacks examples, inverse, limits_c, words, kind"):
        folder.check(Half, {})
    divider = kinds("circuit")["divider"]
    with pytest.raises(TypeError, match="both 'divider'"):
        folder.check(divider, {"divider": Supplied})


def test_nobody_else_asks_which_kind_it_is():
    """But for the explorers, some of which are about one kind."""
    names = {model.__name__ for model in KINDS.values()} | {base.__name__ for m in KINDS.values() for base in m.__mro__}
    names -= {"object", "ABC"}
    for path in PACKAGE.rglob("*.py"):
        if path.parent.name in ("parts", "explorers"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in ("isinstance", "type", "issubclass"):
                asked = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
                assert not asked & names, f"{path}:{node.lineno}"


# ---- formulas


@every_case
def test_there_and_back(case):
    chain = case.chain
    t_c = np.linspace(*chain.sensor.range_c, 301)
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    v = chain.circuit.volts(chain.sensor, t_c, feed_v)
    assert np.isfinite(v).all() and v.shape == t_c.shape
    assert chain.circuit.celsius(chain.sensor, v, feed_v) == pytest.approx(t_c, abs=1e-6)
    assert chain.sensor.inverse(chain.sensor.line(t_c)) == pytest.approx(t_c, abs=1e-6)
    assert isinstance(chain.circuit.celsius(chain.sensor, float(v[7]), feed_v), float)
    slopes = (chain.circuit.volts(chain.sensor, t_c + 1e-3, feed_v) - v) / 1e-3
    assert chain.circuit.volts_per_c(chain.sensor, t_c, feed_v) == pytest.approx(slopes, rel=1e-3)
    assert (np.diff(v) > 0).all() or (np.diff(v) < 0).all()


@every_case
def test_reading_and_truth_differ_by_no_more_than_a_step(case):
    """With a circuit that the program knows all of."""
    chain = replace(case.chain, circuit=case.chain.circuit.assumed)
    t_c = np.linspace(*chain.sensor.range_c, 55)[1:-1]
    steps = [1.2 * chain.step_c(each) for each in t_c]
    assert (np.abs(chain.reading(chain.code(t_c), checked=False) - t_c) <= steps).all()


# ---- doubts


@every_kind
def test_the_examples_leave_no_doubt_out(kind):
    """Each doubt is more than nothing somewhere, and moves something there, unless the class says that it does not."""
    seen, moves = {}, set()
    for case in examples_of(kind):
        chain = case.chain
        at = {"sensor": (25.0,), "circuit": (chain.reference.kind,)}[case.part.role]
        feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
        for key, doubt in case.part.doubts(*at).items():
            assert isinstance(doubt, Doubt) and doubt.name and doubt.unit
            assert doubt.of in {each.name for each in fields(case.part)}
            seen[key] = max(seen.get(key, 0.0), doubt.half_width)
            shifted = chain.circuit.volts(chain.sensor, 60.0, feed_v, {key: doubt.half_width or 1.0})
            if shifted != chain.circuit.volts(chain.sensor, 60.0, feed_v):
                moves.add(key)
    idle = set(getattr(KINDS[kind], "without_effect", ()))
    assert all(size > 0 for key, size in seen.items() if key not in idle), seen
    assert moves == set(seen) - idle


@every_case
def test_every_doubt_has_its_row_and_its_effect(case):
    """The row's sensitivity, against differences of the circuit's own formula."""
    chain, t_c = case.chain, 40.0
    reference = chain.reference
    feed_v = chain.circuit.feed_v(reference.nominal_v, reference.kind)
    budget = chain_budget(chain, t_c)
    for key, doubt in case.doubts.items():
        if not doubt.half_width:
            continue
        row = budget.row(doubt.name)
        assert (row.size, row.unit) == (doubt.half_width, doubt.unit)
        ends_v = [chain.circuit.volts(chain.sensor, t_c, feed_v, {key: side * doubt.half_width}) for side in (-1, 1)]
        low_c, high_c = map(chain.celsius_believed, ends_v)
        assert row.sensitivity == pytest.approx((high_c - low_c) / (2 * doubt.half_width), rel=0.01, abs=1e-9)
    names = [row.name for row in budget.rows]
    assert len(names) == len(set(names))


@every_case
def test_no_tolerance_vanishes(case):
    """Each field that is a tolerance gives a row of the budget, or the budget refuses it by its name."""
    for name in (each.name for each in fields(case.part) if each.type is Relative):
        given = replace(case.part, **{name: 0.02})
        chain = replace(case.chain, **{given.role: given})
        doubts = Case(given, chain).doubts.values()
        try:
            budget = chain_budget(chain, 25.0)
        except ValueError as error:
            assert str(error).startswith(f"{name} 0.02 of {given.called}")
            continue
        rows = [budget.row(doubt.name) for doubt in doubts if doubt.of == name and doubt.half_width]
        assert rows or (name == "lead_tolerance" and not given.lead_ohm)


@every_case
def test_a_deviation_that_nobody_knows_is_refused(case):
    chain = case.chain
    with pytest.raises(ValueError, match="deviation 'wear' is none that this circuit has"):
        chain.circuit.volts(chain.sensor, 25.0, 3.0, {"wear": 1.0})


# ---- in words, on the bench, drawn


@every_case
def test_it_is_described(case):
    text = describe(case.design)
    assert case.chain.sensor.words() in text
    rows = dict(case.chain.circuit.rows(case.chain))
    assert next(iter(rows)) == "kind" and all(f"  {label:<18}{told}\n" in text for label, told in rows.items())
    assert "None" not in text and "nan" not in text.split()
    assert case.part.called.split(" ")[0] in ("a", "an") and case.chain.circuit.needs(case.chain)


@every_case
def test_a_bench_card_names_all_that_is_needed(case):
    circuit = case.chain.circuit
    text = card_text(bench_card(case.design, 21.0))
    flat = " ".join(text.split())
    for step in circuit.wiring(""):
        assert " ".join(step.split(":")[0].split()) in flat
    for name, value, _ in circuit.resistors():
        assert flat.count(name) >= 2, f"{name} of {value} ohm: a part, and a check before power"
    for name, *_ in circuit.other_parts():
        assert name.split()[0] in flat
    assert "None" not in text and "nan" not in text.split() and f"to {circuit.fed_at}." in flat


@pytest.mark.parametrize("style", ["iec", "ieee"])
@pytest.mark.parametrize("room", [False, True])
@every_case
def test_it_is_drawn(case, room, style):
    figure = diagram(case.chain, room, style)
    texts = " ".join(text.get_text() for text in figure.axes[0].texts)
    for part in case.chain.sensor.words().split(", ")[1:]:
        assert part in texts
    figure.canvas.draw()
    ink = (np.asarray(figure.canvas.buffer_rgba())[..., :3].mean(axis=2) < 100).mean()
    assert 0.003 < ink < 0.5


@every_case
def test_the_words_are_the_alt_text(case):
    told = words(case.chain)
    shown = circuit_diagram(case.chain)._repr_mimebundle_()
    assert f'alt="{html.escape(told, quote=True)}"' in shown["text/html"] or told in html.unescape(shown["text/html"])
    assert told.startswith("Circuit diagram: ") and case.chain.sensor.words() in told
    assert f"{case.chain.converter.bits}-bit converter" in told and "None" not in told


# ---- the chain file


@every_case
def test_there_and_back_through_a_chain_file(case):
    assert file.loads(file.dumps(case.design)) == case.design


@every_kind
def test_the_file_knows_every_field(kind):
    """Each field is a key, with a type that says range and advice; the examples' values pass as they are."""
    model = KINDS[kind]
    table = TABLES[model.role][kind]
    assert set(table.keys()) == {"kind", *(each.name for each in fields(model))}
    for case in examples_of(kind):
        written = tomllib.loads(file.dumps(case.design))[model.role]
        values = {each.name: getattr(case.part, each.name) for each in fields(model)}
        assert written == {"kind": kind} | {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in values.items()
            if value is not None
        }


@every_kind
def test_the_file_refuses_what_a_field_cannot_be(kind):
    case = examples_of(kind)[0]
    role, good = case.part.role, tomllib.loads(file.dumps(case.design))
    for each in fields(case.part):
        wanted, limits = bare(each.type)
        wrong = [[1.0]] if get_origin(wanted) is tuple else ["no such word"] if not limits else [limits.ge - 1, "5 V"]
        for value in wrong:
            with pytest.raises(ChainFileError) as error:
                file.loads(tomli_w.dumps(good | {role: good[role] | {each.name: value}}))
            assert error.value.problems[0].startswith(f"{role}.{each.name} = ")
            if limits:
                assert limits.extra["unit"] in str(error.value) and limits.extra["advice"] in str(error.value)
            elif get_origin(wanted) is not tuple:
                assert all(f'"{word}"' in str(error.value) for word in get_args(wanted))
    with pytest.raises(ChainFileError, match=f"{role}.wear: no such key"):
        file.loads(tomli_w.dumps(good | {role: good[role] | {"wear": 1.0}}))


# ---- on a board


@every_case
def test_a_board_computes_it_or_says_why_not(case, tmp_path):
    chain = case.chain
    try:
        whole = numbers(case.design)
    except ValueError as error:
        assert str(error).startswith("[circuit] has no ") and ";" in str(error)
        assert chain.circuit.compensated and not chain.circuit.second_input
        return
    straight = chain.circuit.exact_line(chain.sensor, chain.circuit.assumed_feed_v(1.0, "supply"))
    assert (type(whole.conversion).__name__ == "Line") == (straight is not None)
    for language in ("c", "micropython"):
        assert all(path.stat().st_size > 100 for path in write(case.design, language, tmp_path / language))
    if whole.cold is None:
        codes = np.arange(whole.first_code, whole.last_code + 1)
        found = whole.conversion.of(codes * whole.per_code) / 1000
        assert np.abs(found - chain.reading(codes, checked=False)).max() <= whole.worst_c + 1e-9
