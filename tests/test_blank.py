"""`blank`: a notebook runs through with it, and whatever needs a number says so in one line."""

import copy
import math
import pickle
import re

import numpy as np
import pytest
from IPython.core.interactiveshell import InteractiveShell

from tempkit.chain import scenario
from tempkit.exercises import NothingWrittenError, blank
from tempkit.exercises.unwritten import NOTHING
from tempkit.scales import celsius_to_fahrenheit
from tempkit.signal import step

AGAIN = """
    blank + 1; 1 - blank; 2 * blank; blank / 2; 7 // blank; blank % 3; blank ** 2; 2 ** blank; -blank; +blank
    abs(blank); blank < 3; 3 <= blank; blank == 3; blank != blank; blank > blank; round(blank); round(blank, 1)
    math.floor(blank); math.ceil(blank); math.trunc(blank); blank[0]; blank[1:3]
    np.float64(2) * blank; np.arange(3) + blank
    blank - np.arange(3); np.int64(3) // blank; np.float64(1) < blank; blank * blank; divmod(blank, 2)[0]
    divmod(7, blank)[1]; ~blank; blank & 1; 1 | blank; blank << 2; copy.copy(blank); copy.deepcopy(blank)
    pickle.loads(pickle.dumps(blank)); [1, blank][1]; max(blank, blank); blank or blank; np.float32(2) ** blank
"""
REFUSED = """
    float(blank); int(blank); complex(blank); math.sqrt(blank); math.exp(blank); range(blank); list(blank); len(blank)
    np.sqrt(blank); np.array([1.0, blank], dtype=float); np.asarray(blank); np.mean([blank, 2]); [1, 2][blank]
    np.isfinite(blank); sum(blank); dict(blank); f"{float(blank):.1f}"; "%.1f" % blank; "%d" % blank; np.float64(blank)
    scenario().code(blank); scenario().reading(blank); celsius_to_fahrenheit(blank); step(blank, 40, 20, 30); hex(blank)
    scenario().sensor.volts(blank); scenario().converter.code(0.8, blank); scenario(true_v=blank); math.log(blank)
    scenario().converter.volts(blank, 5.0); np.linspace(0, blank, 3); blank.__setitem__(0, 1); np.add.reduce(blank)
"""
NAMES = {"blank": blank, "math": math, "np": np, "copy": copy, "pickle": pickle, "scenario": scenario, "step": step}
NAMES["celsius_to_fahrenheit"] = celsius_to_fahrenheit


def parts(text):
    return [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]


@pytest.mark.parametrize("call", parts(AGAIN))
def test_what_comes_of_blank_is_blank(call):
    assert eval(call, NAMES) is blank


@pytest.mark.parametrize("call", parts(REFUSED))
def test_where_a_number_is_needed_it_says_so(call):
    with pytest.raises(NothingWrittenError) as caught:
        eval(call, NAMES)
    assert str(caught.value) == NOTHING and isinstance(caught.value, ValueError)


def test_it_prints_as_what_to_do():
    assert {repr(blank), str(blank), f"{blank}", f"{blank:.3f}", f"{blank:>12}", f"{blank!r}", format(blank, "d")} == {
        "write here"
    }
    assert f"{blank:.1f} degC" == "write here degC"


def test_it_is_false_empty_and_a_key():
    assert not blank and 3 not in blank and blank in [1, blank] and blank not in [1, 2]
    assert {blank: 1}[blank] == 1 and {blank, blank} == {blank} and [1, blank].index(blank) == 1
    assert not blank < 3 and not blank == blank


def test_a_notebook_shows_one_line(capsys):
    shell = InteractiveShell.instance()
    result = shell.run_cell("from tempkit.exercises import blank\nimport math\nmath.sqrt(blank)")
    InteractiveShell.clear_instance()
    shown = capsys.readouterr().out.strip()
    assert isinstance(result.error_in_exec, NothingWrittenError) and shown == NOTHING
